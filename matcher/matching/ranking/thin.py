"""Pools that are thin enough to be strands of a thread of several: what each could add, and bounds on the whole."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.found import SLACK
from matcher.matching.ranking.supply import Supply

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class OfSize:
    """What m thin pools add at most to one size as a strand of a role, of two strands or three: arrays (roles, m).

    worth : besides sure, contrast and together. traded : with the chance that it suffices. whole : with what its thread
    could read besides; -inf where it can be none. tops : (roles,), the most that any thread adds, one pool's or
    several's, without sure, contrast and together. most : of all that have a thread of several.
    """

    worth: Floats
    traded: Floats
    whole: Floats
    tops: Floats
    most: float


class Thin:
    """The thin pools of a block.

    pools : (m,). kindred : (m,), what of their worth is hoped for from `kindred`. reads : (m,), the most that a thread
    could read that has them.
    """

    def __init__(self, block: Block) -> None:
        self.block, self.searcher = block, block.searcher
        self.pools = self.searcher.thin(block.window)
        # With one role, what a strand could bring is how its marl belongs together.
        most = self.searcher.thin_kindred(block.window, max(1, block.roles - 1))
        self.kindred: Floats = block.pair_share / min(2, block.roles) * most

    @cached_property
    def reads(self) -> Floats:
        return np.minimum(self.searcher.strand_potential(self.pools, self.block.window[1]), self.block.contrast)

    def quick_bounds(self) -> Floats:
        """For each size, with strands of different pools in a role: array (s,), without a look at the pools: as if one
        were of most use for everything, most kindred, and there were just enough of it."""
        block, searcher, ranking = self.block, self.searcher, self.searcher.ranking
        if (block.edges and block.contrast < block.least) or not len(self.pools):
            return np.full(len(block.variants), -np.inf)
        if block.prices is not None or searcher.near:
            return np.full(len(block.variants), np.inf)
        use = np.minimum(1.0, np.exp(1e-9 - searcher.least_z * np.sqrt(block.variance[:, :, 0])))
        use *= max(float(self.supply(count).most_use.max()) for count in (1, 2))
        strand = block.weight[:, :, 0] * (ranking.weight_use * use + ranking.weight_leftover) + self.kindred.max()
        tops = np.maximum(strand, block.tops_alone)
        most = (strand + (tops.sum(axis=0) - tops)).max(axis=0)
        most += (
            searcher.w_together * searcher.rules.marl_factor + searcher.w_sure + searcher.w_contrast * block.contrast
        )
        return np.asarray(most + SLACK)

    def supply(self, count: int) -> Supply:
        """So many strands of each of the pools."""
        return self.searcher.supply_thin(self.block.window, count)

    def bounds(self, bar: float = -np.inf, bounds: Floats | None = None) -> Floats:
        """For each size, with at least one role of strands of different pools: array (s,). As if every chance were
        whole; looked at only where `bounds`, given, are above a bar, and closely where these are too."""
        block = self.block
        if block.edges and block.contrast < block.least:
            return np.full(len(block.variants), -np.inf)
        found = np.full(len(block.variants), np.inf) if bounds is None else bounds.copy()
        sizes = np.flatnonzero(found > bar)
        if not len(sizes):
            return found
        # A pool can be one strand or two of the thread; whichever is worth more bounds both.
        one, two = (block.worth(self.supply(count), self.pools, sizes=sizes) for count in (1, 2))
        worth = np.where(np.isfinite(one), np.maximum(one, two), -np.inf) + (self.kindred - self._cost(sizes))
        alone = block.tops_alone[:, sizes]
        most = self._most(worth, worth + self.searcher.w_sure, alone, closely=False)[-1]
        if (most > bar).any():
            most = self._most(worth, worth + self.searcher.w_sure, alone)[-1]
        found[sizes] = np.minimum(found[sizes], np.where(self._has_wanted(worth, sizes), most, -np.inf))
        return found

    def of(self, size: int) -> OfSize:
        """What they add to one size."""
        block, sizes = self.block, slice(size, size + 1)
        one, two = (block.worth(self.supply(count), self.pools, sizes=sizes) for count in (1, 2))
        able, less = np.isfinite(one), self.kindred - self._cost(sizes)
        worth = np.where(able, np.maximum(one, two), -np.inf) + less
        # The chance of a thread is never above that of any of its strands, so theirs may be averaged like their worth.
        sure = (self.searcher.w_sure * block.chances(self.supply(count), sizes=sizes) for count in (1, 2))
        traded = np.maximum(*(each + chance for each, chance in zip((one, two), sure, strict=True))) + less
        whole, tops, most = self._most(worth, traded, block.tops_alone[:, sizes])
        return OfSize(worth[:, 0], traded[:, 0], whole[:, 0], tops[:, 0], float(most[0]))

    def _most(
        self, worth: Floats, traded: Floats, alone: Floats, closely: bool = True
    ) -> tuple[Floats, Floats, Floats]:
        """With what threads could read (roles, s, m); the most that any thread adds (roles, s); the most of all (s,).
        Leaves out of `worth` what reads against nothing."""
        block, searcher = self.block, self.searcher
        reads, contrast = np.tile(self.reads, (block.roles, 1)), block.contrast
        if closely and block.edges and len(self.pools):
            reads, contrast = self._reading(reads, np.asarray(np.isfinite(worth).any(axis=1)))
        whole = traded + searcher.w_contrast * contrast
        for role in block.touching:
            worth[role][:, reads[role] < block.least] = -np.inf
            whole[role] = traded[role] + searcher.w_contrast * np.minimum(reads[role], contrast)
        whole = np.where(np.isfinite(worth), whole, -np.inf)
        tops = np.maximum(alone, of_two_best(worth))
        with np.errstate(invalid="ignore"):
            most = (of_two_best(whole) + (tops.sum(axis=0) - tops)).max(axis=0)
        most = most + searcher.w_together * searcher.rules.marl_factor
        return whole, tops, np.where(np.isfinite(tops).all(axis=0), most, -np.inf)

    def _reading(self, reads: Floats, able: npt.NDArray[np.bool_]) -> tuple[Floats, float]:
        """The most that a thread could read which has one of the pools in a role (roles, m), and that all could.

        reads : (roles, m), a looser bound. able : (roles, m), which have enough for a role.

        A strand that is too much of its thread to vanish reads no better than it does against the darkest or the
        lightest that could be in a role which touches its own.
        """
        block, colours, contrast = self.block, self.searcher.colours, self.block.contrast
        dark, bright, stays, thick = self.searcher.ends_of_strands(block.window)
        # The last of them are too thick for one of several strands; whether they have enough isn't asked.
        able = np.pad(able, ((0, 0), (0, len(dark) - len(self.pools))), constant_values=True)
        most = np.where(able, bright, -np.inf).max(axis=1)
        least = np.where(able, dark, np.inf).min(axis=1)
        # Between two ends so far apart, everything reads as well as may be against one of them.
        widely = colours.most_by_lightness(np.maximum(most - least, 0.0) / 2.0) >= block.contrast
        for role in block.touching:
            if all(widely[other] for other in range(block.roles) if block.touches(role, other)):
                continue
            apart = np.full(len(dark), np.inf)
            for other in range(block.roles):
                if block.touches(role, other):
                    np.minimum(apart, np.maximum(most[other] - dark, bright - least[other]), out=apart)
            if not np.isfinite(apart).all():  # a role that touches has nobody
                return np.zeros_like(reads), 0.0
            most_read = np.where(stays, colours.most_by_lightness(apart), 1.0)
            contrast = min(contrast, float(most_read[able[role] & thick].max(initial=0.0)))
            reads[role] = np.minimum(reads[role], most_read[: len(self.pools)])
        return reads, contrast

    def _cost(self, sizes: slice | Indexes) -> Floats | float:
        """The least that a thin pool costs as one of the strands of a thread, counted as if all strands were of it:
        array (roles, s, m)."""
        block = self.block
        if block.prices is None:
            return 0.0
        length, shared, own = (one[:, sizes] for one in (block.length, block.shared, block.private))
        metres = block.prices.of_metres(self.pools, length, shared, own)
        each = block.prices.each[self.pools]
        # Of two strands or three; one of them, or two of three, is of this pool.
        return np.minimum(2 * metres, 3 * metres) + np.minimum(1.5 * each, 3 * each)

    def _has_wanted(self, worth: Floats, sizes: Indexes) -> npt.NDArray[np.bool_]:
        """For some sizes, whether a wanted pool could fill a role or be a strand of it: array (s,)."""
        block = self.block
        if self.searcher.wanted is None:
            return np.ones(len(sizes), dtype=bool)
        wanted = list(self.searcher.wanted)
        alone, thin = np.isin(block.base.strands[:, 0], wanted), np.isin(self.pools, wanted)
        has = [np.isfinite(one[:, alone]).any(axis=1) for one in block.worth_alone()[:, sizes]]
        has += [np.isfinite(one[:, thin]).any(axis=1) for one in worth]
        return np.asarray(np.any(has, axis=0))


def of_two_best(worth: Floats) -> Floats:
    """The most that a marl of pools could be worth, by row of (..., m): two strands of the best, one of the next."""
    if worth.shape[-1] < 2:
        return np.full(worth.shape[:-1], -np.inf)
    worth = worth.copy()
    at = worth.argmax(axis=-1)[..., None]
    best = np.take_along_axis(worth, at, axis=-1)[..., 0]
    np.put_along_axis(worth, at, -np.inf, axis=-1)
    return np.asarray((2.0 * best + worth.max(axis=-1)) / 3.0)
