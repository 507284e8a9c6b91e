"""Pools that are much alike, put together into cells, so that a bound costs the cells and not the pools."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from matcher.matching.kindred import Kindred
from matcher.matching.ranking.choices import ranges
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.tex_steps import TexSteps
from matcher.matching.rounds.lightness import Lightness

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
AnyFigures = npt.NDArray[Any]

# At most so many groups of each step of thickness. They change how long a search takes, never what it finds. Finer ones
# must be so many times as many that each lies in one of the coarser.
_GROUPS = (12, 192)
_NARROW = 1e-6  # on the logarithm; so that a step of equal lots is no zero


@dataclass(frozen=True)
class Groups:
    """m groups of pools: those at `order[start[i]:start[i + 1]]`; start is (m + 1,)."""

    order: Indexes
    start: Indexes

    def __len__(self) -> int:
        return len(self.start) - 1

    @cached_property
    def single(self) -> bool:
        """Whether each pool is a group by itself."""
        return len(self) == len(self.order)

    @cached_property
    def place(self) -> Indexes:
        """Where each pool stands in the order: array (n,)."""
        place = np.empty_like(self.order)
        place[self.order] = np.arange(len(place))
        return place

    def within(self, other: Groups, at: Indexes) -> Indexes:
        """Which of these lie in the groups at `at` of another, coarser way to group the same order."""
        low, high = (np.searchsorted(self.start, other.start[at + more]) for more in (0, 1))
        return ranges(low, high - low)


def levels(searcher: Searcher, steps: TexSteps) -> list[Groups]:
    """All pools: those together that suit the same gauges and have nearly as much free yarn; ever finer, at last each
    by itself. On the logarithm all groups of a level and a step are as wide: in each the chance and the part that is
    used up are as near to each other."""
    step, free = steps.at(searcher.stock.tex), np.log(searcher.stock.free_m)
    order, start = _by_number(step)
    low, high = (most.reduceat(free[order], start) for most in (np.minimum, np.maximum))
    number = np.repeat(np.arange(len(start)), np.diff(start, append=len(order)))
    wide, finest = np.maximum(high - low, _NARROW), _GROUPS[-1]
    place = ((free[order] - low[number]) * (finest / wide)[number]).astype(np.intp)
    number = number * finest + np.minimum(place, finest - 1)
    within, _ = _by_number(number)
    order, number = order[within], number[within]
    found = [Groups(order, _starts(number // (finest // most))) for most in _GROUPS]
    return [*found, Groups(order, np.arange(len(order) + 1))]


def _by_number(numbers: Indexes) -> tuple[Indexes, Indexes]:
    """The order of small numbers, equal ones as they stood, and where each that there is begins in it.

    In as few bytes as they need, since two are sorted several times as fast as eight."""
    order = np.argsort(numbers.astype(np.min_scalar_type(int(numbers.max(initial=0)))), kind="stable")
    return order, _starts(numbers[order])[:-1]


def _starts(numbers: Indexes) -> Indexes:
    """Where each of some rising numbers begins, and where the last ends."""
    return np.append(np.flatnonzero(np.diff(numbers, prepend=-1)), len(numbers))


@dataclass(frozen=True)
class Cells:
    """m cells as the ranges of their pools' figures, arrays (m,), so that what is worked out of them is never below
    what it is of any of their pools; where each cell is one pool, it is just that.

    light : of all pools. beyond : (n,), how far each could belong together with one in another part of the stock; None
    for a whole one.
    carries : whether all of them do. on_skin, reads, scarcity : the most. able, able_on_skin : whether any may be used.
    """

    groups: Groups
    kindred: Kindred
    light: Lightness
    least_tex: Floats
    most_tex: Floats
    least_m: Floats
    most_m: Floats
    log_sd: Floats
    scarcity: Floats
    least_usable: Floats
    most_usable: Floats
    carries: Flags
    on_skin: Floats
    reads: Floats
    able: Flags
    able_on_skin: Flags
    beyond: Floats | None = None
    finer: Cells | None = None

    def __len__(self) -> int:
        return len(self.least_m)

    @cached_property
    def _kin(self) -> dict[int, Floats]:
        return {}

    def kin(self, others: int) -> Floats:
        """The most that any of each could be kindred to so many others, added up: array (m,)."""
        if others not in self._kin:
            if self.finer is not None:
                self._kin[others] = np.maximum.reduceat(self.finer.kin(others), self.of_finer)
                return self._kin[others]
            most = self.kindred.most(others)
            if self.beyond is not None:
                most = self.beyond * others + (1.0 - self.beyond) * most
            self._kin[others] = most[self.groups.order]
        return self._kin[others]

    @cached_property
    def of_finer(self) -> Indexes:
        """Where each begins among the finer cells: array (m,)."""
        assert self.finer is not None
        return np.searchsorted(self.finer.groups.start, self.groups.start[:-1])

    def away(self, pools: Indexes) -> Floats | float:
        """How far some of the pools could belong together with one in another part of the stock."""
        return 0.0 if self.beyond is None else self.beyond[pools]


def cells_of(searcher: Searcher, groups: Sequence[Groups], beyond: Floats | None = None) -> list[Cells]:
    """The cells of a searcher's pools, for ever finer groups of which the last are of one pool each."""
    stock, order = searcher.stock, groups[-1].order
    tex, free_m, usable = stock.tex[order], stock.free_m[order], searcher.usable_m[order]
    found = [
        Cells(
            groups[-1],
            stock.kindred,
            Lightness(searcher.colours, stock, order),
            tex,
            tex,
            free_m,
            free_m,
            stock.log_sd[order],
            searcher.scarcity[order],
            usable,
            usable,
            searcher.carries[order],
            stock.on_skin[stock.kind][order],
            searcher.potential(stock)[order],
            searcher.able(order, False),
            searcher.able(order, True),
            beyond,
        )
    ]
    for one in reversed(groups[:-1]):
        found.insert(0, _put_together(found[0], one))
    return found


def _put_together(cells: Cells, groups: Groups) -> Cells:
    """Coarser cells of finer ones."""
    if not len(groups):
        return replace(cells, groups=groups)
    start = np.searchsorted(cells.groups.start, groups.start[:-1])

    def least(figures: AnyFigures) -> AnyFigures:
        return np.minimum.reduceat(figures, start)

    def most(figures: AnyFigures) -> AnyFigures:
        return np.maximum.reduceat(figures, start)

    return Cells(
        groups,
        cells.kindred,
        cells.light,
        least(cells.least_tex),
        most(cells.most_tex),
        least(cells.least_m),
        most(cells.most_m),
        least(cells.log_sd),
        most(cells.scarcity),
        least(cells.least_usable),
        most(cells.most_usable),
        least(cells.carries),
        most(cells.on_skin),
        most(cells.reads),
        most(cells.able),
        most(cells.able_on_skin),
        cells.beyond,
        cells,
    )
