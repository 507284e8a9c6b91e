"""What each stage of `suggest` but the search costs by number of lots: from the bin on the disk to what is told. By hand:

    python tests/benchmarks/stages.py             500, 5,000 and 50,000 lots, sheets and stores, two seeds
    python tests/benchmarks/stages.py BIN         one bin

Each bin is laid out in a process of its own, in seconds of the processor; below stands what a lot more takes, from the
two largest. Bins are those of `whole.py`. Telling is that of ten suggestions.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count, islice, product
from pathlib import Path

import numpy as np
import whole

STAGES = ("reading", "reserves and pools", "stock", "telling ten")
NUMBERS, SEEDS = (500, 5_000, 50_000), (1, 2)


def stages(place: str) -> dict[str, float]:
    """Seconds of the processor of each stage of one bin, in this process."""
    from matcher.actions.desk import Desk
    from matcher.actions.ranking.question import Question
    from matcher.actions.ranking.teller import Teller
    from matcher.matching.ranking.near_miss import largest_of
    from matcher.matching.ranking.ready import searcher_of
    from matcher.matching.ranking.scope import Wishes
    from matcher.matching.ranking.search import search_scope

    took: dict[str, float] = {}

    @contextmanager
    def stage(name: str) -> Iterator[None]:
        began = time.process_time()
        yield
        took[name] = time.process_time() - began

    desk = Desk(place)
    assert desk.variants  # what is the same for all bins is read before the clock runs
    with stage("reading"):
        assert desk.bin.lots
    with stage("reserves and pools"):
        shelf = desk.shelf
    with stage("stock"):
        laid = Question(desk, Wishes(varied=True)).laid()
    # Searched among few, since the search is measured elsewhere; told as of all.
    few = largest_of(laid.stock, 100)
    chosen = search_scope(searcher_of(few, laid.scope, laid.catalogue), laid.scope).chosen
    with stage("telling ten"):
        teller = Teller(laid.who, shelf.groups, laid.scope)
        for number, one in zip(count(1), islice(chosen, 10), strict=False):
            teller.suggestion(number, one, few)
    return took


def measured(place: Path) -> list[float]:
    """The same in a process of its own, the better of two."""
    command = [sys.executable, __file__, str(place), "--json"]
    environment = {**os.environ, "MATCHER_BIN": str(place.parent / "none")}
    runs = [
        json.loads(subprocess.run(command, check=True, capture_output=True, env=environment).stdout) for _ in range(2)
    ]
    return [min(run[name] for run in runs) for name in STAGES]


def main() -> None:
    """Print the table."""
    if len(sys.argv) > 1:
        print(json.dumps(stages(sys.argv[1])))
        return
    print(f"| bin | seed | lots | {' | '.join(f'{name} [s]' for name in STAGES)} |")
    print(f"|---|---|---|{'---|' * len(STAGES)}")
    with tempfile.TemporaryDirectory() as base:
        for kind, seed in product(("sheets", "store"), SEEDS):
            seconds = []
            for number in NUMBERS:
                place = Path(base) / f"{number}-{seed}"
                if kind == "sheets":
                    whole.write(place, "colours", number, seed)
                else:
                    place = place.with_suffix(".db")
                    take_in = [
                        sys.executable,
                        "-m",
                        "matcher",
                        "intake",
                        str(place.with_suffix("")),
                        "--bin",
                        str(place),
                    ]
                    subprocess.run([*take_in, "--yes"], check=True, capture_output=True)
                seconds.append(measured(place))
                print(f"| {kind} | {seed} | {number} | {' | '.join(f'{one:.3f}' for one in seconds[-1])} |", flush=True)
            slopes = np.diff(np.array(seconds[-2:]), axis=0)[0] / (NUMBERS[-1] - NUMBERS[-2]) * 1e6
            print(f"| {kind} | {seed} | a lot more, µs | {' | '.join(f'{one:.1f}' for one in slopes)} |", flush=True)


if __name__ == "__main__":
    main()
