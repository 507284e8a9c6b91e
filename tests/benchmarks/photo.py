"""A photograph against the clock: the whole command on 12 megapixels, and memory on the largest that is read. Run by hand:

    python tests/benchmarks/photo.py [runs]

Prints wall and processor seconds of each run (on a busy machine they differ) and the peak of memory.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

TABLE, PAPER = (86, 64, 48), (225, 222, 214)
BALLS = [(31, 42, 74), (156, 74, 36), (107, 127, 74), (127, 130, 133), (232, 214, 180), (200, 153, 43)]


def photograph(path: Path, wide: int, high: int) -> Path:
    """Six balls of strands on a table with paper beside them, noise on all of it."""
    rng = np.random.default_rng(12)
    pixels = np.empty((high, wide, 3), dtype=np.float32)
    pixels[:] = TABLE
    pixels[int(0.85 * high) : int(0.97 * high), int(0.05 * wide) : int(0.95 * wide)] = PAPER
    size = wide // 5
    y, x = np.mgrid[0:size, 0:size].astype(np.float32)
    inside = (x - size / 2) ** 2 + (y - size / 2) ** 2 < (size / 2.1) ** 2
    shade = 0.35 + 0.65 * np.abs(np.sin((x + 0.6 * y) / (size / 60)))
    for place, colour in enumerate(BALLS):
        left = wide // 12 + place % 3 * int(wide * 0.31)
        top = high // 16 + place // 3 * int(high * 0.40)
        spot = pixels[top : top + size, left : left + size]
        room = inside[: len(spot)]
        spot[room] = np.array(colour) * shade[: len(spot)][room][:, None]
    pixels += rng.normal(0, 3, (high, wide, 1)).astype(np.float32)
    Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8)).save(path, quality=90)
    return path


def timed(command: list[str]) -> tuple[float, float]:
    """Wall and processor seconds of a command."""
    before, began = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return time.perf_counter() - began, spent


PEAK = """
import sys
from matcher.actions.colours.photo import photo
found = photo(sys.argv[1], out=sys.argv[2], replace=True)
print(len(found.regions), [line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")][0])
"""


def main(runs: int) -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        twelve = photograph(place / "twelve.jpg", 4000, 3000)
        for words, more in (("found by itself", []), ("drawn as well", ["--out", str(place / "seen.jpg")])):
            command = [sys.executable, "-m", "matcher", "photo", str(twelve), *more]
            timed(command)  # once without counting, for the caches
            taken = [timed(command) for _ in range(runs)]
            wall, spent = (statistics.median(one) for one in zip(*taken, strict=True))
            print(
                f"12 megapixels, {words}: {wall:.2f} s (least {min(one for one, _ in taken):.2f}), processor {spent:.2f} s"
            )
        largest = photograph(place / "largest.jpg", 9200, 6900)
        for path in (twelve, largest):
            command = [sys.executable, "-c", PEAK, str(path), str(place / "seen.jpg")]
            regions, peak = subprocess.run(command, check=True, capture_output=True, text=True).stdout.split()
            with Image.open(path) as image:
                wide, high = image.size
            print(f"{wide * high / 1e6:.0f} megapixels: {regions} regions, peak {int(peak) // 1024} MB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
