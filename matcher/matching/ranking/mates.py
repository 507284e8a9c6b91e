"""Which pools belong together, pair by pair: few for each, so that they can be looked at one by one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.distinct import distinct
from matcher.matching.kindred import Kindred
from matcher.matching.ranking.choices import ranges

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# Of a garment or a yarn with more pools than this not every pair is listed. It changes how long a search takes, never
# what it finds.
_CROWD = 64


@dataclass(frozen=True)
class Mates:
    """All pairs of some k pools that belong together, each both ways, in the order of their first.

    pools : (k,), places in the stock; of : (n,), the other way round, past the end if none. first, second : arrays
    (p,), places among the k. kindred : (p,), how far they belong together. unlisted : (k,), the most that each is
    kindred to any other of which it makes no pair here. of_all : (p,), where each pair stood among those of which these
    were picked.
    """

    pools: Indexes
    of: Indexes
    first: Indexes
    second: Indexes
    kindred: Floats
    unlisted: Floats
    of_all: Indexes

    def within(self, pools: Indexes) -> Mates:
        """Only the pairs of which both are among these; pools in rising order, of all that there are."""
        place = _places(pools, len(self.of))
        first, second = place[self.pools[self.first]], place[self.pools[self.second]]
        at = np.flatnonzero((first < len(pools)) & (second < len(pools)))
        unlisted = self.unlisted[self.of[pools]]
        return Mates(pools, place, first[at], second[at], self.kindred[at], unlisted, at)

    @cached_property
    def astray(self) -> Floats:
        """The most that a thread with each as a strand, not all of whose strands make pairs here, belongs to any other:
        array (k,). Some two of its strands make none, and the others are mates of these or make none either."""
        by_mates = np.minimum(self.kindred, self.unlisted[self.second])
        return np.maximum(self.unlisted, self.best(by_mates))

    @cached_property
    def _ends(self) -> Indexes:
        """Where the pairs of each begin, and where the last of them end: (k + 1,)."""
        return np.searchsorted(self.first, np.arange(len(self.unlisted) + 1))

    def beside(self, places: Indexes) -> Beside:
        """The pairs of some (m,) of the k."""
        start, lengths = self._ends[places], np.diff(self._ends)[places]
        return Beside(ranges(start, lengths), lengths)

    @cached_property
    def _all(self) -> Beside:
        return Beside(np.arange(len(self.first)), np.diff(self._ends))

    def find(self, one: Indexes, other: Indexes) -> Indexes:
        """Which pair two of the k each make: array of their shape, past the end for those that are no mates."""
        wanted = one * len(self.unlisted) + other
        at = np.searchsorted(self._keys, wanted)
        return np.where(self._keys[np.minimum(at, len(self._keys) - 1)] == wanted, at, len(self.first))

    @cached_property
    def _keys(self) -> Indexes:
        """The pairs as one rising number each, and one that is no pair's."""
        return np.append(self.first * len(self.unlisted) + self.second, np.iinfo(np.intp).max)

    def among(self, pools: Indexes) -> tuple[Indexes, Indexes]:
        """The pairs of which both are among these (of the k), as places there, each both ways: two arrays, in the
        order of the first and then of the second."""
        place = np.full(len(self.pools), -1)
        place[self.of[pools]] = np.arange(len(pools))
        first, second = place[self.first], place[self.second]
        both = (first >= 0) & (second >= 0)
        order = np.lexsort((second[both], first[both]))
        return first[both][order], second[both][order]

    def best(self, values: Floats) -> Floats:
        """The highest of the values (..., p) that each has with a mate: array (..., k), -inf without any."""
        return self._all.best(values)


@dataclass(frozen=True)
class Beside:
    """The pairs of m pools, one pool after the other. at : (p,), places among all pairs. lengths : (m,), of each."""

    at: Indexes
    lengths: Indexes

    @cached_property
    def whose(self) -> Indexes:
        """Which of the m each pair is of: array (p,)."""
        return np.repeat(np.arange(len(self.lengths)), self.lengths)

    @cached_property
    def _begin(self) -> tuple[Indexes, Indexes]:
        """Who has mates, and where those begin."""
        some = np.flatnonzero(self.lengths)
        return some, np.cumsum(self.lengths)[some] - self.lengths[some]

    def best(self, values: Floats) -> Floats:
        """The highest of the values (..., p) that each has with a mate: array (..., m), -inf without any."""
        best, (some, begin) = np.full((*values.shape[:-1], len(self.lengths)), -np.inf), self._begin
        if len(some):
            best[..., some] = np.maximum.reduceat(values, begin, axis=-1)
        return best


def mates_of(pools: Indexes, kindred: Kindred) -> Mates:
    """The pairs of these pools (k,), all different."""
    unlisted, pairs = np.zeros(len(pools)), []
    for groups, value in ((kindred.homes, 1.0), (kindred.yarns, kindred.one_yarn)):
        # One entry for each name of each: what was left of several garments may share any of them.
        who, column = np.nonzero(groups[pools] >= 0)
        numbers = groups[pools[who], column]
        order = np.argsort(numbers, kind="stable")
        who = who[order]
        _, start, of, size = np.unique(numbers[order], return_index=True, return_inverse=True, return_counts=True)
        crowd = size[of] > _CROWD
        np.maximum.at(unlisted, who[crowd], value)
        some, lengths = who[~crowd], size[of][~crowd]
        pairs.append(np.repeat(some, lengths) * len(pools) + who[ranges(start[of][~crowd], lengths)])
    first, second = np.divmod(distinct(np.concatenate(pairs)), max(1, len(pools)))
    first, second = first[first != second], second[first != second]
    of = _places(pools, kindred.homes.shape[0])
    return Mates(pools, of, first, second, kindred.of(pools[first], pools[second]), unlisted, np.arange(len(first)))


def _places(pools: Indexes, number: int) -> Indexes:
    """The place of each of so many pools among some, past the end if none."""
    places = np.full(number, len(pools), dtype=np.intp)
    places[pools] = np.arange(len(pools))
    return places
