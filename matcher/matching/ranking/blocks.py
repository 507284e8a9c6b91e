"""All sizes of one accessory at one gauge: what each candidate adds to the score, and bounds on the whole."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import tex_range
from matcher.matching.ranking.bins import LightnessBins
from matcher.matching.ranking.choices import Choices
from matcher.matching.ranking.prices import Prices
from matcher.matching.ranking.score import leftover_value
from matcher.matching.ranking.searcher import DENSE, Searcher
from matcher.matching.variants import Variant, least_colours
from matcher.materials.uncertain import margin, normal_chance

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Merit:
    """What m candidates bring to one role in s sizes, both (s, m).

    `worth` is their part of the score besides sure, contrast and together, with the most that their share of the part
    kindred could be, -inf where they have too little;
    `sure` is the chance that each suffices, other roles apart: the chance of all is never above it.
    """

    worth: Floats
    sure: Floats


class Block:
    """Variants of one accessory at one gauge, in the order of their sizes.

    prices : what its yarn costs, see `priced`; None for nothing.
    """

    prices: Prices | None = None

    def __init__(self, searcher: Searcher, variants: Sequence[Variant], least: float) -> None:
        self.searcher, self.variants, self.least = searcher, tuple(variants), least
        first = variants[0]
        self.edges, self.roles = first.edges, len(first.filled)
        self.touching = frozenset(role for edge in first.edges for role in edge)
        self.next_to_skin = first.accessory.next_to_skin
        self.window = tex_range(first.gauge, searcher.constants)
        self.base = searcher.choices_alone(self.window)
        self.own = searcher.base_together(self.base, self.next_to_skin)
        self.length = _by_role([one.length_m for one in variants])
        self.shared = _by_role([one.shared_sd for one in variants])
        self.private = _by_role([one.own_sd for one in variants])
        self.weight = _by_role([one.weight for one in variants])
        if self.edges:
            self.contrast = searcher.colours.most(least_colours(self.roles, self.edges))
        else:
            self.contrast = searcher.ranking.one_colour_contrast
        # What one pair of roles counts in the part `kindred`.
        pairs = max(1, self.roles * (self.roles - 1) // 2)
        self.pair_share = searcher.w_kindred / (pairs + searcher.ranking.strange_pairs)
        self.reads = self.limit(self.base)
        self.merits = self._merits_alone()

    def priced(self, prices: Prices) -> Block:
        """The same where yarn has a price. A block without prices is to be asked."""
        other = copy(self)
        other.prices = prices
        pools, count = self.base.strands[:, 0], self.base.count[:, 0]
        cost = prices.of_metres(pools, self.length * count, self.shared, self.private) + prices.each[pools]
        other.merits = [Merit(merit.worth - one, merit.sure) for merit, one in zip(self.merits, cost, strict=True)]
        return other

    def cost(self, role: int, sizes: slice, choices: Choices) -> Floats:
        """What threads (m,) for a role cost in some sizes, array (s, m)."""
        length, shared, own = (one[role, sizes] for one in (self.length, self.shared, self.private))
        whole = np.zeros((len(length), len(choices)))
        if self.prices is None:
            return whole
        for pools, count in zip(choices.strands.T, choices.count.T, strict=True):
            metres = self.prices.of_metres(pools, length * count, shared, own)
            whole = whole + np.where(count > 0, metres + self.prices.each[pools], 0.0)
        return whole

    def _cost_as_strand(self) -> Floats | float:
        """The least that a thin pool costs as one of the strands of a thread, counted as if all strands were of it:
        array (roles, s, m)."""
        if self.prices is None:
            return 0.0
        metres = self.prices.of_metres(self.thin, self.length, self.shared, self.private)
        each = self.prices.each[self.thin]
        # Of two strands or three; one of them, or two of three, is of this pool.
        return np.minimum(2 * metres, 3 * metres) + np.minimum(1.5 * each, 3 * each)

    @cached_property
    def _kept(self) -> dict[frozenset[int], float]:
        roles = [need.role for need in self.variants[0].filled]
        kept = self.searcher.kept.of(self.variants[0].accessory, self.variants[0].gauge)
        return {frozenset((a, b)): kept[frozenset((roles[a], roles[b]))] for a, b in self.edges}

    def hue_kept(self, a: int, b: int) -> float:
        """What two roles that touch keep of a difference of hue; worked out when it is first asked for."""
        return self._kept[frozenset((a, b))]

    def touches(self, a: int, b: int) -> bool:
        """Whether two roles touch."""
        return (a, b) in self.edges or (b, a) in self.edges

    # What a candidate adds by itself ------------------------------------------------------------------

    def strands(self, roles: slice, pools: Indexes, count: Floats) -> Merit:
        """Pools (m,) with so many strands each (m,) of the thread of some roles: arrays (roles, s, m)."""
        searcher, stock = self.searcher, self.searcher.stock
        need = self.length[roles] * count
        free, weight = stock.free_m[pools], self.weight[roles]
        able = searcher.able(pools, self.next_to_skin)
        if searcher.near:
            # The more of the need is there, the nearer.
            have = np.clip(free / (searcher.ranking.near_miss_need * need), 0.0, 1.0)
            worth = np.where(
                able & (have > searcher.ranking.near_miss_least), have * weight * searcher.near_weight, -np.inf
            )
            return Merit(worth, np.ones_like(worth))
        left = free - need
        variance = stock.log_sd[pools] ** 2 + self.private[roles] ** 2 + self.shared[roles] ** 2
        z = margin(free, need) / np.sqrt(variance)
        worth = weight * (
            searcher.ranking.weight_use * searcher.use(need, pools, count)
            + searcher.ranking.weight_leftover * leftover_value(left, searcher.usable_m[pools])
        )
        return Merit(np.where(able & (z >= searcher.least_z - 1e-9), worth, -np.inf), normal_chance(z))

    def threads(self, role: int, choices: Choices) -> Merit:
        """Whole threads (m,) for a role: the mean worth of their strands, the least of their chances."""
        one = slice(role, role + 1)
        each = self.strands(one, choices.strands.ravel(), np.maximum(choices.count, 1.0).ravel())
        shape = (len(self.variants), *choices.count.shape)
        return self._of_strands(role, choices, each.worth.reshape(shape), each.sure.reshape(shape), slice(None))

    def marls(self, role: int, size: int, choices: Choices) -> Merit:
        """As `threads`, of one size, for threads of thin pools: (1, m). A strand is worked out once for all of them."""
        at, twice = np.searchsorted(self.thin, choices.strands), choices.count > 1
        one = slice(role, role + 1)
        once, double = (self.strands(one, self.thin, np.full(len(self.thin), count)) for count in (1.0, 2.0))
        worth, sure = (
            np.where(twice, two[0, size][at], single[0, size][at])[None]
            for single, two in ((once.worth, double.worth), (once.sure, double.sure))
        )
        return self._of_strands(role, choices, worth, sure, slice(size, size + 1))

    def _of_strands(self, role: int, choices: Choices, worth: Floats, sure: Floats, sizes: slice) -> Merit:
        """Whole threads (m,) from what each of their strands is worth, and its chance: arrays (s, m, 3)."""
        used = choices.count > 0
        enough = np.all(np.isfinite(worth) | ~used, axis=2)
        mean = (np.where(used & np.isfinite(worth), worth, 0.0) * choices.count).sum(axis=2)
        mean = np.where(enough, mean / choices.count.sum(axis=1), -np.inf)
        mean += self.shared_kindred(choices, self.roles - 1)
        self._leave_lonely(role, self.limit(choices), mean)
        return Merit(mean - self.cost(role, sizes, choices), np.where(used, sure, 1.0).min(axis=2, initial=1.0))

    def _merits_alone(self) -> list[Merit]:
        every = self.strands(slice(None), self.base.strands[:, 0], self.base.count[:, 0])
        kindred = self.shared_kindred(self.base, self.roles - 1)
        merits = [Merit(worth + kindred, sure) for worth, sure in zip(every.worth, every.sure, strict=True)]
        for role, merit in enumerate(merits):
            self._leave_lonely(role, self.reads, merit.worth)
        return merits

    def kindred(self, choices: Choices, others: int) -> Floats:
        """The most that each thread could add to the part `kindred` beside so many others, array (m,).

        A thing of one role has no others: its thread is taken by itself.
        """
        if self.roles > 1:
            of = self.searcher.base_kindred if choices is self.base else self.searcher.most_kindred
            return self.pair_share * of(choices, others)
        alone = choices.count[:, 1] == 0
        one_lot = self.searcher.w_kindred * self.searcher.ranking.one_lot_kindred
        return np.where(alone, one_lot, self.pair_share * choices.kindred)

    def shared_kindred(self, choices: Choices, others: int) -> Floats:
        """The same when each pair is shared out between its two roles, array (m,)."""
        return self.kindred(choices, others) / min(2, self.roles)

    def limit(self, choices: Choices) -> Floats:
        """The most that the part `contrast` could be with each thread in a role that touches another: array (m,)."""
        of = self.searcher.base_potential if choices is self.base else self.searcher.potential
        return np.minimum(of(choices), self.contrast)

    def _leave_lonely(self, role: int, reads: Floats, worth: Floats) -> None:
        """Leave out what reads against nothing in the bin, where the role has a neighbour."""
        if role in self.touching:
            worth[:, reads < self.least] = -np.inf

    # Bounds: never below the score of any assignment ----------------------------------------------------

    def quick_bounds(self) -> Floats:
        """For each size, with every role from one pool: array (s,); -inf where nothing can be made."""
        nothing = np.full(len(self.variants), -np.inf)
        if len(self.base) == 0 or (self.edges and self.contrast < self.least):
            return nothing
        searcher = self.searcher
        tops = np.stack([merit.worth.max(axis=1) for merit in self.merits])
        if searcher.wanted is not None:
            among = np.isin(self.base.strands[:, 0], list(searcher.wanted))
            without = ~np.stack([np.isfinite(merit.worth[:, among]).any(axis=1) for merit in self.merits])
            tops = np.where(without.all(axis=0), -np.inf, tops)
        able = np.isfinite(tops).all(axis=0)
        if not able.any():
            return nothing
        # The chance of all is never above that of one role, nor the least reading above what one role can reach:
        # each role's own best trade of these for worth is a bound.
        trades = []
        for role, merit in enumerate(self.merits):
            reads = self.reads if role in self.touching else self.contrast
            fixed = searcher.w_together * self.own + searcher.w_contrast * reads
            trades.append((merit.worth + searcher.w_sure * merit.sure + fixed).max(axis=1))
        with np.errstate(invalid="ignore"):
            whole = (np.stack(trades) + (tops.sum(axis=0) - tops)).min(axis=0)
        return np.where(able, whole, -np.inf)

    def bounds(self, bar: float, bounds: Floats) -> Floats:
        """The same, closer, for the sizes whose `bounds` are above the bar: pairs of roles with all candidates."""
        closer = bounds.copy()
        if self.roles == 1:
            return closer
        dense = len(self.base) <= DENSE
        sizes = np.flatnonzero(bounds > bar)
        tops = np.stack([merit.worth[sizes].max(axis=1) for merit in self.merits])

        def with_tops(bound: Floats, *roles: int) -> None:
            others = sum(tops[role] for role in range(self.roles) if role not in roles)
            closer[sizes] = np.minimum(closer[sizes], bound + others)

        for a, b in combinations(range(self.roles), 2):
            if dense:
                with_tops(self._pair_bound(a, b, sizes), a, b)
            elif self.touches(a, b):
                with_tops(self._pair_bound_by_lightness(a, b, sizes), a, b)
        if not dense:
            for three in combinations(range(self.roles), 3):
                if all(self.touches(*two) for two in combinations(three, 2)):
                    with_tops(self._triple_bound_by_lightness(three, sizes), *three)
        return closer

    def _pair_bound_by_lightness(self, a: int, b: int, sizes: Indexes) -> Floats:
        """As `_pair_bound`, looser, in a time that grows with the candidates and not with their pairs."""
        searcher, merit = self.searcher, self.merits[a]
        own = merit.worth[sizes] + searcher.w_sure * merit.sure[sizes] + searcher.w_together * self.own
        best = (self.bins.best(0, slice(None), worth) for worth in self.merits[b].worth[sizes])
        return np.array([(mine + self.bins.with_companion(0, one)).max() for mine, one in zip(own, best, strict=True)])

    def _triple_bound_by_lightness(self, roles: tuple[int, int, int], sizes: Indexes) -> Floats:
        """The most that three roles which all touch each other could come to: array (sizes,)."""
        searcher, two = self.searcher, self.bins.adds
        adds = np.minimum(np.minimum(two[:, :, None], two[:, None, :]), two[None])
        bound = np.empty(len(sizes))
        for place, size in enumerate(sizes):
            first, second, third = (self.bins.best(0, slice(None), self.merits[role].worth[size]) for role in roles)
            bound[place] = (first[:, None, None] + second[None, :, None] + third[None, None, :] + adds).max()
        return bound + searcher.w_sure + searcher.w_together * float(self.own.max())

    @cached_property
    def bins(self) -> LightnessBins:
        """Those of all candidates."""
        return self.bins_of([self.base])

    @cached_property
    def strand_bins(self) -> LightnessBins:
        """Those of all strands, then those of what could be in a thread that touches theirs."""
        ends, _ = self.searcher.strand_ends(self.window)
        return self._bins([ends[:2], ends[2:]])

    def bins_of(self, several: Sequence[Choices]) -> LightnessBins:
        """Choices in bins, with what two roles that touch add by what they read."""
        return self._bins([self.searcher.ends(one, one is self.base) for one in several])

    def _bins(self, several: Sequence[Floats]) -> LightnessBins:
        return LightnessBins(self.searcher.colours, several, self.least, self.contrast, self.searcher.w_contrast)

    def _pair_bound(self, a: int, b: int, sizes: Indexes) -> Floats:
        """The most that two roles with all their candidates could come to, the other roles' worth apart."""
        searcher = self.searcher
        table = searcher.table(self.base, self.next_to_skin)
        constant = searcher.w_together * table.beside + self.pair_share * table.kindred
        if self.touches(a, b):
            constant = constant + np.where(table.hopes >= self.least, searcher.w_contrast * table.hopes, -np.inf)
        else:
            constant = constant + searcher.w_contrast * self.contrast
        constant = np.where(table.apart, constant, -np.inf)
        # The lesser of two chances is at most their mean, which can be shared out between the roles.
        others = self.shared_kindred(self.base, self.roles - 2) - self.shared_kindred(self.base, self.roles - 1)
        chance = 0.5 * searcher.w_sure
        left, right = (
            merit.worth[sizes] + others + chance * merit.sure[sizes] for merit in (self.merits[a], self.merits[b])
        )
        return np.asarray((left[:, :, None] + (right[:, None, :] + constant)).max(axis=(1, 2)))

    def quick_bounds_with_marls(self) -> Floats:
        """For each size, with strands of different pools in a role: array (s,), without a look at the pools."""
        searcher = self.searcher
        if self.edges and self.contrast < self.least:
            return np.full(len(self.variants), -np.inf)
        if self.prices is not None:
            return np.full(len(self.variants), np.inf)
        less = searcher.w_together * (1.0 - searcher.rules.marl_factor) + searcher.w_contrast * (1.0 - self.contrast)
        return np.full(len(self.variants), 1.0 + 1e-9 - less)

    def bounds_with_marls(self) -> Floats:
        """For each size, with at least one role of strands of different pools: array (s,)."""
        searcher = self.searcher
        if self.edges and self.contrast < self.least:
            return np.full(len(self.variants), -np.inf)
        self._strand_tops()
        whole = searcher.w_together * searcher.rules.marl_factor
        tops, marled = np.stack(self.tops), np.stack(self.marl_tops)
        with np.errstate(invalid="ignore"):
            most = (marled + (tops.sum(axis=0) - tops)).max(axis=0)
        able = self._has_wanted() & np.isfinite(tops).all(axis=0)
        return np.where(able, whole + most, -np.inf)

    def _has_wanted(self) -> npt.NDArray[np.bool_]:
        """For each size, whether a wanted pool could fill a role or be a strand of it: array (s,)."""
        if self.searcher.wanted is None:
            return np.ones(len(self.variants), dtype=bool)
        wanted = list(self.searcher.wanted)
        alone, thin = np.isin(self.base.strands[:, 0], wanted), np.isin(self.thin, wanted)
        has = [np.isfinite(merit.worth[:, alone]).any(axis=1) for merit in self.merits]
        has += [np.isfinite(worth[:, thin]).any(axis=1) for worth in self.as_strand]
        return np.asarray(np.any(has, axis=0))

    def _strand_tops(self) -> None:
        """What each thin pool could add as a strand of each role, chance and contrast included."""
        searcher = self.searcher
        self.thin = searcher.thin(self.window)
        once = np.ones(len(self.thin))
        # A pool can be one strand or two of the thread; whichever is worth more bounds both.
        one = self.strands(slice(None), self.thin, once)
        two = self.strands(slice(None), self.thin, 2 * once)
        able, cost = np.isfinite(one.worth), self._cost_as_strand()
        # With one role, what a strand could bring is how its marl belongs together.
        others = max(1, self.roles - 1)
        self.strand_kindred = self.pair_share / min(2, self.roles) * searcher.stock.kindred.most(others)[self.thin]
        kindred = self.strand_kindred
        worth = np.where(able, np.maximum(one.worth, two.worth), -np.inf) + kindred - cost
        # The chance of a thread is never above that of any of its strands, so theirs may be averaged like their worth.
        traded = (
            np.maximum(one.worth + searcher.w_sure * one.sure, two.worth + searcher.w_sure * two.sure) + kindred - cost
        )
        reads = np.minimum(searcher.strand_potential(self.thin, self.window[1]), self.contrast)
        self.as_strand, self.tops, self.marl_tops = [], [], []
        self.strand_worth, self.traded, self.strand_reads = worth, traded, reads
        for role, merit in enumerate(self.merits):
            self._leave_lonely(role, reads, worth[role])
            most = traded[role] + searcher.w_contrast * (reads if role in self.touching else self.contrast)
            self.as_strand.append(np.where(np.isfinite(worth[role]), most, -np.inf))
            self.marl_tops.append(_of_two_best(self.as_strand[-1]))
            alone = merit.worth.max(axis=1, initial=-np.inf)
            self.tops.append(np.maximum(alone, _of_two_best(worth[role])))


def most_of_all(searcher: Searcher, variant: Variant) -> float:
    """The most that any assignment of any bin could score."""
    contrast = 1.0 if variant.edges else searcher.ranking.one_colour_contrast
    return 1.0 - searcher.w_contrast * (1.0 - contrast) + 1e-9


def _by_role(variants: list[Floats]) -> Floats:
    """Figures (roles,) of s variants as one array (roles, s, 1)."""
    return np.stack(variants, axis=1)[:, :, None]


def _of_two_best(worth: Floats) -> Floats:
    """The most that a marl of pools could be worth, by row of (s, m): two strands of the worthiest, one of the next."""
    if worth.shape[1] < 2:
        return np.full(len(worth), -np.inf)
    last = np.partition(worth, worth.shape[1] - 2, axis=1)
    return np.asarray((2.0 * last[:, -1] + last[:, -2]) / 3.0)
