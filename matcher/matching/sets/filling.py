"""A large set, in which many pools are used so far: limits on every pool, and things that fit what room is left.

1. With capacities in place of risks the linear programme is small, and its prices soon bring all columns that count.
2. The mixed-integer programme chooses of them. What it leaves of each pool's capacity is room: the search brings those
   things that fill some of it best, which no price would tell from others.
3. Where that ends, a part of the set is taken out, so that there is more room in some of the pools; what fits there is
   looked for, and the programme chooses anew with all else held. The pools with most room left come first.
4. Capacities follow the set: they are made wider or narrower by what it has to spare of the chance asked.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import count

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.prices import Prices, free_of_charge, stretch
from matcher.matching.sets.capacity import capacity_of
from matcher.matching.sets.column import Column
from matcher.matching.sets.greedy import filled, made_sure
from matcher.matching.sets.programme import Programme
from matcher.matching.sets.selection import Rules, Selection
from matcher.matching.sets.source import Source

Floats = npt.NDArray[np.float64]

# These change how long it takes and how good it is, never whether it is true. So many columns of every accessory at a
# price, one more for every so many pools.
_EACH, _POOLS_EACH = 4, 15
# Things of no more roles fill a bin as well as any, and are soon found: how many roles are looked at turn by turn, None
# for all.
_ROLES = (1, 1, 2, 1, 1, 2, 1, 1, None)
# Where prices bring no more than such a part of the whole, they have done what they can.
_HARDLY, _LEFT = 5e-4, 0.02
# So much of the time may be spent on prices before a first set is chosen.
_PRICING = 0.5
# A part of the whole that is let go when columns are chosen, first and later; so many seconds at most.
_GAP, _CLOSER, _LONGEST_S = 2e-3, 2e-4, 6.0
# So many of the pools are emptied at a time, and after so many times in vain no more.
_PART, _LEAST_PART, _IN_VAIN = 0.15, 8, 12
_NO_GAIN = 1e-7
_NO_ROOM_M = 0.5


class Filling:
    """The large set of one question.

    take : is given every set that was found. stopped : whether she has had enough.
    """

    def __init__(
        self,
        rules: Rules,
        programme: Programme,
        source: Source,
        take: Callable[[Selection], None],
        stopped: Callable[[], bool] = lambda: False,
    ) -> None:
        self.rules, self.programme, self.source = rules, programme, source
        self._take, self._stopped = take, stopped
        self.capacity = capacity_of(rules, programme.risk.least_shared_sd, programme.risk.most_own_sd)
        self.each = max(_EACH, len(rules.stock.free_m) // _POOLS_EACH)
        self.best = Selection(rules)
        self._end = np.inf
        self._random = np.random.default_rng(0)

    def begin(self, end: float) -> None:
        """Columns by price, and a first set of them. end : of the time for it."""
        self._end = time.monotonic() + _PRICING * (end - time.monotonic())
        for most_roles in (1, 2, None):
            if self._priced(most_roles):
                break
        self._end = end
        self._settle(self._chosen((), _GAP))

    def go_on(self, best: Selection, end: float) -> None:
        """Make the best set so far better until time is up, or until it was tried often enough in vain."""
        self.best, self._end = best, end
        in_vain = 0
        for turn in count():
            if self._left() <= 0 or in_vain >= _IN_VAIN:
                return
            before = self.best.total
            kept = self._part()
            self._fit(kept, _ROLES[turn % len(_ROLES)])
            self._settle(self._chosen(kept, _CLOSER))
            in_vain = 0 if self.best.total > before + _NO_GAIN else in_vain + 1

    def _left(self) -> float:
        return 0.0 if self._stopped() else self._end - time.monotonic()

    def _priced(self, most_roles: int | None) -> bool:
        """Bring in columns until hardly any is worth more than its yarn; whether that leaves hardly a metre."""
        tension, shared_sd = self.capacity.tension, self.programme.risk.least_shared_sd
        most = float(self.rules.aim.metre @ self.capacity.most_m / stretch(tension, shared_sd, 0.0))
        new, before = 1, -np.inf
        while new and self._left() > 0:
            relaxed, new = self.programme.relaxed(self.capacity), 0
            if relaxed.value - before <= _HARDLY * abs(relaxed.value):
                return 0.0 < most * (1.0 - _LEFT) < relaxed.value
            before = relaxed.value
            for want, key in self.source.accessories(most_roles):
                if self._left() <= 0:
                    return False
                least = float(relaxed.of_want[want]) + relaxed.of_key.get(key, 0.0) + _NO_GAIN
                new += self.programme.add(self.source.above(want, key, relaxed.prices, least, self.each, False)[0])
        return False

    def _chosen(self, held: Sequence[Column], gap: float) -> list[Column]:
        """The best that the programme finds beside what is held, which is all where it finds nothing in time."""
        places = [self.programme.place[one.mark] for one in held]
        seconds = min(_LONGEST_S, self._left() / 2)
        solved = self.programme.solve(seconds, self.capacity, places, 0.0 if self.best.missing else gap)
        return [self.programme.columns[place] for place in solved.chosen] or list(held)

    def _settle(self, columns: Sequence[Column]) -> None:
        """Fill what room there is, and keep the set, made sure, if it is better; capacities follow it."""
        columns = list(columns)
        for most_roles in (1, 2):
            while self._left() > 0 and self._fit(columns, most_roles):
                more = self._chosen(columns, _CLOSER)
                if len(more) <= len(columns):
                    break
                columns = more
        whole = Selection(self.rules, columns)
        spare = whole.to_spare
        self.capacity = self.capacity.times(spare if spare < 0 else 0.5 * spare)
        whole = filled(made_sure(whole), columns, lambda: self._left() <= 0)
        if whole.total > self.best.total:
            self.best = whole
            self._take(whole)

    def _room(self, columns: Sequence[Column]) -> Floats:
        """What is left of the capacities, array (n,)."""
        room = self.capacity.most_m.copy()
        for one in columns:
            np.subtract.at(room, one.takes.pool, self.capacity.needed(one))
        return np.maximum(room, 0.0)

    def _fit(self, columns: Sequence[Column], most_roles: int | None) -> int:
        """Bring in what fills best the room beside these; how many of it are new."""
        room, there = self._room(columns), Counter(one.key for one in columns)
        # A metre counts so that what fills one pool is worth as much as what fills another.
        full = 1.0 / np.maximum(room, _NO_ROOM_M) if self.rules.aim.metre.any() else 0.0
        prices = replace(self._free, metre=self.rules.aim.metre - full, room_m=room)
        new = 0
        for want, key in self.source.accessories(most_roles):
            if there[key] < self.rules.asked.of_one and self._left() > 0:
                new += self.programme.add(self.source.above(want, key, prices, 0.0, self.each, False)[0])
        return new

    @property
    def _free(self) -> Prices:
        return free_of_charge(len(self.rules.stock.free_m), [self.capacity.tension])

    def _part(self) -> list[Column]:
        """The set without what takes of some pools: those with most room, and others by chance."""
        room = self._room(self.best.columns)
        worth = room * (self.rules.aim.metre if self.rules.aim.metre.any() else 1.0 / self.rules.stock.free_m)
        number = max(_LEAST_PART, int(_PART * len(worth)))
        order = np.argsort(-worth * self._random.random(len(worth)), kind="stable")
        emptied = frozenset(order[:number].tolist())
        return [one for one in self.best.columns if not one.found.pools & emptied]
