"""One assignment as the programme of sets sees it: what it takes of which pool, and what it counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.found import Found
from matcher.matching.ranking.prices import Prices

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Takes:
    """What an assignment takes, strand by strand: arrays (t,).

    pool : its place. metres : the mean need, all strands of that pool in the role together. shared_sd, own_sd : on the
    logarithm, what of the need's error moves with her tension and what does not.
    """

    pool: npt.NDArray[np.intp]
    metres: Floats
    shared_sd: Floats
    own_sd: Floats

    @cached_property
    def in_order(self) -> tuple[Indexes, Indexes, Indexes]:
        """The strands in the order of their pools; where in that each pool begins; and which pools they are."""
        order = np.argsort(self.pool, kind="stable")
        pools = self.pool[order]
        starts = np.flatnonzero(np.diff(pools, prepend=-1))
        return order, starts, pools[starts]


@dataclass(frozen=True, eq=False)
class Column:
    """An assignment for one of the wants (by its place). value : what it counts in the aim by itself."""

    want: int
    found: Found
    value: float

    @property
    def key(self) -> str:
        """Of its accessory."""
        return self.found.variant.accessory.key

    @property
    def mark(self) -> tuple[object, ...]:
        """The same for columns that are the same thing for the same want."""
        return self.want, self.key, *self.found.mark

    @cached_property
    def takes(self) -> Takes:
        """What it takes."""
        return takes_of(self.found)

    def less(self, prices: Prices) -> float:
        """What it is worth, less what its yarn costs."""
        takes = self.takes
        cost = prices.of_metres(takes.pool, takes.metres, takes.shared_sd, takes.own_sd).sum()
        return self.value - float(cost) - float(prices.each[np.unique(takes.pool)].sum())


def all_of(several: Sequence[Takes]) -> Takes:
    """What all of them take; at least one."""
    fields = ((getattr(one, name) for one in several) for name in ("pool", "metres", "shared_sd", "own_sd"))
    return Takes(*(np.concatenate(list(field)) for field in fields))


def takes_of(found: Found) -> Takes:
    """What an assignment takes, strand by strand."""
    variant = found.variant
    rows = [
        (pool, count * variant.length_m[role], variant.shared_sd[role], variant.own_sd[role])
        for role, thread in enumerate(found.threads)
        for pool, count in thread
    ]
    pool, metres, shared, own = zip(*rows, strict=True)
    return Takes(np.array(pool, dtype=np.intp), np.array(metres), np.array(shared), np.array(own))
