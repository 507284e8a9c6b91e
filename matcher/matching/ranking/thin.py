"""Pools that are thin enough to be strands of a thread of several: what each could add, and bounds on the whole."""

from __future__ import annotations

from dataclasses import dataclass, replace
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
    """What m thin pools add at most to one size as a strand of a role, of two strands or three.

    worth : (roles, m), besides sure, contrast and together. at : of each role, which of the pools could be in a thread
    of several that beats the bar. traded, whole : along with these, what they add with the chance that it suffices, and
    with what their thread could read besides. tops : (roles,), the most that any thread adds, one pool's or several's,
    without sure, contrast and together. most : of all that have a thread of several; the bar, where that is more.
    """

    worth: Floats
    at: list[Indexes]
    traded: list[Floats]
    whole: list[Floats]
    tops: Floats
    most: float = -np.inf


class Thin:
    """The thin pools of a block.

    pools : (m,). kindred : (m,), what of their worth is hoped for from `kindred`. reads : (m,), the most that a thread
    could read that has them.
    """

    def __init__(self, block: Block) -> None:
        self.block, self.searcher = block, block.searcher
        self.pools = block.here.thin
        # With one role, what a strand could bring is how its marl belongs together.
        most = block.here.thin_kindred(max(1, block.roles - 1))
        self.kindred: Floats = block.pair_share / min(2, block.roles) * most
        self._known: dict[int, tuple[float, OfSize]] = {}

    @cached_property
    def reads(self) -> Floats:
        return np.minimum(self.block.here.thin_potential(), self.block.contrast)

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
        return self.block.here.supply_thin(count)

    def bounds(self, bar: float = -np.inf, bounds: Floats | None = None) -> Floats:
        """For each size, with at least one role of strands of different pools: array (s,); closer than `bounds`, given,
        where those are above a bar."""
        block = self.block
        if block.edges and block.contrast < block.least:
            return np.full(len(block.variants), -np.inf)
        found = np.full(len(block.variants), np.inf) if bounds is None else bounds.copy()
        for size in np.flatnonzero(found > bar).tolist():
            found[size] = min(float(found[size]), self.bound(size, bar))
        return found

    def bound(self, size: int, bar: float) -> float:
        """Of one size, or the bar where that is more; -inf where there is none."""
        of_size = self.of(size, bar)
        return of_size.most if self._has_wanted(of_size.worth, size) else -np.inf

    def of(self, size: int, bar: float = -np.inf) -> OfSize:
        """What they add to one size; closely of those alone that could beat a bar, which is never lifted later."""
        if size not in self._known or self._known[size][0] > bar:
            self._known[size] = bar, self._of(size, bar)
        return self._known[size][1]

    def _of(self, size: int, bar: float) -> OfSize:
        block, searcher, sizes = self.block, self.searcher, slice(size, size + 1)
        # A pool can be one strand or two of the thread; whichever is worth more bounds both.
        one, two = (block.worth(self.supply(count), self.pools, sizes=sizes)[:, 0] for count in (1, 2))
        less = np.broadcast_to(self.kindred - self._cost(size), one.shape)
        worth = np.maximum(one, two) + less
        reads, contrast = [self.reads] * block.roles, block.contrast
        if block.edges and len(self.pools):
            reads, contrast = self._reading(reads, np.isfinite(worth))
        for role in block.touching:
            worth[role][reads[role] < block.least] = -np.inf
        tops = np.maximum(block.tops_alone[:, size], of_two_best(worth))
        if not np.isfinite(tops).all():
            return OfSize(worth, [], [], [], tops)
        rest = tops.sum() - tops + searcher.w_together * searcher.rules.marl_factor
        reading = [
            np.minimum(reads[role], contrast) if role in block.touching else np.full(len(self.pools), contrast)
            for role in range(block.roles)
        ]
        at = [
            could_be_strands(worth[role] + (searcher.w_sure + searcher.w_contrast * one), bar - float(rest[role]))
            for role, one in enumerate(reading)
        ]
        of_size, most = OfSize(worth, at, [], [], tops, bar), bar
        if not any(map(len, at)):
            return of_size
        # The chance of a thread is never above that of any of its strands, so theirs may be averaged like their worth.
        once, twice = (block.chances_of(self.supply(count), size, at) for count in (1, 2))
        for role, places in enumerate(at):
            single, double = (
                part[role, places] + searcher.w_sure * chance[role] for part, chance in ((one, once), (two, twice))
            )
            of_size.traded.append(np.maximum(single, double) + less[role, places])
            of_size.whole.append(of_size.traded[role] + searcher.w_contrast * reading[role][places])
            most = max(most, float(of_two_best(of_size.whole[role]) + rest[role]))
        return replace(of_size, most=most)

    def _reading(self, reads: list[Floats], able: npt.NDArray[np.bool_]) -> tuple[list[Floats], float]:
        """The most that a thread could read which has one of the pools in a role (roles, m), and that all could.

        reads : of each role (m,), a looser bound. able : (roles, m), which have enough for a role.

        A strand that is too much of its thread to vanish reads no better than it does against the darkest or the
        lightest that could be in a role which touches its own.
        """
        block, contrast = self.block, self.block.contrast
        dark, bright, _, thick = block.here.ends_of_strands()
        # The last of them are too thick for one of several strands; whether they have enough isn't asked.
        thin = len(self.pools)
        most = np.where(able, bright[:thin], bright[thin:].max(initial=-np.inf)).max(axis=1)
        least = np.where(able, dark[:thin], dark[thin:].min(initial=np.inf)).min(axis=1)
        # Between two ends so far apart, everything reads as well as may be against one of them.
        widely = block.here.by_lightness(np.maximum(most - least, 0.0) / 2.0) >= block.contrast
        found = list(reads)
        for role in block.touching:
            others = [other for other in range(block.roles) if block.touches(role, other)]
            if all(widely[other] for other in others):
                continue
            if not np.isfinite(most[others]).all():  # a role that touches has nobody
                return [np.zeros_like(one) for one in reads], 0.0
            most_read = block.here.read_against({(float(least[other]), float(most[other])) for other in others})
            whole = most_read[thin:].max(where=thick[thin:], initial=0.0)
            whole = most_read[:thin].max(where=thick[:thin] & able[role], initial=float(whole))
            contrast = min(contrast, float(whole))
            found[role] = np.minimum(reads[role], most_read[:thin])
        return found, contrast

    def _cost(self, size: int) -> Floats | float:
        """The least that a thin pool costs as one of the strands of a thread, counted as if all strands were of it:
        array (roles, m)."""
        block = self.block
        if block.prices is None:
            return 0.0
        metres = block.prices.of_metres(
            self.pools, block.length[:, size], block.shared[:, size], block.private[:, size]
        )
        each = block.prices.each[self.pools]
        # Of two strands or three; one of them, or two of three, is of this pool.
        return np.minimum(2 * metres, 3 * metres) + np.minimum(1.5 * each, 3 * each)

    def _has_wanted(self, worth: Floats, size: int) -> bool:
        """Whether a wanted pool could fill a role of a size, or be a strand of it."""
        block = self.block
        if self.searcher.wanted is None:
            return True
        wanted = list(self.searcher.wanted)
        alone, thin = np.isin(block.base.strands[:, 0], wanted), np.isin(self.pools, wanted)
        by_itself = block.worth_alone(slice(size, size + 1))[..., alone]
        return bool(np.isfinite(by_itself).any() or np.isfinite(worth[:, thin]).any())


def could_be_strands(worth: Floats, least: float) -> Indexes:
    """Which of m pools could be in a marl whose strands are worth more than this on average: beside two of the best."""
    best = float(worth.max(initial=-np.inf))
    if best == -np.inf:
        return np.zeros(0, dtype=np.intp)
    at = np.flatnonzero(worth > 3.0 * (least - SLACK) - 2.0 * best)
    return at if len(at) > 1 else at[:0]


def of_two_best(worth: Floats) -> Floats:
    """The most that a marl of pools could be worth, by row of (..., m): two strands of the best, one of the next."""
    if worth.shape[-1] < 2:
        return np.full(worth.shape[:-1], -np.inf)
    rows = worth.reshape(-1, worth.shape[-1])
    found = np.empty(len(rows))
    for place, row in enumerate(rows):
        at = row.argmax()
        found[place] = 2.0 * row[at] + max(row[:at].max(initial=-np.inf), row[at + 1 :].max(initial=-np.inf))
    return found.reshape(worth.shape[:-1]) / 3.0
