"""Pools that are thin enough to be strands of a thread of several: what each could add, and bounds on the whole."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block

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
        most = self.searcher.stock.kindred.most(max(1, block.roles - 1))[self.pools]
        self.kindred: Floats = block.pair_share / min(2, block.roles) * most

    @cached_property
    def reads(self) -> Floats:
        return np.minimum(self.searcher.strand_potential(self.pools, self.block.window[1]), self.block.contrast)

    def quick_bounds(self) -> Floats:
        """For each size, with strands of different pools in a role: array (s,), without a look at the pools."""
        block, searcher = self.block, self.searcher
        if block.edges and block.contrast < block.least:
            return np.full(len(block.variants), -np.inf)
        if block.prices is not None:
            return np.full(len(block.variants), np.inf)
        less = searcher.w_together * (1.0 - searcher.rules.marl_factor) + searcher.w_contrast * (1.0 - block.contrast)
        return np.full(len(block.variants), 1.0 + 1e-9 - less)

    def bounds(self, bar: float = -np.inf) -> Floats:
        """For each size, with at least one role of strands of different pools: array (s,). As if every chance were
        whole; looked at closely only where some size is above a bar."""
        block = self.block
        if block.edges and block.contrast < block.least:
            return np.full(len(block.variants), -np.inf)
        once = np.ones(len(self.pools))
        # A pool can be one strand or two of the thread; whichever is worth more bounds both.
        one, two = (block.roughly(slice(None), self.pools, count) for count in (once, 2.0 * once))
        worth = np.where(np.isfinite(one), np.maximum(one, two), -np.inf) + self.kindred - self._cost(slice(None))
        most = self._most(worth, worth + self.searcher.w_sure, block.tops_alone, closely=False)[-1]
        if (most > bar).any():
            most = self._most(worth, worth + self.searcher.w_sure, block.tops_alone)[-1]
        return np.where(self._has_wanted(worth), most, -np.inf)

    def of(self, size: int) -> OfSize:
        """What they add to one size."""
        block, sizes, once = self.block, slice(size, size + 1), np.ones(len(self.pools))
        one = block.strands(slice(None), self.pools, once, sizes)
        two = block.strands(slice(None), self.pools, 2.0 * once, sizes)
        able, cost = np.isfinite(one.worth), self._cost(sizes)
        worth = np.where(able, np.maximum(one.worth, two.worth), -np.inf) + self.kindred - cost
        # The chance of a thread is never above that of any of its strands, so theirs may be averaged like their worth.
        sure = self.searcher.w_sure
        traded = np.maximum(one.worth + sure * one.sure, two.worth + sure * two.sure) + self.kindred - cost
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

    def _cost(self, sizes: slice) -> Floats | float:
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

    def _has_wanted(self, worth: Floats) -> npt.NDArray[np.bool_]:
        """For each size, whether a wanted pool could fill a role or be a strand of it: array (s,)."""
        block = self.block
        if self.searcher.wanted is None:
            return np.ones(len(block.variants), dtype=bool)
        wanted = list(self.searcher.wanted)
        alone, thin = np.isin(block.base.strands[:, 0], wanted), np.isin(self.pools, wanted)
        has = [np.isfinite(merit.worth[:, alone]).any(axis=1) for merit in block.merits]
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
