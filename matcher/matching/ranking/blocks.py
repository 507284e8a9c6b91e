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
from matcher.matching.colour_table import DECIDED
from matcher.matching.ranking.bins import LightnessBins
from matcher.matching.ranking.choices import Choices
from matcher.matching.ranking.mates import Mates
from matcher.matching.ranking.prices import Prices
from matcher.matching.ranking.score import leftover_value
from matcher.matching.ranking.searcher import DENSE, Searcher
from matcher.matching.variants import Variant, least_colours
from matcher.materials.uncertain import margin, normal_chance

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Of more pairs of lightness than this that are told apart, no look at all that touch a ground is taken. It changes how
# long a search takes, never what it finds.
_MOST_APART = 0.5


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
    _rough_tops: Floats | None = None

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

    def priced(self, prices: Prices) -> Block:
        """The same where yarn has a price. A block without prices is to be asked."""
        merits, other = self.merits, copy(self)
        other.prices, other._rough_tops = prices, None
        pools, count = self.base.strands[:, 0], self.base.count[:, 0]
        cost = prices.of_metres(pools, self.length * count, self.shared, self.private) + prices.each[pools]
        other.merits = [Merit(merit.worth - one, merit.sure) for merit, one in zip(merits, cost, strict=True)]
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

    def strands(self, roles: slice, pools: Indexes, count: Floats, sizes: slice = slice(None)) -> Merit:
        """Pools (m,) with so many strands each (m,) of the thread of some roles: arrays (roles, s, m)."""
        worth = self.roughly(roles, pools, count, sizes)
        if self.searcher.near:
            return Merit(worth, np.ones_like(worth))
        searcher, stock, at = self.searcher, self.searcher.stock, (roles, sizes)
        variance = stock.log_sd[pools] ** 2 + (self.private[at] ** 2 + self.shared[at] ** 2)
        z = margin(stock.free_m[pools], self.length[at] * count) / np.sqrt(variance)
        return Merit(np.where(z >= searcher.least_z - 1e-9, worth, -np.inf), normal_chance(z))

    def roughly(self, roles: slice, pools: Indexes, count: Floats, sizes: slice = slice(None)) -> Floats:
        """Their worth or more, as quickly as may be: as if it were known how much of each pool there is."""
        searcher, stock, at = self.searcher, self.searcher.stock, (roles, sizes)
        need = self.length[at] * count
        free, weight = stock.free_m[pools], self.weight[at]
        able = searcher.able(pools, self.next_to_skin)
        if searcher.near:
            # The more of the need is there, the nearer.
            have = np.clip(free / (searcher.ranking.near_miss_need * need), 0.0, 1.0)
            enough = have > searcher.ranking.near_miss_least
            return np.where(able & enough, have * weight * searcher.near_weight, -np.inf)
        worth = searcher.ranking.weight_use * searcher.use(need, pools, count)
        worth += searcher.ranking.weight_leftover * leftover_value(free - need, searcher.usable_m[pools])
        # What the need's own doubt asks at least; that of the yarn comes on top.
        least = self.length[at] * np.exp(searcher.least_z * np.hypot(self.shared[at], self.private[at]) - 1e-9)
        return np.where(able & (free >= least * count), weight * worth, -np.inf)

    def threads(self, role: int, choices: Choices) -> Merit:
        """Whole threads (m,) for a role: the mean worth of their strands, the least of their chances."""
        one = slice(role, role + 1)
        each = self.strands(one, choices.strands.ravel(), np.maximum(choices.count, 1.0).ravel())
        shape = (len(self.variants), *choices.count.shape)
        return self._of_strands(role, choices, each.worth.reshape(shape), each.sure.reshape(shape), slice(None))

    def marls(self, role: int, size: int, choices: Choices) -> Merit:
        """As `threads`, of one size: (1, m). A strand is worked out once for all threads that have it."""
        pools, at = np.unique(choices.strands, return_inverse=True)
        at, twice, sizes = at.reshape(choices.strands.shape), choices.count > 1, slice(size, size + 1)
        once, double = (
            self.strands(slice(role, role + 1), pools, np.full(len(pools), count), sizes) for count in (1.0, 2.0)
        )
        worth, sure = (
            np.where(twice, two[0, 0][at], single[0, 0][at])[None]
            for single, two in ((once.worth, double.worth), (once.sure, double.sure))
        )
        return self._of_strands(role, choices, worth, sure, sizes)

    def _of_strands(self, role: int, choices: Choices, worth: Floats, sure: Floats, sizes: slice) -> Merit:
        """Whole threads (m,) from what each of their strands is worth, and its chance: arrays (s, m, 3)."""
        used = choices.count > 0
        enough = np.all(np.isfinite(worth) | ~used, axis=2)
        mean = (np.where(used & np.isfinite(worth), worth, 0.0) * choices.count).sum(axis=2)
        mean = np.where(enough, mean / choices.count.sum(axis=1), -np.inf)
        mean += self.shared_kindred(choices, self.roles - 1)
        self._leave_lonely(role, self.limit(choices), mean)
        return Merit(mean - self.cost(role, sizes, choices), np.where(used, sure, 1.0).min(axis=2, initial=1.0))

    @cached_property
    def merits(self) -> list[Merit]:
        """For each role what all pools alone bring to it."""
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

    def rough_bounds(self) -> Floats:
        """For each size, with every role from one pool: array (s,); -inf where nothing can be made. As if every
        chance were whole."""
        if self.prices is not None or not self._possible:
            return self.quick_bounds()
        rough = self.roughly(slice(None), self.base.strands[:, 0], self.base.count[:, 0])
        rough += self.shared_kindred(self.base, self.roles - 1)
        for role, worth in enumerate(rough):
            self._leave_lonely(role, self.reads, worth)
        self._rough_tops = rough.max(axis=2)
        return self._bounds_by_role(rough, np.ones(self.roles))

    def quick_bounds(self) -> Floats:
        """The same, closer, with the chances."""
        if not self._possible:
            return np.full(len(self.variants), -np.inf)
        return self._bounds_by_role([one.worth for one in self.merits], [one.sure for one in self.merits])

    @property
    def tops_alone(self) -> Floats:
        """The most that a pool alone adds to each role in each size, or more: array (roles, s)."""
        if self._rough_tops is None:
            self._rough_tops = np.stack([merit.worth.max(axis=1, initial=-np.inf) for merit in self.merits])
        return self._rough_tops

    @property
    def _possible(self) -> bool:
        return len(self.base) > 0 and not (self.edges and self.contrast < self.least)

    def _bounds_by_role(self, worths: Sequence[Floats] | Floats, sures: Sequence[Floats] | Floats) -> Floats:
        searcher, nothing = self.searcher, np.full(len(self.variants), -np.inf)
        tops = np.stack([worth.max(axis=1) for worth in worths])
        if searcher.wanted is not None:
            among = np.isin(self.base.strands[:, 0], list(searcher.wanted))
            without = ~np.stack([np.isfinite(worth[:, among]).any(axis=1) for worth in worths])
            tops = np.where(without.all(axis=0), -np.inf, tops)
        able = np.isfinite(tops).all(axis=0)
        if not able.any():
            return nothing
        # The chance of all is never above that of one role, nor the least reading above what one role can reach:
        # each role's own best trade of these for worth is a bound.
        trades = []
        for role, (worth, sure) in enumerate(zip(worths, sures, strict=True)):
            reads = self.reads if role in self.touching else self.contrast
            fixed = searcher.w_together * self.own + searcher.w_contrast * reads
            trades.append((worth + searcher.w_sure * sure + fixed).max(axis=1))
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

        # Where lightness tells most colours apart it would tell nothing.
        if self.roles > 2 and self.edges and np.isfinite(self.bins.plain).mean() < _MOST_APART:
            with_tops(*self._hub_bound(sizes))
            left = closer[sizes] > bar
            sizes, tops = sizes[left], tops[:, left]
            if not len(sizes):
                return closer
        for a, b in combinations(range(self.roles), 2):
            if dense:
                with_tops(self._pair_bound(a, b, sizes), a, b)
            elif self.touches(a, b):
                with_tops(self._pair_bound_by_lightness(a, b, sizes), a, b)
        for three in combinations(range(self.roles), 3):
            if all(self.touches(*two) for two in combinations(three, 2)):
                with_tops(self._triple_bound_by_lightness(three, sizes), *three)
        return closer

    def _pair_bound_by_lightness(self, a: int, b: int, sizes: Indexes) -> Floats:
        """As `_pair_bound`, looser, in a time that grows with the candidates and not with their pairs.

        Strangers read as well as their lightness allows; those that belong together are looked at pair by pair.
        """
        searcher, merit, mates = self.searcher, self.merits[a], self.searcher.mates(self.window, False)
        others = self.shared_kindred(self.base, self.roles - 2) - self.shared_kindred(self.base, self.roles - 1)
        own = merit.worth[sizes] + others + searcher.w_sure * merit.sure[sizes] + searcher.w_together * self.own
        theirs = self.merits[b].worth[sizes] + others
        strange = self.pair_share * mates.unlisted[mates.of[self.base.strands[:, 0]]]
        best = (self.bins.best(0, slice(None), worth) for worth in theirs)
        strangers = [
            (mine + strange + self.bins.with_companion(0, one)).max() for mine, one in zip(own, best, strict=True)
        ]
        reads = np.minimum(searcher.mate_reads(self.window), self.contrast)
        adds = self.pair_share * mates.kindred + searcher.w_contrast * reads
        at = np.flatnonzero(reads >= self.least)
        mine, other = self._by_pool(own, mates)[:, mates.first[at]], self._by_pool(theirs, mates)[:, mates.second[at]]
        return np.asarray(np.maximum(strangers, (mine + other + adds[at]).max(axis=1, initial=-np.inf)))

    def _by_pool(self, worth: Floats, mates: Mates) -> Floats:
        """The most of each pool, however many strands of it, of figures (s, m) of all candidates: array (s, k)."""
        best = np.full((len(worth), len(mates.pools)), -np.inf)
        pools, count = mates.of[self.base.strands[:, 0]], self.base.count[:, 0]
        for strands in np.unique(count):
            at = np.flatnonzero(count == strands)
            best[:, pools[at]] = np.maximum(best[:, pools[at]], worth[:, at])
        return best

    def _triple_bound_by_lightness(self, roles: tuple[int, int, int], sizes: Indexes) -> Floats:
        """The most that three roles which all touch each other could come to: array (sizes,)."""
        searcher, two = self.searcher, self.bins.adds
        adds = np.minimum(np.minimum(two[:, :, None], two[:, None, :]), two[None])
        bound = np.empty(len(sizes))
        for place, size in enumerate(sizes):
            first, second, third = (self.bins.best(0, slice(None), self.merits[role].worth[size]) for role in roles)
            bound[place] = (first[:, None, None] + second[None, :, None] + third[None, None, :] + adds).max()
        return bound + searcher.w_sure + searcher.w_together * float(self.own.max())

    def _hub_bound(self, sizes: Indexes) -> tuple[Floats, int, *tuple[int, ...]]:
        """The most that the role which touches most others could come to with all of these: array (sizes,); and the
        roles that are in it.

        Either lightness tells it apart from each of them, or the contrast is no more than hue could make it: so where
        few colours stand out, a thing of many roles that all need one of them falls here.
        """
        searcher = self.searcher
        beside = [[other for other in range(self.roles) if self.touches(role, other)] for role in range(self.roles)]
        hub = max(range(self.roles), key=lambda role: len(beside[role]))
        merit, bound = self.merits[hub], np.empty(len(sizes))
        own = merit.worth[sizes] + searcher.w_sure * merit.sure[sizes] + searcher.w_together * self.own
        for place, size in enumerate(sizes):
            apart, by_hue = own[place] + searcher.w_contrast * self.contrast, own[place].max()
            by_hue += searcher.w_contrast * min(self.contrast, DECIDED)
            for other in beside[hub]:
                best = self.bins.best(0, slice(None), self.merits[other].worth[size])
                apart = apart + self.bins.with_companion(0, best, plainly=True)
                by_hue += best.max()
            bound[place] = max(float(apart.max()), float(by_hue))
        return bound, hub, *beside[hub]

    @cached_property
    def bins(self) -> LightnessBins:
        """Those of all candidates."""
        return self.bins_of([self.base])

    def bins_of(self, several: Sequence[Choices]) -> LightnessBins:
        """Choices in bins, with what two roles that touch add by what they read."""
        if all(one is self.base for one in several) and len(several) > 1:
            return self.bins.repeated(len(several))
        return self.bins_by([self.searcher.ends(one, one is self.base) for one in several])

    def bins_by(self, several: Sequence[Floats]) -> LightnessBins:
        """The same of what lies between two L* each, arrays (2, m)."""
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


def most_of_all(searcher: Searcher, variant: Variant) -> float:
    """The most that any assignment of any bin could score."""
    contrast = 1.0 if variant.edges else searcher.ranking.one_colour_contrast
    return 1.0 - searcher.w_contrast * (1.0 - contrast) + 1e-9


def _by_role(variants: list[Floats]) -> Floats:
    """Figures (roles,) of s variants as one array (roles, s, 1)."""
    return np.stack(variants, axis=1)[:, :, None]
