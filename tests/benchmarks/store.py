"""How quick the store is: actions as whole processes on 10,000 lots, reading the bin, and many actions in one process.

    python tests/benchmarks/store.py [LOTS]

Each action is timed beside an empty Typer command, since starting takes most of the time; machines differ, and the
ratio says more than the seconds.
"""

from __future__ import annotations

import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.database.bin import read_store
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

EMPTY = "import typer\napp = typer.Typer()\n@app.command()\ndef empty(word: str = '') -> None:\n    pass\napp()"
RUN = "from matcher.cli.main import main; main()"
TIMES = 7


def fill(path: Path, lots: int) -> float:
    """A store of that many lots of 500 garments; seconds taken."""
    chance = random.Random(7)
    start = time.perf_counter()
    with open_store(path, create=True) as store, store.action("fill") as act:
        for number in range(500):
            status = chance.choice(["worn", "given", "gone"])
            act.insert(
                "garments", {"garment": f"garment {number}", "status": status, "kind": "pullover", "chest_cm": "98"}
            )
        for number in range(lots):
            act.insert(
                "lots",
                {
                    "lot": f"lot {number}",
                    "garment": f"garment {chance.randrange(500)}",
                    "yarn": f"yarn {chance.randrange(60)}",
                    "colour": f"#{chance.randrange(1 << 24):06x}",
                    "grams": str(chance.randint(20, 150)),
                    "ball_grams": "50",
                    "ball_metres": chance.choice(["100", "125", "160", "210"]),
                    "fibre": chance.choice(["wool", "80% wool 20% nylon", "cotton"]),
                    "dye_lot": str(chance.randrange(40)),
                    "place": f"box {chance.randrange(9)}",
                },
            )
    return time.perf_counter() - start


def seconds(arguments: list[str], path: Path) -> float:
    """A whole process, from start to end."""
    start = time.perf_counter()
    done = subprocess.run(arguments, capture_output=True, text=True, env={**os.environ, "MATCHER_BIN": str(path)})
    taken = time.perf_counter() - start
    assert done.returncode == 0, done.stderr
    return taken


def inside(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main(lots: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bin.sqlite"
        print(f"{lots} lots, put in as one action: {fill(path, lots):.2f} s, {path.stat().st_size / 1e6:.1f} MB")
        actions = {
            "weigh": ["weigh", "lot 7", "41g"],
            "move": ["move", "lot 7", "top shelf"],
            "split": ["split", "lot 7", "1g"],
            "mended": ["mended", "garment 3", "lot 7", "1m"],
            "garment": ["garment", "garment 3", "given"],
            "undo": ["undo"],
            "undo --list": ["undo", "--list"],
            "change a place": ["change", "lot 7", "--place", "attic"],
            "change a fibre": ["change", "lot 7", "--fibre", "FIBRE"],
            "add": ["add", "NAME", "--grams", "41", "--colour", "navy", "--class", "3"],
            "begin": ["begin", "egg-cosy", "--lots", "lot 9", "--anyway"],
            "verify": ["verify"],
        }
        taken: dict[str, list[float]] = {"empty": []} | {name: [] for name in actions}
        for turn in range(TIMES):  # in turns, so that a busy moment falls on all alike
            taken["empty"].append(seconds([sys.executable, "-c", EMPTY], path))
            for name, words in actions.items():
                fresh = {"NAME": f"new {turn}", "FIBRE": ("cotton", "wool")[turn % 2]}
                given = [fresh.get(word, word) for word in words]
                taken[name].append(seconds([sys.executable, "-c", RUN, *given], path))
        empty = statistics.median(taken["empty"])
        print(f"an empty command {empty:.3f} s (median of {TIMES})")
        for name in actions:
            median = statistics.median(taken[name])
            print(f"  {name:15} {median:6.3f} s   {median / empty:4.1f} times the empty command")
        catalogue = load_catalogue()
        reading = [inside(lambda: read_store(path, catalogue)) for _ in range(3)]
        print(f"the bin of {lots} lots, in one process: {reading[0]:.2f} s, again {min(reading[1:]):.2f} s")
        with open_store(path) as store:
            print(f"verify without the cells: {inside(lambda: faults_of(store)):.2f} s")
            print(f"a dated copy: {inside(lambda: store.back_up('trial')):.2f} s")

            def weigh_many() -> None:
                for number in range(200):
                    with store.action("weigh") as act:
                        act.update("lots", f"lot {number}", {"grams": "7"})

            print(f"an action in one process: {inside(weigh_many) / 200 * 1000:.1f} ms (mean of 200, each on the disk)")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
