"""All sets of a few things, looked through as a tree: it settles what a programme of straight lines can't.

A column's loss is what it costs more than it is worth at the duals of the linear programme with all that is forbidden;
no set is worth more than that programme's value less the losses of its columns. So the places of the set are filled one
by one, and a branch ends where the least losses of the places still open, together with those taken, are more than the
gap to the best set so far. What would make the set less sure than asked leaves the lists at once: things are never
surer together than the product of their chances at each tension, and never with more of them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.sets.column import Column
from matcher.matching.sets.conflicts import APART
from matcher.matching.sets.selection import Rules, Selection
from matcher.materials.uncertain import tension_grid

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

_NO_GAIN = 1e-9


@dataclass(frozen=True)
class _Place:
    """A place of the set that is still to be filled: which columns may be there, those with least loss first."""

    want: int
    columns: Indexes


class Tree:
    """All sets of some columns for wants that all have a number.

    chances : (c, nodes), of each column. losses : (c,), >= 0; value : of the programme. apart : (c, c), conflicts.
    """

    def __init__(
        self,
        rules: Rules,
        columns: Sequence[Column],
        chances: Floats,
        losses: Floats,
        value: float,
        apart: Flags,
        stop: Callable[[], bool],
    ) -> None:
        self.rules, self.columns, self.chances, self.losses = rules, columns, chances, losses
        self.value, self.apart, self.stop = value, apart, stop
        self.weight, self.sure = tension_grid()[1], rules.asked.sure - APART

    def search(self, best: Selection) -> tuple[Selection, bool]:
        """The best set, the one given where none is better; and whether all were looked through."""
        self.best, self.total = best, best.total
        wants = np.array([one.want for one in self.columns], dtype=np.intp)
        order = np.argsort(self.losses, kind="stable")
        still = [
            _Place(want, order[wants[order] == want])
            for want, number in enumerate(self.rules.asked.numbers)
            for _ in range(number or 0)
        ]
        finished = all(len(one.columns) for one in still) and self._fill([], still, 0.0, np.ones(self.chances.shape[1]))
        return self.best, finished

    def _fill(self, taken: list[int], still: Sequence[_Place], lost: float, chance: Floats) -> bool:
        if not still:
            self._offer(taken)
            return True
        if self.stop():
            return False
        # The place with fewest columns left decides early.
        first, *rest = sorted(still, key=lambda one: (len(one.columns), one.want))
        least = [float(self.losses[one.columns[0]]) for one in rest]
        for at, column in enumerate(first.columns):
            now = lost + float(self.losses[column])
            room = self.value - now - sum(least) - self.total - _NO_GAIN
            if room <= 0:
                break
            with_it = chance * self.chances[column]
            weighted = with_it * self.weight
            left = []
            for one, its_least in zip(rest, least, strict=True):
                # Of alike places the order does not matter.
                able = first.columns[at + 1 :] if one.want == first.want else one.columns
                able = able[(self.losses[able] - its_least < room) & ~self.apart[column, able]]
                able = able[self.chances[able] @ weighted >= self.sure]
                if not len(able):
                    break
                left.append(_Place(one.want, able))
            if len(left) == len(rest) and not self._fill([*taken, int(column)], left, now, with_it):
                return False
        return True

    def _offer(self, taken: Sequence[int]) -> None:
        new = Selection(self.rules)
        for place in taken:
            if not new.has_room(self.columns[place]):
                return
            new.add(self.columns[place])
        if new.total > self.total + _NO_GAIN and new.is_sure:
            self.best, self.total = new, new.total
