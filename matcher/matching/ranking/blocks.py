"""All sizes of one accessory at one gauge: what each candidate adds to the score, and bounds on the whole."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import tex_range
from matcher.matching.ranking.at_gauge import AtGauge
from matcher.matching.ranking.bins import LightnessBins
from matcher.matching.ranking.choices import Choices
from matcher.matching.ranking.prices import Prices
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.supply import Supply
from matcher.matching.variants import Variant, least_colours
from matcher.materials.uncertain import normal_chance

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


# So few figures of all pools alone are kept. It changes how long a search takes, never what it finds.
_SMALL = 4_000


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
    _small: Floats | None = None

    def __init__(self, searcher: Searcher, variants: Sequence[Variant], least: float) -> None:
        self.searcher, self.variants, self.least = searcher, tuple(variants), least
        first = variants[0]
        self.edges, self.roles = first.edges, len(first.filled)
        self.touching = frozenset(role for edge in first.edges for role in edge)
        self.next_to_skin = first.accessory.next_to_skin
        self.window = tex_range(first.gauge, searcher.constants)
        self.base = searcher.choices_alone(self.window)
        self.here = AtGauge(searcher, self.window)
        self.supply = self.here.supply_alone()
        self.own = searcher.base_together(self.base, self.next_to_skin)
        self.length = _by_role([one.length_m for one in variants])
        self.shared = _by_role([one.shared_sd for one in variants])
        self.private = _by_role([one.own_sd for one in variants])
        self.variance: Floats = self.private**2 + self.shared**2
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
        supply = self.searcher.supply(pools, count)
        return Merit(self.worth(supply, pools, roles, sizes), self.chances(supply, roles, sizes))

    def worth(
        self, supply: Supply, pools: Indexes, roles: slice = slice(None), sizes: slice | Indexes = slice(None)
    ) -> Floats:
        """What strands add to some roles and sizes besides sure, contrast, together and kindred, array (roles, s, m);
        -inf where a role's yarn has too little. supply : of the pools (m,)."""
        searcher, at = self.searcher, (roles, sizes)
        need, weight, able = self.length[at], self.weight[at], searcher.able(pools, self.next_to_skin)
        if searcher.near:
            # The more of the need is there, the nearer.
            have = np.clip(supply.free_m / (searcher.ranking.near_miss_need * need * supply.count), 0.0, 1.0)
            enough = have > searcher.ranking.near_miss_least
            return np.where(able & enough, have * weight * searcher.near_weight, -np.inf)
        use, leftover = weight * searcher.ranking.weight_use, weight * searcher.ranking.weight_leftover
        worth = supply.parts(need, use, leftover, searcher.least_z)
        np.copyto(worth, -np.inf, where=need > supply.reach(self.variance[at], searcher.least_z))
        if not able.all():
            worth[..., ~able] = -np.inf
        return worth

    def chances(self, supply: Supply, roles: slice = slice(None), sizes: slice = slice(None)) -> Floats:
        """The chance that each suffices, other roles apart: array (roles, s, m)."""
        at = (roles, sizes)
        if self.searcher.near:
            return np.ones((*self.length[at].shape[:2], len(supply.count)))
        return normal_chance((supply.spare - np.log(self.length[at])) / supply.spread(self.variance[at]))

    def chances_of(self, supply: Supply, size: int, several: Sequence[Indexes]) -> list[Floats]:
        """The same of some of a supply for each role of one size, along with their places."""
        numbers, at = [len(one) for one in several], np.concatenate(several)
        if self.searcher.near:
            chances = np.ones(len(at))
        else:
            role = np.repeat(np.arange(self.roles), numbers)
            spread = supply.spread(self.variance[:, size : size + 1])
            spread = spread[at] if spread.ndim == 1 else spread[role, 0, at]
            chances = normal_chance((supply.spare[at] - np.log(self.length[:, size, 0])[role]) / spread)
        ends = np.cumsum(numbers).tolist()
        return [chances[end - number : end] for number, end in zip(numbers, ends, strict=True)]

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

    def worth_alone(self, sizes: slice | Indexes = slice(None)) -> Floats:
        """What all pools alone bring to each role in some sizes, see `Merit`: array (roles, s, m)."""
        if self.has_merits:
            return np.stack([merit.worth[sizes] for merit in self.merits])
        if self._small is not None:
            return self._small[:, sizes]
        worth = self.worth(self.supply, self.base.strands[:, 0], sizes=sizes)
        worth += self.shared_kindred(self.base, self.roles - 1)
        for role, one in enumerate(worth):
            self._leave_lonely(role, self.reads, one)
        if worth.size <= _SMALL and worth.shape[1] == len(self.variants):
            self._small = worth
        return worth

    @property
    def has_merits(self) -> bool:
        """Whether `merits` was worked out already, or given."""
        return "merits" in self.__dict__

    @cached_property
    def one_less(self) -> Floats:
        """What each pool alone loses of its worth where one pair with another role counts elsewhere: array (m,)."""
        return self.shared_kindred(self.base, self.roles - 2) - self.shared_kindred(self.base, self.roles - 1)

    @cached_property
    def merits(self) -> list[Merit]:
        """For each role what all pools alone bring to it."""
        return [Merit(*one) for one in zip(self.worth_alone(), self.chances(self.supply), strict=True)]

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
        bounds, self._rough_tops = self._by_trades((worth, 1.0) for worth in self.worth_alone())
        return bounds

    def quick_bounds(self) -> Floats:
        """The same, closer, with the chances."""
        if not self._possible:
            return np.full(len(self.variants), -np.inf)
        return self._by_trades((merit.worth, merit.sure) for merit in self.merits)[0]

    def fixed(self, role: int) -> Floats:
        """What each pool alone adds at most to contrast and together in a role: array (m,)."""
        return self._fixed[role in self.touching]

    @cached_property
    def _fixed(self) -> tuple[Floats, Floats]:
        searcher = self.searcher
        together = searcher.w_together * self.own
        return together + searcher.w_contrast * self.contrast, together + searcher.w_contrast * self.reads

    @property
    def tops_alone(self) -> Floats:
        """The most that a pool alone adds to each role in each size, or more: array (roles, s)."""
        if self._rough_tops is None:
            self._rough_tops = self.worth_alone().max(axis=2, initial=-np.inf)
        return self._rough_tops

    @property
    def _possible(self) -> bool:
        return len(self.base) > 0 and not (self.edges and self.contrast < self.least)

    def _by_trades(self, each: Iterable[tuple[Floats, Floats | float]]) -> tuple[Floats, Floats]:
        """From worth (s, m) and chance of each role a bound on each size (s,), and the most worth of each (roles, s).

        The chance of all is never above that of one role, nor the least reading above what one role can reach: each
        role's own best trade of these for worth is a bound.
        """
        searcher, tops, trades, has = self.searcher, [], [], []
        wanted = None if searcher.wanted is None else np.isin(self.base.strands[:, 0], list(searcher.wanted))
        for role, (worth, sure) in enumerate(each):
            tops.append(worth.max(axis=1))
            trades.append((worth + (searcher.w_sure * sure + self.fixed(role))).max(axis=1))
            if wanted is not None:
                has.append(np.isfinite(worth[:, wanted]).any(axis=1))
        most = np.stack(tops)
        able = np.isfinite(most).all(axis=0)
        if wanted is not None:
            able &= np.any(has, axis=0)
        with np.errstate(invalid="ignore"):
            whole = (np.stack(trades) + (most.sum(axis=0) - most)).min(axis=0)
        return np.where(able, whole, -np.inf), most

    @property
    def bins(self) -> LightnessBins:
        """Those of all candidates."""
        return self.here.bins(self.least, self.contrast)

    def bins_of(self, several: Sequence[Choices]) -> LightnessBins:
        """Choices in bins, with what two roles that touch add by what they read."""
        if all(one is self.base for one in several):
            return self.bins.repeated(len(several))
        ends = [self.searcher.ends(one, one is self.base) for one in several]
        return LightnessBins(self.searcher.colours, ends, self.least, self.contrast, self.searcher.w_contrast)


def most_of_all(searcher: Searcher, variant: Variant) -> float:
    """The most that any assignment of any bin could score."""
    contrast = 1.0 if variant.edges else searcher.ranking.one_colour_contrast
    return 1.0 - searcher.w_contrast * (1.0 - contrast) + 1e-9


def _by_role(variants: list[Floats]) -> Floats:
    """Figures (roles,) of s variants as one array (roles, s, 1)."""
    return np.stack(variants, axis=1)[:, :, None]
