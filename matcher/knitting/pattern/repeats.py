"""A long row said shortly: runs of the same stitch, and groups that come several times, in brackets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import TypeAlias

from matcher.knitting.pattern.courses import period_of
from matcher.knitting.pattern.stitches import Stitch


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


def said_shortly(stitches: Sequence[Stitch]) -> tuple[Item, ...]:
    """The same stitches with as few words as possible; a repeat may hold repeats.

    Where a row is one group over and over, a run may reach from one group into the next and hide it, so that is tried
    too.
    """
    cost, said = _shortest(runs_of(stitches))
    group = period_of(stitches, whole=True)
    inner_cost, inner = _shortest(runs_of(stitches[:group]))
    return said if cost <= 1 + inner_cost else (Repeated(inner, len(stitches) // group),)


@lru_cache(maxsize=4096)
def _shortest(runs: tuple[Run, ...]) -> tuple[int, tuple[Item, ...]]:
    """What it costs to say, and how: 2 a run, 1 a pair of brackets. The best of every beginning, from the best of
    shorter ones: either the last run by itself, or some last runs that come several times. What is a repeat itself is
    not tried as one to be repeated, so that long rows stay quick."""
    best: list[tuple[int, tuple[Item, ...]]] = [(0, ())]
    for end in range(1, len(runs) + 1):
        cost, items = best[end - 1]
        least, said = cost + 2, (*items, runs[end - 1])
        again: list[tuple[int, int]] = []  # how wide what comes several times is, and where it begins
        for width in range(1, end // 2 + 1):
            start = end - width
            if runs[start - 1] != runs[end - 1] or any(width % one == 0 and begin <= start for one, begin in again):
                continue
            unit = runs[start:end]
            while start >= width and runs[start - width : start] == unit:
                start -= width
                inner_cost, inner = _shortest(unit)
                tried = best[start][0] + 1 + inner_cost
                if tried < least:
                    least, said = tried, (*best[start][1], Repeated(inner, (end - start) // width))
            if start < end - width:
                again.append((width, start))
        best.append((least, said))
    return best[-1]
