"""What a set is to hold: so many things of a part of the catalogue."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.scope import Variants

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Want:
    """What will do for a want.

    variants : by key of accessory. least : by key, the reading that roles which touch must reach.
    """

    variants: Variants
    least: Mapping[str, float]


@dataclass(frozen=True)
class Asked:
    """What a set must be.

    numbers : of each want, None for any. of_one : so many of one accessory at most. must : places of the pools, of each
    group of which one must give something. usable_m : (n,), the shortest length of each pool that is any use.
    sure : the least chance of all at once.
    """

    numbers: Sequence[int | None]
    of_one: int
    must: Sequence[frozenset[int]]
    usable_m: Floats
    sure: float
