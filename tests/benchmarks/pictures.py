"""Pictures and patterns against the clock: whole commands, and the small picture of each entry. Run by hand:

    python tests/benchmarks/pictures.py [runs]

Commands are run in turn, the least of the runs is printed; of the small pictures the slowest are.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from matcher.drawing.flat_picture import small_scene
from matcher.drawing.scene import png, svg
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.as_listed import as_listed
from matcher.materials.colours.colour import parse_colour
from matcher.store.catalogue.catalogue import load_catalogue

MATCHER = [sys.executable, "-m", "matcher"]
COMMANDS = {
    "suggest (demo)": ["suggest", "demo"],
    "suggest --pictures (demo)": ["suggest", "demo", "--replace", "--pictures"],
    "pattern of a hat, all its files": [
        "pattern",
        "demo",
        "hat-stranded-band",
        "--size",
        "adult medium",
        "--replace",
        "--out",
    ],
}
CODES = ("#1f2a4a", "#efe6d0", "#c8992b", "#8a2f3c", "#5c7a58")


def commands(runs: int) -> None:
    """Seconds of whole processes: on the wall, and of the processor, which a busy machine changes less."""
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in COMMANDS}
    with tempfile.TemporaryDirectory() as folder:
        for turn in range(runs + 1):
            for name, words in COMMANDS.items():
                place = [str(Path(folder) / name.split()[0])] if words[-1].startswith("--") else []
                began, used = time.perf_counter(), _used()
                subprocess.run([*MATCHER, *words, *place], check=True, capture_output=True)
                if turn:  # the first is for the caches
                    taken[name].append((time.perf_counter() - began, _used() - used))
    print("| command | wall, least [s] | processor, least [s] |\n|---|---|---|")
    for name, all_of_it in taken.items():
        wall, processor = (min(one) for one in zip(*all_of_it, strict=True))
        print(f"| {name} | {wall:.2f} | {processor:.2f} |")


def _used() -> float:
    spent = resource.getrusage(resource.RUSAGE_CHILDREN)
    return spent.ru_utime + spent.ru_stime


def small_pictures(runs: int) -> None:
    """Seconds of the processor for SVG and PNG of each entry's small picture, best of the runs."""
    catalogue = load_catalogue()
    taken: dict[str, tuple[float, float]] = {}
    for key, entry in catalogue.accessories.items():
        gauge = Gauge.from_stitches(22.0, catalogue.fabric)
        known = (catalogue.sizes, catalogue.motifs, catalogue.fabric, catalogue.fitting)
        fitted = as_listed(entry, entry.sizes[-1], gauge, *known)
        colours = {role.name: parse_colour(code, {}) for role, code in zip(entry.roles, CODES, strict=False)}
        as_svg, as_png = [], []
        for _ in range(runs):
            began = time.process_time()
            svg(small_scene(fitted, colours, catalogue.fabric, accessory=entry))
            as_svg.append(time.process_time() - began)
            began = time.process_time()
            scene = small_scene(fitted, colours, catalogue.fabric, accessory=entry)
            png(scene, 200 / max(scene.width, scene.height))
            as_png.append(time.process_time() - began)
        taken[key] = min(as_svg), min(as_png)
    print("| small picture | SVG [s] | PNG [s] |\n|---|---|---|")
    for key, (first, second) in sorted(taken.items(), key=lambda one: -max(one[1]))[:6]:
        print(f"| {key} | {first:.3f} | {second:.3f} |")
    middle = [statistics.median(one) for one in zip(*taken.values(), strict=True)]
    print(f"| median of {len(taken)} | {middle[0]:.3f} | {middle[1]:.3f} |")


if __name__ == "__main__":
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    small_pictures(times)
    commands(times)
