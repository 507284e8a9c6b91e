"""Which pools belong together by her own choice: they lived in one garment, or are colours of one yarn."""

from __future__ import annotations

from collections.abc import Collection, Iterable

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


class Kindred:
    """How far each two of n pools belong together, 0 to 1.

    1 where some lot of each lived in one garment, `one_yarn` where both are of one yarn, else 0. A yarn without a name
    is the same as no other.

    homes, yarns : the garments (n, k) and the yarn (n,) of each pool as numbers, -1 for none.
    """

    def __init__(self, homes: Indexes, yarns: Indexes, one_yarn: float) -> None:
        self.one_yarn, self.homes, self.yarns = one_yarn, homes, yarns[:, None]
        self._both = _both(homes[:, 0], yarns)[:, None]
        self._housemates, self._yarnmates = self._others(slice(None))
        self._known: dict[int, Floats] = {}

    def of(self, one: int | Indexes, other: int | Indexes) -> Floats:
        """For different pools, as numbers or arrays of shapes that go together; so is the result."""
        yarn = _meet(self.yarns[one], self.yarns[other])
        return np.where(_meet(self.homes[one], self.homes[other]), 1.0, np.where(yarn, self.one_yarn, 0.0))

    def most(self, others: int) -> Floats:
        """The most that each pool and so many others could come to, added up: array (n,)."""
        if others not in self._known:
            self._known[others] = self._most(self._housemates, self._yarnmates, others)
        return self._known[others]

    def most_among(self, pools: Indexes, others: int) -> Floats:
        """The same where there is nothing but these, all different: array (len(pools),)."""
        return self._most(*self._others(pools), others)

    def near(self, pools: Indexes, others: Indexes) -> Flags:
        """Which of some pools share a garment or a yarn with any of some others: array (len(pools),)."""
        return _shared(self.homes, pools, others) | _shared(self.yarns, pools, others)

    def most_to(self, others: Indexes) -> Floats:
        """How far each pool belongs to any of some others at most, to itself wholly: array (n,)."""
        every = slice(None)
        of_yarn = np.where(_shared(self.yarns, every, others), self.one_yarn, 0.0)
        most = np.where(_shared(self.homes, every, others), 1.0, of_yarn)
        most[others] = 1.0
        return np.asarray(most)

    def _others(self, pools: Indexes | slice) -> tuple[Indexes, Indexes]:
        """So many others of these at most lived in a garment with each; so many more are of its yarn."""
        return _others(self.homes[pools]), _others(self.yarns[pools]) - _others(self._both[pools])

    def _most(self, housemates: Indexes, yarnmates: Indexes, others: int) -> Floats:
        near = np.minimum(housemates, others)
        return np.asarray(near + self.one_yarn * np.minimum(yarnmates, others - near))


def numbered(several: Iterable[Collection[str]]) -> tuple[Indexes, tuple[str, ...]]:
    """Names as numbers, a row for each pool, -1 where it has fewer: array (n, k); and the names in their order."""
    numbers: dict[str, int] = {}
    rows = [[numbers.setdefault(name, len(numbers)) for name in names] for names in several]
    wide = max(1, max(map(len, rows), default=1))
    full = [row + [-1] * (wide - len(row)) for row in rows]
    return np.array(full, dtype=np.intp).reshape(len(rows), wide), tuple(numbers)


def _others(numbers: Indexes) -> Indexes:
    """How many other pools at most have a number in common with each: array (n,)."""
    pools = np.bincount(numbers.ravel() + 1)
    return np.asarray(np.where(numbers >= 0, pools[numbers + 1] - 1, 0).sum(axis=1))


def _both(homes: Indexes, yarns: Indexes) -> Indexes:
    """A number for each garment and yarn together, -1 for those without one: array (n,)."""
    both = np.where(yarns >= 0, homes, -1)
    number = int(homes.max(initial=-1)) + 1
    yarn_of = np.full(number + 1, -1)
    yarn_of[both] = yarns
    # Most garments are of one yarn, and then their own number does.
    several = np.zeros(number + 1, dtype=bool)
    several[both[yarn_of[both] != yarns]] = True
    at = np.flatnonzero(several[both] & (both >= 0))
    pairs = yarns[at] * number + homes[at]
    both[at] = number + np.unique(pairs, return_inverse=True)[1]
    return both


def _shared(numbers: Indexes, pools: Indexes | slice, others: Indexes) -> Flags:
    """Which of some pools share a number with any of some others: array (len(pools),)."""
    there = np.zeros(int(numbers.max(initial=-1)) + 2, dtype=bool)
    there[numbers[others]] = True
    there[-1] = False  # where those without a name were marked
    return np.asarray(there[numbers[pools]].any(axis=1))


def _meet(one: Indexes, other: Indexes) -> npt.NDArray[np.bool_]:
    """Whether two rows have a name in common."""
    meet = np.zeros(np.broadcast_shapes(one.shape[:-1], other.shape[:-1]), dtype=bool)
    for column in range(one.shape[-1]):
        mine = one[..., column, None]
        meet |= ((mine >= 0) & (mine == other)).any(axis=-1)
    return meet
