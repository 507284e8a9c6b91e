"""The best that belongs together with each of many pools, found by sorting and never pair by pair."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.kindred import Kindred

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Sharers:
    """Those of k pools that have a name in common with others: one entry for each pool and name.

    who : (e,), places among the k, those of one name together. column : (e,), which of its names it is. start : (g,),
    where each name begins. of : (e,), which name it is. kindred : how far two that share one belong together.
    """

    who: Indexes
    column: Indexes
    start: Indexes
    of: Indexes
    kindred: float

    def best_other(self, values: Floats) -> Floats:
        """The highest of the values (..., k) that another of the same name has: of each entry (..., e)."""
        mine = values[..., self.who]
        top = np.maximum.reduceat(mine, self.start, axis=-1)[..., self.of]
        is_top = mine == top
        alone = np.add.reduceat(is_top, self.start, axis=-1, dtype=np.intp)[..., self.of] == 1
        second = np.maximum.reduceat(np.where(is_top, -np.inf, mine), self.start, axis=-1)[..., self.of]
        return np.where(is_top & alone, second, top)


def sharers_of(pools: Indexes, kindred: Kindred) -> list[Sharers]:
    """The garments and the yarns of some pools, all different, that more than one of them has."""
    found = []
    for numbers, value in ((kindred.homes, 1.0), (kindred.yarns, kindred.one_yarn)):
        who, column = np.nonzero(numbers[pools] >= 0)
        names = numbers[pools[who], column]
        order = np.argsort(names, kind="stable")
        first = np.diff(names[order], prepend=-1) != 0
        alone = first & np.append(first[1:], True)
        order, first = order[~alone], first[~alone]
        if len(order):
            found.append(Sharers(who[order], column[order], np.flatnonzero(first), np.cumsum(first) - 1, value))
    return found


def best_mates(values: Floats, sharers: list[Sharers], share: float) -> Floats:
    """The highest of the values (..., k) among those that belong together with each, and what that adds: (..., k).

    share : of the score that a pair counts which belongs together wholly. -inf where a pool has nobody.
    """
    best = np.full(values.shape, -np.inf)
    for one in sharers:
        others = one.best_other(values) + share * one.kindred
        for column in range(int(one.column.max()) + 1):  # a pool with several names has several entries
            at = np.flatnonzero(one.column == column)
            best[..., one.who[at]] = np.maximum(best[..., one.who[at]], others[..., at])
    return best
