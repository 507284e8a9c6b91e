"""A long row said shortly: runs of the same stitch, and groups that come several times, in brackets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import TypeAlias

from matcher.knitting.pattern.stitches import Stitch

_MOST_RUNS = 90  # beyond it only whole periods are looked for: such rows are charted


@dataclass(frozen=True)
class Run:
    """The same stitch so many times."""

    stitch: Stitch
    times: int


@dataclass(frozen=True)
class Repeated:
    """What stands in brackets, and how often it is worked."""

    items: tuple[Item, ...]
    times: int


Item: TypeAlias = Run | Repeated


def runs_of(stitches: Sequence[Stitch]) -> tuple[Run, ...]:
    """Neighbours alike as one run."""
    return tuple(Run(stitch, len(list(same))) for stitch, same in groupby(stitches))


def said_shortly(runs: tuple[Run, ...]) -> tuple[Item, ...]:
    """The same stitches with as few words as possible; a repeat may hold repeats."""
    return _shortest(runs)[1]


@lru_cache(maxsize=4096)
def _shortest(runs: tuple[Run, ...]) -> tuple[int, tuple[Item, ...]]:
    """What it costs to say, and how: 2 a run, 1 a pair of brackets. The best of every beginning, from the best of
    shorter ones: either the last run by itself, or some last runs that come several times."""
    if len(runs) > _MOST_RUNS:
        return _period(runs)
    best: list[tuple[int, tuple[Item, ...]]] = [(0, ())]
    for end in range(1, len(runs) + 1):
        cost, items = best[end - 1]
        least, said = cost + 2, (*items, runs[end - 1])
        for width in range(1, end // 2 + 1):
            start = end - width
            unit = runs[start:end]
            while start >= width and runs[start - width : start] == unit:
                start -= width
                inner_cost, inner = _shortest(unit)
                tried = best[start][0] + 1 + inner_cost
                if tried < least:
                    least, said = tried, (*best[start][1], Repeated(inner, (end - start) // width))
        best.append((least, said))
    return best[-1]


def _period(runs: tuple[Run, ...]) -> tuple[int, tuple[Item, ...]]:
    for width in range(1, len(runs) // 2 + 1):
        times = len(runs) // width
        if runs[:width] * times == runs[: width * times]:
            cost, inner = _shortest(runs[:width])
            rest = runs[width * times :]
            return cost + 1 + 2 * len(rest), (Repeated(inner, times), *rest)
    return 2 * len(runs), runs
