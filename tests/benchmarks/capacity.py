"""What a collection costs by its lots and by the accessories that are asked: parts in two rounds, in this process. By hand:

    python tests/benchmarks/capacity.py                        all cases, and the slopes that they come to
    python tests/benchmarks/capacity.py nowhere 10000 57 4     one case: lots of a part, accessories, parts

Seconds are of the processor. What a part answers is weighed as it would be sent. Reading the parts is not in it: see
`collection.py` and `stages.py`.
"""

from __future__ import annotations

import json
import pickle
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from rounds import stock

from matcher.actions.desk import Desk
from matcher.matching.pools import Stock
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.rounds.parts import Ask, search_parts
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue

LOTS, PARTS = (1_000, 10_000, 100_000), 4
COLUMNS = ("part_s", "first_s", "second_s", "rest_s", "first_kb", "second_kb", "kept", "peak_mb")


class Measured:
    """A mapper that notes what each part takes and answers."""

    def __init__(self) -> None:
        self.seconds: list[list[float]] = []
        self.bytes: list[list[int]] = []

    def map(self, function: Callable[[Any], Any], parts: Sequence[Any]) -> Iterator[Any]:
        """The answers, one after the other; a list of figures for each round."""
        seconds, sizes = [], []
        self.seconds.append(seconds)
        self.bytes.append(sizes)
        for part in parts:
            began = time.process_time()
            answer = function(part)
            seconds.append(time.process_time() - began)
            sizes.append(len(pickle.dumps(answer)))
            yield answer


def part(where: str, lots: int, seed: int) -> Stock:
    """One part, whose garments are its own."""
    drawn = stock(where, lots, load_catalogue(), seed)
    garments = tuple(f"{seed}: {one}" for one in range(int(drawn.homes.max()) + 1))
    yarns = tuple(f"yarn {one}" for one in range(int(drawn.yarns.max()) + 1))
    return replace(drawn, garments=garments, yarn_names=yarns)


def measure(where: str, lots: int, accessories: int, parts: int) -> dict[str, float]:
    """Means of a part, and what is left for the one that gathers."""
    catalogue = load_catalogue()
    every = Desk(Bin(()), catalogue).variants
    # Spread over the catalogue, so that fewer accessories are not only those of the first kinds.
    keys = np.array(list(every))[np.linspace(0, len(every) - 1, accessories).round().astype(int)]
    scope = scope_of({key: every[key] for key in keys.tolist()}, Wishes(varied=True))
    look = partial(part, where, lots)
    drawn = time.process_time()
    look(1)
    part_s = time.process_time() - drawn
    mapper, began = Measured(), time.process_time()
    found = search_parts(Ask(look, scope, catalogue, True), range(1, parts + 1), mapper)
    whole = time.process_time() - began
    first, *second = mapper.seconds
    return {
        "part_s": part_s,
        "first_s": float(np.mean(first)) - part_s,
        "second_s": float(np.mean([np.mean(one) for one in second])) - part_s,
        "rest_s": whole - sum(map(sum, mapper.seconds)),
        "passes": float(len(second)),
        "first_kb": float(np.mean(mapper.bytes[0])) / 1e3,
        "second_kb": float(np.mean([np.mean(one) for one in mapper.bytes[1:]])) / 1e3,
        "kept": float(found.kept),
        "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def child(*case: object) -> dict[str, float]:
    """The same in a process of its own, so that its peak memory is its own."""
    command = [sys.executable, str(Path(__file__).resolve()), *map(str, case)]
    got: dict[str, float] = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
    return got


def main() -> None:
    """Print the tables and the slopes."""
    whole = len(Desk(Bin(()), load_catalogue()).variants)
    print("| lots from | lots of a part | accessories | passes | " + " | ".join(COLUMNS[1:]) + " |")
    print("|---" * (4 + len(COLUMNS) - 1) + "|")
    for where in ("nowhere", "garments"):
        cases = [(lots, whole) for lots in LOTS] + [(LOTS[1], whole // 2), (LOTS[1], 3 * whole // 4)]
        found = {case: child(where, *case, PARTS) for case in cases}
        for (lots, accessories), got in found.items():
            figures = " | ".join(f"{got[name]:.3g}" for name in COLUMNS[1:])
            print(f"| {where} | {lots:,} | {accessories} | {got['passes']:.0f} | {figures} |", flush=True)
        for name, unit in (("first_s", "s"), ("second_s", "s"), ("second_kb", "kB"), ("peak_mb", "MB")):
            slope, start = np.polyfit(LOTS, [found[lots, whole][name] for lots in LOTS], 1)
            print(f"{where}, {name}: {start:.3g} {unit} and {1e6 * slope:.3g} {unit} a million lots")
        some = [whole // 2, 3 * whole // 4, whole]
        for name in ("first_s", "second_s", "first_kb"):
            slope, start = np.polyfit(some, [found[LOTS[1], number][name] for number in some], 1)
            print(f"{where}, {name}: {start:.3g} and {slope:.3g} an accessory, {LOTS[1]:,} lots")


if __name__ == "__main__":
    if len(sys.argv) > 4:
        print(json.dumps(measure(sys.argv[1], *map(int, sys.argv[2:5]))))
    else:
        main()
