"""A set of columns as it stands: what it is worth, how sure it is, and what one thing more would change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Stock
from matcher.matching.sets.aims import Aim
from matcher.matching.sets.chance import Standing
from matcher.matching.sets.column import Column
from matcher.matching.sets.wants import Asked

Floats = npt.NDArray[np.float64]

# What is missing of a want costs so much more than any set is worth that no want is given up for it.
MISSING = 1000.0
_NO_LESS_SURE = 1e-12


@dataclass(frozen=True)
class Rules:
    """What a set must be, and what it is worth."""

    stock: Stock
    asked: Asked
    aim: Aim


class Selection:
    """Columns that are chosen together."""

    def __init__(self, rules: Rules, columns: Iterable[Column] = ()) -> None:
        self.rules = rules
        self.columns: list[Column] = []
        self.metres = np.zeros(len(rules.stock.free_m))
        self._of_want, self._of_key = Counter[int](), Counter[str]()
        self._marks: set[tuple[object, ...]] = set()
        self._missing = dict(enumerate(rules.asked.must))
        for column in columns:
            self.add(column)

    @cached_property
    def _standing(self) -> Standing:
        """Made of all at once when it is first asked for: of most sets it is enough what they are worth."""
        return Standing(self.rules.stock, (one.takes for one in self.columns))

    def __len__(self) -> int:
        return len(self.columns)

    @property
    def worth(self) -> float:
        """What it counts in the aim."""
        stock, asked = self.rules.stock, self.rules.asked
        rests = self.rules.aim.of_pools(self.metres, stock.free_m, asked.usable_m)
        return sum(one.value for one in self.columns) + float(rests.sum())

    @property
    def missing(self) -> int:
        """How many things that are wanted, and lots that must be used, it has not."""
        numbers = enumerate(self.rules.asked.numbers)
        short = sum(number - self._of_want[want] for want, number in numbers if number is not None)
        return short + len(self._missing)

    @property
    def total(self) -> float:
        """What is to be most: what it is worth, less what is missing."""
        return self.worth - MISSING * self.missing

    @property
    def log(self) -> Floats:
        """The logarithm of the chance of all of it at each node of the tension grid, array (nodes,)."""
        return self._standing.log

    @property
    def sure(self) -> float:
        """The chance of all of it at once."""
        return self._standing.sure

    @property
    def is_sure(self) -> bool:
        """Whether it is as sure as asked."""
        return self.sure >= self.rules.asked.sure - _NO_LESS_SURE

    @property
    def to_spare(self) -> float:
        """How many times as much all of it could take, on the logarithm, and be as sure as asked."""
        return self._standing.to_spare(self.rules.asked.sure)

    def add(self, new: Column) -> None:
        """One thing more."""
        self.columns.append(new)
        np.add.at(self.metres, new.takes.pool, new.takes.metres)
        if "_standing" in self.__dict__:
            self._standing.add(new.takes)
        self._of_want[new.want] += 1
        self._of_key[new.key] += 1
        self._marks.add(new.mark)
        self._missing = {at: pools for at, pools in self._missing.items() if not pools & new.found.pools}

    def without(self, place: int) -> Selection:
        """The same without one of its things."""
        return Selection(self.rules, self.columns[:place] + self.columns[place + 1 :])

    def has_room(self, new: Column) -> bool:
        """Whether one thing more may be in it, as to numbers."""
        number = self.rules.asked.numbers[new.want]
        if number is not None and self._of_want[new.want] >= number:
            return False
        return self._of_key[new.key] < self.rules.asked.of_one and new.mark not in self._marks

    def gain(self, new: Column) -> float:
        """What one thing more would add to the total."""
        stock, asked, aim = self.rules.stock, self.rules.asked, self.rules.aim
        gain = new.value
        if self.rules.asked.numbers[new.want] is not None:
            gain += MISSING
        gain += MISSING * sum(bool(pools & new.found.pools) for pools in self._missing.values())
        if not aim.of_rests:
            return gain
        pools, of = np.unique(new.takes.pool, return_inverse=True)
        before, more = self.metres[pools], np.bincount(of, new.takes.metres)
        free, usable = stock.free_m[pools], asked.usable_m[pools]
        return gain + float(
            (aim.of_pools(before + more, free, usable, pools) - aim.of_pools(before, free, usable, pools)).sum()
        )

    def sure_without(self, place: int) -> float:
        """The chance of all of it but one of its things."""
        return self._standing.sure_without(self.columns[place].takes)

    def loss(self, place: int) -> float:
        """What it would be worth less without one of its things, as far as that can be told of the thing alone."""
        column = self.columns[place]
        return column.value + (MISSING if self.rules.asked.numbers[column.want] is not None else 0.0)

    def stays_sure(self, new: Column) -> bool:
        """Whether it would be as sure as asked with one thing more."""
        return self._standing.sure_with(new.takes) >= self.rules.asked.sure - _NO_LESS_SURE
