"""Pools that are thin enough to be strands of a thread of several: what each could add, and bounds on the whole."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.found import SLACK
from matcher.matching.ranking.held import Held, held_in
from matcher.matching.ranking.supply import Supply

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class OfSize:
    """What m thin pools add at most to one size as a strand of a role, of two strands or three.

    held : which role holds a wanted pool. worth : (roles, m), besides sure, contrast and together. at : of each role,
    which of the pools could be in a thread of several that beats the bar. traded, whole : along with these, what they
    add with the chance that it suffices, and with what their thread could read besides. tops : (roles,), the most that
    any thread adds, one pool's or several's, without sure, contrast and together. contrast : the most that all could
    read. most : of all that have a thread of several; the bar, where that is more.
    """

    held: Held
    worth: Floats
    at: list[Indexes]
    traded: list[Floats]
    whole: list[Floats]
    tops: Floats
    contrast: float
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
        self._known: dict[tuple[int, int | None], tuple[float, OfSize]] = {}
        self._held: dict[int | None, Held] = {}
        self._last: tuple[int, Floats, Floats] | None = None
        self._kindred_of: dict[int | None, Floats] = {}

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
        return max(self.of(size, bar, held).most for held in held_in(self.block))

    def of(self, size: int, bar: float = -np.inf, held: int | None = None) -> OfSize:
        """What they add to one size, where such a role is the first that holds a wanted pool; closely of those alone
        that could beat a bar, which is never lifted later."""
        known = self._known.get((size, held))
        if known is None or known[0] > bar:
            known = self._known[size, held] = bar, self._of(size, bar, self.held(held))
        return known[1]

    def held(self, role: int | None) -> Held:
        """The block with such a role as the first that holds a wanted pool."""
        if role not in self._held:
            self._held[role] = Held(self.block, role)
        return self._held[role]

    def _of(self, size: int, bar: float, held: Held) -> OfSize:
        block, searcher = self.block, self.searcher
        one, two = self._once_and_twice(size)
        less = self._kindred(held) - self._cost(size)
        worth = np.maximum(one, two) + less
        for role, of_role in enumerate(worth):
            of_role[held.barred(role, self.pools)] = -np.inf
        alone = held.alone(size) if held.role is not None else None
        reads, contrast = [self.reads] * block.roles, block.contrast
        if block.edges and len(self.pools):
            reads, contrast = self._reading(reads, np.isfinite(worth))
        if held.role in block.touching and alone is not None:
            contrast = min(contrast, self._held_reads(held, alone, worth, reads))
        for role in block.touching:
            worth[role][np.minimum(reads[role], contrast) < block.least] = -np.inf
        tops = block.tops_alone[:, size] if alone is None else alone.max(axis=1, initial=-np.inf)
        tops = np.maximum(tops, [of_best(one, self._must_have(held, role)) for role, one in enumerate(worth)])
        if not np.isfinite(tops).all():
            return OfSize(held, worth, [], [], [], tops, contrast)
        rest = tops.sum() - tops + searcher.w_together * searcher.rules.marl_factor
        reading = [
            np.minimum(reads[role], contrast) if role in block.touching else np.full(len(self.pools), contrast)
            for role in range(block.roles)
        ]
        at = [
            could_be_strands(
                worth[role] + (searcher.w_sure + searcher.w_contrast * one),
                bar - float(rest[role]),
                self._must_have(held, role),
            )
            for role, one in enumerate(reading)
        ]
        of_size, most = OfSize(held, worth, at, [], [], tops, contrast, bar), bar
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
            wanted = self._must_have(held, role)
            best = of_best(of_size.whole[role], None if wanted is None else wanted[places])
            most = max(most, best + float(rest[role]))
        return replace(of_size, most=most)

    def _once_and_twice(self, size: int) -> tuple[Floats, Floats]:
        """What each is worth as one strand of a thread or as two, whichever is worth more bounds both: arrays (roles,
        m). Of the last size asked for it is known."""
        if self._last is None or self._last[0] != size:
            block, sizes = self.block, slice(size, size + 1)
            one, two = (block.worth(self.supply(count), self.pools, sizes=sizes)[:, 0] for count in (1, 2))
            self._last = size, one, two
        return self._last[1:]

    def _kindred(self, held: Held) -> Floats:
        """What of their worth is `kindred`, known and hoped for: array (roles, m)."""
        if held.role not in self._kindred_of:
            both = [held.certain(role, self.pools) + held.hoped(role, self.pools) for role in range(self.block.roles)]
            self._kindred_of[held.role] = np.stack(both)
        return self._kindred_of[held.role]

    def _must_have(self, held: Held, role: int) -> Flags | None:
        """Which pools a thread of a role must have one of; None for any."""
        return held.wanted(self.pools) if held.role == role else None

    def _held_reads(self, held: Held, alone: Floats, worth: Floats, reads: list[Floats]) -> float:
        """The most that a thread could read which has a wanted pool."""
        role = held.role
        assert role is not None
        as_strand = reads[role].max(where=held.wanted(self.pools) & np.isfinite(worth[role]), initial=0.0)
        return float(self.block.reads.max(where=np.isfinite(alone[role]), initial=float(as_strand)))

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


def could_be_strands(worth: Floats, least: float, wanted: Flags | None = None) -> Indexes:
    """Which of m pools could be in a marl whose strands are worth more than this on average: beside two of the best, or
    beside the best and the best that is wanted, where it must have one of these."""
    best = float(worth.max(initial=-np.inf))
    if best == -np.inf:
        return np.zeros(0, dtype=np.intp)
    others: Floats | float = 2.0 * best
    if wanted is not None:
        best_wanted = float(worth.max(where=wanted, initial=-np.inf))
        if best_wanted == -np.inf:
            return np.zeros(0, dtype=np.intp)
        others = np.where(wanted, 2.0 * best, best + best_wanted)
    at = np.flatnonzero(worth > 3.0 * (least - SLACK) - others)
    return at if len(at) > 1 else at[:0]


def of_best(worth: Floats, wanted: Flags | None = None) -> float:
    """The most that a marl of pools (m,) could be worth: two strands of the best, one of the next; or one of those that
    are wanted, where it must have one."""
    if len(worth) < 2:
        return -np.inf
    at = worth.argmax()
    if wanted is None:
        third = max(worth[:at].max(initial=-np.inf), worth[at + 1 :].max(initial=-np.inf))
    else:
        third = worth.max(where=wanted, initial=-np.inf)
    return float(2.0 * worth[at] + third) / 3.0
