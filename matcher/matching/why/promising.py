"""For each lot a weight below which more of it cannot help, whatever it is knitted with."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import tex_range
from matcher.matching.pools import Pool
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]


def promising(pools: Sequence[Pool], several: Sequence[Variant], searcher: Searcher) -> list[tuple[int, Pool]]:
    """Whole grams that must be added at least to each pool before it alone could help, the fewest first.

    A pool that has enough for some role may need none; one that fits nowhere is left out. Where a role is longer than
    anything that is free, the pool must fill that one: and where two are, no single pool helps.
    """
    free = np.array([pool.free.mean for pool in pools])
    tex = np.array([pool.yarn.tex.mean for pool in pools])
    least = np.full(len(pools), np.inf)
    for one in several:
        # Without it the search is never as sure as asked, even if the yarn had been measured exactly.
        needs = one.length_m * np.exp(searcher.least_z * np.hypot(one.own_sd, one.shared_sd))
        window = tex_range(one.gauge, searcher.constants)
        roles = [_Role(float(need), free, tex, window, searcher.most_strands) for need in needs]
        open_ = [role for role in roles if not role.can_be_filled]
        if len(open_) < 2:
            least = np.minimum(least, np.min([role.takes for role in open_ or roles], axis=0))
    grams = np.maximum(0.0, least - free) * tex / 1000.0
    found = [(math.floor(one), pool) for one, pool in zip(grams, pools, strict=True) if math.isfinite(one)]
    return sorted(found, key=lambda one: (one[0], one[1].name))


@dataclass(frozen=True)
class _Role:
    """One role of a variant that needs so many metres a strand, and the pools: arrays (n,) of metres and tex."""

    need: float
    free: Floats
    tex: Floats
    window: tuple[float, float]
    most_strands: int

    @cached_property
    def _alone(self) -> Floats:
        """Metres that each pool alone would have to have, in the fewest strands that are thick enough: array (n,)."""
        low, high = self.window
        strands = np.maximum(1.0, np.ceil(low / self.tex - 1e-9))
        fits = (strands * self.tex <= high) & (strands <= self.most_strands)
        return np.where(fits, strands * self.need, np.inf)

    @cached_property
    def _enough(self) -> npt.NDArray[np.bool_]:
        """Which pools have enough for one strand, and are thin enough for it."""
        return (self.free >= self.need) & (self.tex <= self.window[1])

    @property
    def can_be_filled(self) -> bool:
        """Whether a pool alone, or several that have enough each, might fill it as they are."""
        if (self.free >= self._alone).any():
            return True
        several = np.sort(self.tex[self._enough])
        if self.most_strands < 2 or len(several) < 2:
            return False
        # Two at the least and three at the most: whether they add up to a thread that suits is left open.
        return bool(several[0] + several[1] <= self.window[1] and 3 * several[-1] >= self.window[0])

    @property
    def takes(self) -> Floats:
        """Metres that each pool would have to have at least to be in it, array (n,)."""
        if self.most_strands < 2 or not self._enough.any():
            return self._alone
        thinnest = float(self.tex[self._enough].min())
        beside = self.tex + thinnest <= self.window[1]
        return np.minimum(self._alone, np.where(beside, self.need, np.inf))
