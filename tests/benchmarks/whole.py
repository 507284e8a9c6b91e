"""The whole of `suggest` against the clock: from sheets on the disk to JSON, each run a process of its own. By hand:

    python tests/benchmarks/whole.py                      all cases, two bins of each
    python tests/benchmarks/whole.py greys 500 [seeds]    one case
    python tests/benchmarks/whole.py --write greys 500 1 FOLDER    only the bin

Each case is printed in seconds of the processor and as so many times an empty Typer command, which runs before it.
They are those of a knitter's installation, whose modules are compiled already: a first run, which may compile them, is
not counted, and of the next three the median is taken, even where the environment forbids compiled files. The bins are drawn here and not in `bins`, so that what is tuned on the one is measured on the other.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median

import numpy as np
from command import EMPTY

from matcher.materials.colours.cielab import hex_from_lab

MATCHER = [sys.executable, "-m", "matcher", "suggest", "--json"]
CASES = [(kind, number) for number in (500, 5_000) for kind in ("colours", "greys", "hardly")] + [("colours", 50_000)]
RUNS = 3  # that are counted
TARGET_S = {500: 2.0, 5_000: 5.0, 50_000: 12.0}
BALLS = ((50, 230), (50, 160), (50, 125), (100, 200), (50, 75), (100, 110), (25, 125))
FIBRES = ("wool", "merino", "75% wool 25% nylon", "alpaca", "cotton", "70% mohair 30% silk", "acrylic", "")


def write(folder: Path, kind: str, number: int, seed: int) -> None:
    """A folder bin: two lots in three from garments of two to five colours, the others from nowhere.

    Of even seeds all are from nowhere, each of a yarn of its own, so that nothing belongs together.
    """
    rng = np.random.default_rng([seed, number])
    garments, lots = [], []
    while len(lots) < number:
        owner, ball = len(garments), BALLS[rng.integers(len(BALLS))]
        yarn, fibre = f"yarn {rng.integers(number // 4)}", FIBRES[rng.integers(len(FIBRES))]
        wash, kept = rng.choice(["hand", "machine", ""]), seed % 2 and rng.random() < 2 / 3
        status = rng.choice(["worn", "given", "gone"], p=[0.35, 0.15, 0.5])
        if kept:
            garments.append(f"garment {owner},pullover,{status},{rng.integers(60, 125)}")
        for role in ["main", "contrast 1", "contrast 2", "contrast 3", "contrast 4"][: rng.integers(2, 6)]:
            code, grams = _colour(kind, len(lots), rng), round(float(rng.gamma(2.0, 18.0)) + 4.0, 1)
            home = (f"garment {owner}", role) if kept else ("", "")
            yarn = yarn if seed % 2 else f"yarn of {len(lots)}"
            cells = (f"lot {len(lots):05d}", *home, yarn, code, grams, *ball, fibre, wash)
            lots.append(",".join([*map(str, cells), str(1 + int(grams // ball[0])), str(len(lots)), "yes"]))
    head = "lot,garment,role,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,pieces,dye_lot,label"
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "lots.csv").write_text("\n".join([head, *lots[:number]]) + "\n", encoding="utf-8")
    head = "garment,kind,status,chest_cm"
    (folder / "garments.csv").write_text("\n".join([head, *garments]) + "\n", encoding="utf-8")


def _colour(kind: str, place: int, rng: np.random.Generator) -> str:
    """A colour's code; of "hardly" all are of one lightness but a few."""
    hue, chroma = rng.uniform(0, 2 * np.pi), rng.uniform(0, 40)
    if kind == "greys":
        light, chroma = rng.uniform(30, 48), rng.uniform(0, 2)
    elif kind == "hardly":
        light = rng.choice([14.0, 91.0]) if place in (7, 77, 177) else rng.uniform(47, 53)
    else:
        light = rng.uniform(10, 95)
    return str(hex_from_lab((light, chroma * np.cos(hue), chroma * np.sin(hue))))


def waited(command: list[str], folder: Path) -> tuple[float, float]:
    """Seconds of the processor and on the clock that a process usually takes, the medians of three."""
    _, *counted = (_spent(command, folder) for _ in range(1 + RUNS))
    busy, clock = zip(*counted, strict=True)
    return median(busy), median(clock)


def surroundings(folder: Path) -> dict[str, str]:
    """The environment of a run that knows no bin but that of a folder."""
    env = {**os.environ, "MATCHER_BIN": str(folder / "none")}
    env.pop("PYTHONDONTWRITEBYTECODE", None)
    return env


def _spent(command: list[str], folder: Path) -> tuple[float, float]:
    """The same of one process."""
    env = surroundings(folder)
    before, began = getrusage(RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, env=env)
    after = getrusage(RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, time.perf_counter() - began


def main() -> None:
    """Print the table."""
    if sys.argv[1:2] == ["--write"]:
        kind, number, seed, folder = sys.argv[2:]
        return write(Path(folder), kind, int(number), int(seed))
    cases = [(sys.argv[1], int(sys.argv[2]))] if len(sys.argv) > 2 else CASES
    seeds = range(1, 1 + (int(sys.argv[3]) if len(sys.argv) > 3 else 2))
    print("| bin | lots | seed | of the processor [s] | on the clock [s] | target [s] | of an empty command |")
    print("|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as place:
        for kind, number in cases:
            for seed in seeds:
                folder = Path(place) / f"{kind}{number}-{seed}"
                write(folder, kind, number, seed)
                empty, _ = waited([sys.executable, "-c", EMPTY, "--help"], folder)
                busy, clock = waited([*MATCHER, str(folder)], folder)
                row = (
                    kind,
                    number,
                    seed,
                    f"{busy:.2f}",
                    f"{clock:.2f}",
                    TARGET_S.get(number, ""),
                    f"{busy / empty:.1f}",
                )
                print(f"| {' | '.join(map(str, row))} |", flush=True)
    return None


if __name__ == "__main__":
    main()
