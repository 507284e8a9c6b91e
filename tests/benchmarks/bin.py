"""A bin of many lots, whole processes: intake, triage, export, tags. Figures are printed, nothing is asserted.

.venv/bin/python tests/benchmarks/bin.py [lots]
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from matcher.actions.keeping.triage import triage

RUN = [sys.executable, "-c", "from matcher.cli.main import main; main()"]
BLENDS = ("wool", "merino", "80% wool 20% nylon", "cotton", "70% mohair 30% silk", "unknown")
KINDS = ("pullover", "cardigan", "vest", "yoke pullover")
BALLS = ((50, 125), (50, 100), (100, 420), (100, 200), (25, 210), (50, 165))


def write_bin(folder: Path, number: int, seed: int = 1) -> None:
    """A folder bin: five lots of three colours a garment, a few lots without one, some with the label lost."""
    rng = np.random.default_rng(seed)
    garments = ["garment,kind,status,chest_cm"]
    lots = ["lot,garment,role,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,pieces,dye_lot,label,reserve,place"]
    for owner in range(number // 5):
        status = rng.choice(["worn", "given", "gone"], p=[0.6, 0.2, 0.2])
        garments.append(f"garment {owner},{rng.choice(KINDS)},{status},{rng.integers(60, 130)}")
    for place in range(number):
        owner = place // 5
        garment = f"garment {owner}" if rng.random() < 0.8 and owner < number // 5 else ""
        ball_g, ball_m = BALLS[owner % len(BALLS)]
        colour = place % 5 % 3
        role = ("main", "contrast 1", "contrast 2")[colour]
        code = f"#{(owner * 7919 + colour * 4_000_037) % 0xFFFFFF:06x}"
        grams = ball_g if rng.random() < 0.1 else int(rng.integers(3, 90))
        cells = [
            *(f"lot {place:05d}", garment, role, f"yarn {owner % 40}", code, grams, ball_g, ball_m),
            *(BLENDS[owner % len(BLENDS)], "hand", 1 + grams // ball_g, owner * 10 + colour),
            *(rng.choice(["yes", "no", "partly"], p=[0.9, 0.05, 0.05]), "", f"box {owner % 30}"),
        ]
        lots.append(",".join(map(str, cells)))
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "lots.csv").write_text("\n".join(lots) + "\n", encoding="utf-8")
    (folder / "garments.csv").write_text("\n".join(garments) + "\n", encoding="utf-8")


def seconds(*arguments: object, cwd: Path) -> tuple[float, float]:
    """Of one whole process: seconds on the clock, and seconds of the processor (what an idle machine would take)."""
    before, start = os.times(), time.perf_counter()
    environment = {**os.environ, "MATCHER_BIN": str(cwd / "bin.sqlite")}
    done = subprocess.run([*RUN, *map(str, arguments)], cwd=cwd, env=environment, capture_output=True, text=True)
    if done.returncode:
        raise SystemExit(f"{arguments}: {done.stderr}")
    after = os.times()
    spent = after.children_user + after.children_system - before.children_user - before.children_system
    return time.perf_counter() - start, spent


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        write_bin(place / "sheets", number)
        print(f"{number} lots, {number // 5} garments; whole processes: seconds on the clock, of the processor")
        for words in (
            ("intake", "sheets"),
            ("intake", "sheets", "--dry-run"),
            ("triage", "--json"),
            ("triage", "sheets", "--json"),
            ("export", "out"),
            ("export", "out.xlsx"),
            ("export", "out.ods"),
            ("intake", "out.xlsx", "--dry-run"),
            ("intake", "out.ods", "--dry-run"),
        ):
            wall, spent = seconds(*words, cwd=place)
            print(f"  {' '.join(words):32} {wall:6.2f} {spent:6.2f}")
        before, start = time.process_time(), time.perf_counter()
        triage(place / "bin.sqlite").as_dict()
        wall, spent = time.perf_counter() - start, time.process_time() - before
        print(f"  {'triage, the action by itself':32} {wall:6.2f} {spent:6.2f}")
        write_bin(place / "small", 500)
        wall, spent = seconds("tags", "small", "--out", "tags.html", cwd=place)
        print(f"  {'tags of 500 lots':32} {wall:6.2f} {spent:6.2f}")


if __name__ == "__main__":
    main()
