"""The whole of `suggest` on bins of any kind: what there is in them is drawn as well as the lots. By hand:

    python tests/benchmarks/any_bin.py [lots [bins [first seed]]]        500 lots, 20 bins, seed 0
    python tests/benchmarks/any_bin.py --write 500 7 FOLDER             only the bin of seed 7

Drawn are the range of lightness and of hue, in how many heaps the colours lie, grams, ball bands, fibres, how many lots
are from garments, how many are variegated or heathers, how many are told in words, and whether there are people to knit
for. So some bins hold nothing that reads, others only scraps of lace: what she waits for in the worst of them counts.
"""

from __future__ import annotations

import csv
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

import numpy as np
from whole import MATCHER, surroundings

from matcher.materials.colours.cielab import hex_from_lab

BALLS = (
    *((50, 230), (50, 160), (50, 125), (100, 200), (50, 75), (100, 110), (25, 125)),
    *((50, 400), (100, 60), (25, 210), (50, 90), (100, 420), (500, 2000), (10, 45)),
)
FIBRES = (
    *("wool", "merino", "75% wool 25% nylon", "alpaca", "cotton", "70% mohair 30% silk", "acrylic", "", "linen"),
    *("superwash wool", "80% wool 20% alpaca", "50% cotton 50% acrylic", "silk", "cashmere"),
)
WORDS = (
    *("navy", "cream", "dark green", "light grey", "red", "mustard", "rust", "teal"),
    *("white", "black", "pale blue", "brown", "purple", "pink", "oatmeal", "charcoal"),
)
ROLES = ("main", "contrast 1", "contrast 2", "contrast 3", "contrast 4")
PEOPLE = Path(__file__).parents[2] / "demo" / "people.csv"
MOST_S = 240  # that a run may take on the clock


class Colours:
    """How the colours of a bin are drawn: in heaps or evenly between two lightnesses."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng, self.low = rng, rng.uniform(5, 85)
        self.high = min(95, self.low + rng.choice([2, 6, 15, 30, 60, 90]))
        self.chroma, self.heaps = rng.choice([0, 2, 10, 30, 55]), int(rng.choice([0, 0, 1, 3, 8, 20]))
        self.spread = rng.choice([0.3, 1, 3, 6])

    def place_heaps(self) -> None:
        """Draw where the heaps lie."""
        number, chroma = max(1, self.heaps), self.chroma
        ends = (self.low, self.high), (-chroma, chroma), (-chroma, chroma)
        self.places = np.column_stack([self.rng.uniform(*both, number) for both in ends])

    def code(self) -> str:
        """The code of a colour."""
        rng = self.rng
        if self.heaps:
            lab = self.places[rng.integers(self.heaps)] + rng.normal(0, self.spread, 3)
        else:
            hue, chroma = rng.uniform(0, 2 * np.pi), rng.uniform(0, self.chroma)
            lab = np.array([rng.uniform(self.low, self.high), chroma * np.cos(hue), chroma * np.sin(hue)])
        return str(hex_from_lab((float(np.clip(lab[0], 2, 98)), float(lab[1]), float(lab[2]))))


def write(folder: Path, number: int, seed: int) -> str:
    """A folder bin of so many lots; what was drawn for it, in a few words."""
    rng = np.random.default_rng(seed)
    colours = Colours(rng)
    shape, scale, cap = rng.choice([0.8, 2, 5]), rng.choice([3, 8, 18, 40]), rng.choice([1e9, 15, 40])
    balls, fibres = (
        [several[at] for at in rng.choice(len(several), rng.integers(1, most), replace=False)]
        for several, most in ((BALLS, 8), (FIBRES, 7))
    )
    kept, mixed = rng.choice([0, 0, 0.5, 0.95]), rng.choice([0, 0, 0.1, 0.5])
    worded, gone, people = rng.choice([0, 0, 0, 0.3, 1]), rng.choice([0, 0.5, 1]), rng.random() < 0.3
    of_one_yarn, label = rng.random() >= 0.5, rng.choice(["yes", "no", ""])
    colours.place_heaps()

    def colour() -> str:
        if rng.random() < worded:
            return WORDS[rng.integers(len(WORDS))]
        if rng.random() >= mixed:
            return colours.code()
        three = f"{colours.code()} 50%, {colours.code()} 30%, {colours.code()} 20%"
        return f"heather {three}" if rng.random() < 0.4 else three

    garments: list[tuple[object, ...]] = []
    lots: list[tuple[object, ...]] = []
    while len(lots) < number:
        ball, fibre = balls[rng.integers(len(balls))], fibres[rng.integers(len(fibres))]
        is_kept, yarn = rng.random() < kept, f"yarn {rng.integers(max(2, number // 4))}"
        if is_kept:
            status = "gone" if rng.random() < gone else rng.choice(["worn", "given"])
            garments.append((f"garment {len(garments)}", "pullover", status, int(rng.integers(60, 125))))
        wash = rng.choice(["hand", "machine", ""])
        for role in ROLES[: rng.integers(1, 6)]:
            grams = round(float(min(cap, rng.gamma(shape, scale))) + 1, 1)
            home = (garments[-1][0], role) if is_kept else ("", "")
            told = yarn if of_one_yarn else f"yarn of {len(lots)}"
            pieces = 1 + int(grams // ball[0])
            cells = (*home, told, colour(), grams, *ball, fibre, wash, pieces, len(lots), label)
            lots.append((f"lot {len(lots):05d}", *cells))
    head = "lot,garment,role,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,pieces,dye_lot,label"
    _sheet(folder / "lots.csv", head, lots[:number])
    _sheet(folder / "garments.csv", "garment,kind,status,chest_cm", garments)
    if people:
        shutil.copy(PEOPLE, folder)
    heaps = f" in {colours.heaps} heaps" if colours.heaps else ""
    return (
        f"L* {colours.low:.0f} to {colours.high:.0f}, a* and b* up to {colours.chroma}{heaps}; {shape * scale:.0f} g "
        f"and at most {cap:.0f}; {kept:.0%} of garments, {mixed:.0%} mixed, {worded:.0%} words{', people' * people}"
    )


def _sheet(path: Path, head: str, rows: list[tuple[object, ...]]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", newline="", encoding="utf-8") as out:
        csv.writer(out).writerows([head.split(","), *rows])


def main() -> None:
    """Print the table."""
    if sys.argv[1:2] == ["--write"]:
        print(write(Path(sys.argv[4]), int(sys.argv[2]), int(sys.argv[3])))
        return
    number, bins, first = (int(one) for one in (*sys.argv[1:], *("500", "20", "0")[len(sys.argv) - 1 :]))
    print("| seed | of the processor [s] | on the clock [s] | what was drawn |")
    print("|---|---|---|---|")
    with tempfile.TemporaryDirectory() as place:
        for seed in range(first, first + bins):
            folder = Path(place) / str(seed)
            drawn = write(folder, number, seed)
            before, began = getrusage(RUSAGE_CHILDREN), time.perf_counter()
            try:
                command = [*MATCHER, str(folder)]
                subprocess.run(command, check=True, capture_output=True, env=surroundings(folder), timeout=MOST_S)
                more = ""
            except subprocess.TimeoutExpired:
                more = "more than "
            after = getrusage(RUSAGE_CHILDREN)
            busy = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
            print(f"| {seed} | {more}{busy:.1f} | {time.perf_counter() - began:.1f} | {drawn} |", flush=True)


if __name__ == "__main__":
    main()
