"""What many bins give together, as columns: free yarn alone, and nothing of the people whose it is or was.

A lot is known by its member's code and its own, on its tag, or its number in that member's own list; a garment by its
number there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any, Generic, TypeVar

import numpy as np
import numpy.typing as npt

from matcher.materials.fibre import Blend

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
T = TypeVar("T")


@dataclass(frozen=True)
class Once(Generic[T]):
    """A column in which each different value is kept once; `at` (n,) is the place of each row's among `values`."""

    at: Indexes
    values: tuple[T, ...]

    def of(self, row: int) -> T:
        """The value of a row."""
        value: T = self.values[self.at[row]]
        return value

    def take(self, rows: Indexes) -> Once[T]:
        """The same of some rows; of few rows, with no value that none of them has."""
        at = self.at[rows]
        if len(at) >= len(self.values):
            return Once(at, self.values)
        there, at = np.unique(at, return_inverse=True)
        return Once(at.reshape(-1), tuple(self.values[place] for place in there.tolist()))

    @classmethod
    def column(cls, each: Sequence[T]) -> Once[T]:
        """Of a value for each row."""
        places: dict[T, int] = {}
        at = np.array([places.setdefault(one, len(places)) for one in each], dtype=np.intp)
        return cls(at, tuple(places))

    @classmethod
    def joined(cls, several: Sequence[Once[T]]) -> Once[T]:
        """One after the other."""
        places: dict[T, int] = {}
        at = [
            np.array([places.setdefault(one, len(places)) for one in column.values], dtype=np.intp)[column.at]
            for column in several
        ]
        return cls(np.concatenate(at), tuple(places))


@dataclass(frozen=True)
class Several:
    """A column with none or more figures a row: those of row i are `values[start[i]:start[i + 1]]`."""

    start: Indexes  # (n + 1,)
    values: npt.NDArray[Any]  # (m,) or (m, 3)

    @property
    def number(self) -> Indexes:
        """How many figures each row has: array (n,)."""
        return np.diff(self.start)

    def of(self, row: int) -> npt.NDArray[Any]:
        """The figures of a row."""
        return self.values[self.start[row] : self.start[row + 1]]

    def take(self, rows: Indexes) -> Several:
        """The same of some rows."""
        number = self.number[rows]
        start = np.concatenate([[0], np.cumsum(number)])
        places = np.repeat(self.start[:-1][rows] - start[:-1], number) + np.arange(start[-1])
        return Several(start, self.values[places])

    @classmethod
    def column(cls, each: Sequence[Sequence[Any]], like: npt.NDArray[Any]) -> Several:
        """Of figures for each row. like : an empty array of their type and shape."""
        start = np.concatenate([[0], np.cumsum([len(one) for one in each], dtype=np.intp)]).astype(np.intp)
        values = [figure for one in each for figure in one]
        return cls(start, np.array(values, dtype=like.dtype).reshape(-1, *like.shape[1:]))

    @classmethod
    def joined(cls, several: Sequence[Several]) -> Several:
        """One after the other."""
        number = np.concatenate([one.number for one in several])
        start = np.concatenate([[0], np.cumsum(number)]).astype(np.intp)
        return cls(start, np.concatenate([one.values for one in several]))


WHOLE: Indexes = np.zeros(0, dtype=np.intp)
LABS: Floats = np.zeros((0, 3))
SHARES: Floats = np.zeros(0)
"""Empty figures, for `Several.column`."""


@dataclass(frozen=True)
class Collection:
    """Rows of free yarn, each one lot or several that count as one.

    file : which of the files that were read each is from. member, place : whose it is and where it lies, "" for a code
    or a place that nobody gave. number : the lots by the codes on
    their tags, which last, else counted from 1 in the member's own list, as text. yarn, colour, dye_lot : as
    she wrote them, "" where that would name somebody. tex_from, wash, weight_class : as of a `Yarn`. lab, share, lab_sd
    : what its stitches show; spreads are there for a guess only. free_m, free_sd_m : metres that nothing holds. garment
    : what it was left over from, counted from 1 in the member's own list. ball_g : of the label, nan without one. apart
    : sides of her pairs of yarns that never meet, 1 and -1 of the first pair, 2 and -2 of the next.
    """

    file: Indexes
    member: Once[str]
    place: Once[str]
    number: Several
    yarn: Once[str]
    colour: Once[str]
    dye_lot: Once[str]
    tex: Floats
    tex_sd: Floats
    tex_from: Once[str]
    weight_class: Indexes
    blend: Once[Blend]
    wash: Once[str]
    lab: Several
    share: Several
    lab_sd: Several
    free_m: Floats
    free_sd_m: Floats
    garment: Several
    ball_g: Floats
    apart: Several

    def __len__(self) -> int:
        return len(self.free_m)

    def take(self, rows: Indexes) -> Collection:
        """Some rows, in this order."""
        return Collection(**{one.name: _taken(getattr(self, one.name), rows) for one in fields(self)})

    @property
    def homes(self) -> Several:
        """The garments with numbers that no other member's have."""
        _, owner = np.unique(self.file * len(self.member.values) + self.member.at, return_inverse=True)
        numbers = self.garment.values
        owned = np.repeat(owner.reshape(-1), self.garment.number) * (1 + numbers.max(initial=0)) + numbers
        return Several(self.garment.start, first_met(owned)[1])


def first_met(values: npt.NDArray[Any]) -> tuple[Indexes, Indexes]:
    """Where each different value is met first, in that order; and the place of each value among these."""
    _, met, of = np.unique(values, return_index=True, return_inverse=True)
    order = np.argsort(met)
    place = np.empty_like(order)
    place[order] = np.arange(len(order))
    return met[order], place[of.reshape(-1)]


def joined(parts: Sequence[Collection]) -> Collection:
    """Collections one after the other; at least one."""
    if len(parts) == 1:
        return parts[0]
    return Collection(**{one.name: _joined([getattr(part, one.name) for part in parts]) for one in fields(Collection)})


def _taken(column: Any, rows: Indexes) -> Any:
    return column[rows] if isinstance(column, np.ndarray) else column.take(rows)


def _joined(columns: Sequence[Any]) -> Any:
    return np.concatenate(columns) if isinstance(columns[0], np.ndarray) else type(columns[0]).joined(columns)
