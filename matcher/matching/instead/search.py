"""The best ways to stand in for a yarn, without trying all of them.

Pools are taken up in the order of what they leave of the score; each is joined and held together with those before it,
so that it is the worst of every way it adds. What a way adds besides is at most known, so that the search ends where no
further pool can reach the last of the best.
"""

from __future__ import annotations

import math
from bisect import insort
from collections.abc import Iterator, Sequence
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.instead.table import Table
from matcher.matching.instead.way import Way
from matcher.matching.together import thickness_factor

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# At most so many strands are held together, and so many pools joined: more are seldom handled (choices).
STRANDS = JOINED = 3
# Sums in another order differ in the last places.
_SLACK = 1e-9


def stand_ins(table: Table, sure: float, top: int) -> list[Way]:
    """The first `top` ways that are enough with the chance asked, best first.

    Equal scores go by fewest strands or joins, then by name (`Way.place`).
    """
    search = _Search(table, sure, top)
    search.run()
    return search.best


class _Search:
    def __init__(self, table: Table, sure: float, top: int) -> None:
        self.table, self.sure, self.top = table, sure, top
        self.weigher = table.weigher
        self.rules = self.weigher.rules
        self.best: list[Way] = []
        self._pairs: dict[tuple[int, int], bool] = {}

    @property
    def bar(self) -> float:
        """The score that a way must at least equal."""
        return self.best[-1].score if len(self.best) == self.top else -np.inf

    def run(self) -> None:
        """Fill `best`."""
        for one in self.table.besides:
            for count in range(1, STRANDS + 1):
                if self.weigher.suits(count * one.tex):
                    self._offer(self.weigher.held((one,), (count,)))
        instead = self.rules.instead
        held = instead.strand_factor * self.rules.together.marl_factor
        most = instead.weight_gauge + instead.weight_handling * max(instead.join_factor, held)
        for last in range(1, len(self.table)):
            if self.table.worth[last] + most < self.bar - _SLACK:
                return
            self._hold(last)
            self._join(last)

    def _offer(self, way: Way) -> bool:
        """Take a way in where it is enough and among the best; whether it is enough."""
        if way.sure < self.sure:
            return False
        insort(self.best, way, key=lambda one: one.place)
        del self.best[self.top :]
        return True

    def _hold(self, last: int) -> None:
        """Two or three strands of the pool at `last` and pools before it."""
        if not self._a_strand[last]:
            return
        before = np.flatnonzero(self._a_strand[:last])
        here = np.full(len(before), last)
        self._threads(np.stack([before, here], axis=1), (1, 1))
        self._threads(np.stack([before, here], axis=1), (2, 1))
        self._threads(np.stack([here, before], axis=1), (2, 1))
        first, second = (before[one] for one in np.triu_indices(len(before), 1))
        self._threads(np.stack([first, second, np.full(len(first), last)], axis=1), (1, 1, 1))

    def _threads(self, members: Indexes, strands: tuple[int, ...]) -> None:
        table, asked = self.table, self.weigher.asked
        counts = np.array(strands)
        tex = (table.tex[members] * counts).sum(axis=1)
        need = asked.need_m * np.sqrt(asked.yarn.tex.mean / tex)
        fits = thickness_factor(tex, asked.yarn.tex.mean, self.rules.together) > 0
        # Less than its mean need is not enough with any chance that may be asked for.
        fits &= (table.free_m[members] >= need[:, None] * counts - _SLACK).all(axis=1)
        for a in range(len(strands)):
            for b in range(a):
                fits &= table.go_together[members[:, a], members[:, b]] > 0
        members, tex = members[fits], tex[fits]
        handling = self.rules.instead.strand_factor ** (int(counts.sum()) - 1) * self.rules.together.marl_factor
        for row in self._promising(members, table.scores(members, tex, handling), strands):
            self._offer(self.weigher.held([table.besides[place] for place in row], strands))

    def _promising(self, members: Indexes, scores: Floats, strands: Sequence[int]) -> Iterator[list[int]]:
        """Those that may still be among the best, in the order in which they would stand there."""
        at = np.flatnonzero(scores >= self.bar - _SLACK)
        names = self.table.by_name[members[at]]
        if len(set(strands)) == 1:
            names = np.sort(names, axis=1)
        order = np.lexsort([*names.T[::-1], -np.round(scores[at], 9)])
        for place in at[order].tolist():
            if scores[place] < self.bar - _SLACK:
                return
            yield members[place].tolist()

    def _join(self, last: int) -> None:
        """Two or three pools one after the other, the last of them at `last`, where no fewer of them are enough."""
        short = self._short
        if not short[last]:
            return
        before = np.flatnonzero(self.table.alike[last, :last] & short[:last])
        fullest = np.sort(self.table.free_m[before])[-(JOINED - 1) :]
        if not len(before) or self.table.free_m[last] + fullest.sum() < self._least_m - _SLACK:
            return
        here = np.full(len(before), last)
        self._rows(np.stack([before, here], axis=1))
        first, second = (before[one] for one in np.triu_indices(len(before), 1))
        keep = self.table.alike[first, second]
        first, second = first[keep], second[keep]
        self._rows(np.stack([first, second, np.full(len(first), last)], axis=1))

    def _rows(self, members: Indexes) -> None:
        table, weigher = self.table, self.weigher
        asked = weigher.asked
        tex = table.tex[members]
        need = asked.need_m * np.sqrt(asked.yarn.tex.mean / tex.min(axis=1))
        members = members[table.free_m[members].sum(axis=1) >= need - _SLACK]
        tex = table.tex[members]
        off = np.abs(np.log(tex / asked.yarn.tex.mean)).argmax(axis=1) if len(tex) else np.zeros(0, dtype=np.intp)
        handling = self.rules.instead.join_factor ** (members.shape[1] - 1)
        scores = table.scores(members, tex[np.arange(len(tex)), off], handling)
        for row in self._promising(members, scores, (1,) * members.shape[1]):
            if len(row) > 2 and any(
                self._enough(a, b) for a, b in ((row[0], row[1]), (row[0], row[2]), (row[1], row[2]))
            ):
                continue
            self._offer(weigher.joined([table.besides[place] for place in row]))

    def _enough(self, a: int, b: int) -> bool:
        if (a, b) not in self._pairs:
            way = self.weigher.joined((self.table.besides[a], self.table.besides[b]))
            self._pairs[a, b] = way.sure >= self.sure
        return self._pairs[a, b]

    @property
    def _least_m(self) -> float:
        """Metres that the thickest thread takes: no other takes fewer."""
        return self.weigher.asked.need_m / math.sqrt(self.rules.together.tex_ratio_blocks)

    @cached_property
    def _a_strand(self) -> npt.NDArray[np.bool_]:
        """Which pools have enough for one strand of any thread, array (n,)."""
        return np.asarray(self.table.free_m >= self._least_m - _SLACK)

    @cached_property
    def _short(self) -> npt.NDArray[np.bool_]:
        """Which pools suit by themselves but are not enough, array (n,)."""
        weigher = self.weigher
        return np.array(
            [weigher.suits(one.tex) and weigher.held((one,), (1,)).sure < self.sure for one in self.table.besides],
            dtype=bool,
        )
