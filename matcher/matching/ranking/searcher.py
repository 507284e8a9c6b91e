"""What all searches of one bin share: its pools, how they read and go together, and what is asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Set
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import product
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants
from matcher.matching.colour_table import ColourTable
from matcher.matching.contrast import all_but_vanishing
from matcher.matching.kept import KeptHues
from matcher.matching.pools import Stock
from matcher.matching.ranking.bins import LightnessBins, ends
from matcher.matching.ranking.choices import STRANDS, Choices, alone
from matcher.matching.ranking.mates import Mates, mates_of
from matcher.matching.ranking.mates_read import reads_alone, reads_as_strands, strand_ends
from matcher.matching.ranking.score import use_value
from matcher.matching.ranking.supply import Supply
from matcher.matching.together import thickness_factor
from matcher.materials.rules import RankingRules, TogetherRules
from matcher.materials.uncertain import normal_z

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
T = TypeVar("T")

# Up to so many candidates at a gauge, every pair of them is tabled once; up to so many, bounds look at every pair. They
# change how long a search takes, never what it finds.
TABLED, DENSE = 400, 160
# Differences in L* that a bound on strands rounds up, and the widest of them. They change how long a search takes.
_STEP, _WIDEST = 0.25, 200.0


@dataclass(frozen=True)
class PairTable:
    """Every pair of m candidates, arrays (m, m): the most it could read, factor together, `kindred`, no pool
    in common."""

    hopes: Floats
    beside: Floats
    kindred: Floats
    apart: npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Apart:
    """What a search for a party does otherwise: whose eyes decide, which pools are barred, which are wanted."""

    colours: ColourTable
    barred: Flags
    barred_on_skin: Flags
    wanted: frozenset[int] | None


@dataclass
class Searcher:
    """One bin, ready to be searched.

    scarcity, usable_m, carries : arrays (n,) over the pools, see `usefulness`.
    chance : the least chance of enough that is accepted. None looks for near misses instead: yarn may be short,
        and how much of each role's need is there takes the place of the parts `sure`, `use` and `leftover`.
    kept : what of a difference of hue the motifs keep.
    wanted : pools of which at least one must be used; None for any.
    thorough : False tries only the worthiest strands for holding together; enough to see whether a thing can be made.
    parties : what is otherwise for whom, by name. barred, barred_on_skin : arrays (n,), pools that may be in nothing,
        and in nothing that lies on the skin; None for none.
    """

    stock: Stock
    colours: ColourTable
    ranking: RankingRules
    rules: TogetherRules
    constants: FabricConstants
    scarcity: Floats
    usable_m: Floats
    carries: npt.NDArray[np.bool_]
    chance: float | None
    kept: KeptHues = field(kw_only=True)
    most_strands: int = STRANDS
    wanted: frozenset[int] | None = None
    thorough: bool = True
    parties: Mapping[str, Apart] = field(default_factory=dict)
    barred: Flags | None = None
    barred_on_skin: Flags | None = None
    # What was worked out once: what hangs on the pools alone, and what hangs on whose eyes and which barred pools too.
    # Where the stock is another, both are to be empty.
    of_stock: dict[tuple[object, ...], Any] = field(default_factory=dict)
    of_party: dict[tuple[object, ...], Any] = field(default_factory=dict)
    # Never handed on by `replace`: what is asked of this one holds for those of its parties.
    _of: dict[str, Searcher] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.near = self.chance is None
        self.least_z = -np.inf if self.chance is None else normal_z(self.chance)
        self.w_sure = 0.0 if self.near else self.ranking.weight_sure
        self.w_contrast, self.w_together = self.ranking.weight_contrast, self.ranking.weight_together
        self.w_kindred = 0.0 if self.near else self.ranking.weight_kindred
        self.near_weight = 1.0 - self.w_contrast - self.w_together

    def of(self, party: str) -> Searcher:
        """The same for one party: a searcher that shares all that does not hang on whom it is for."""
        if party not in self.parties:
            return self
        if party not in self._of:
            other = self.parties[party]
            self._of[party] = replace(
                self,
                colours=other.colours,
                barred=other.barred,
                barred_on_skin=other.barred_on_skin,
                wanted=other.wanted if self.wanted is None else self.wanted,
                parties={},
                of_party={},
            )
        return self._of[party]

    def able(self, pools: Indexes, next_to_skin: bool) -> Flags:
        """Which of the pools may be used at all, array of their shape."""
        barred = self.barred_on_skin if next_to_skin else self.barred
        return np.ones(pools.shape, dtype=bool) if barred is None else ~barred[pools]

    def choices_alone(self, window: tuple[float, float]) -> Choices:
        """Pools whose tex is in the window by themselves, however many strands of each."""
        return self._once(
            self.of_stock, ("alone", window), lambda: alone(self.stock, *window, self.most_strands, self.rules)
        )

    def thin(self, window: tuple[float, float]) -> Indexes:
        """Pools that are thin enough to be one strand of several in a thread of the window."""
        return self._once(self.of_stock, ("thin", window), lambda: np.flatnonzero(self.stock.tex < window[1]))

    def thin_kindred(self, window: tuple[float, float], others: int) -> Floats:
        """The most that each of `thin` and so many others could come to, added up: array (m,)."""
        return self._once(
            self.of_stock,
            ("thin kindred", window, others),
            lambda: self.stock.kindred.most(others)[self.thin(window)],
        )

    def supply(self, pools: Indexes, count: Floats) -> Supply:
        """Pools (m,) with so many strands each (m,) of a thread."""
        stock, free_m = self.stock, self.stock.free_m[pools]
        return Supply(free_m, stock.log_sd[pools], self.usable_m[pools], self.use(free_m, pools, count), count)

    def supply_alone(self, window: tuple[float, float]) -> Supply:
        """Of all candidates at one gauge."""
        base = self.choices_alone(window)
        return self._once(self.of_stock, ("supply", window), lambda: self.supply(base.strands[:, 0], base.count[:, 0]))

    def supply_thin(self, window: tuple[float, float], count: int) -> Supply:
        """Of the pools of `thin`, so many strands of each."""
        thin = self.thin(window)
        return self._once(
            self.of_stock, ("supply", window, count), lambda: self.supply(thin, np.full(len(thin), float(count)))
        )

    def bins(self, window: tuple[float, float], least: float, most: float) -> LightnessBins:
        """All candidates at one gauge in bins of lightness, with what two that read so well add by it."""
        base = self.choices_alone(window)
        return self._once(
            self.of_party,
            ("bins", window, least, most, self.w_contrast),
            lambda: LightnessBins(self.colours, [self.ends(base, True)], least, most, self.w_contrast),
        )

    def strand_bins(self, window: tuple[float, float], least: float, most: float) -> LightnessBins:
        """The same of the pools of `mates` as strands: first what they are, then what could be in a thread that touches
        theirs."""
        ends = self.strand_ends(window)[0]
        return self._once(
            self.of_party,
            ("strand bins", window, least, most, self.w_contrast),
            lambda: LightnessBins(self.colours, [ends[:2], ends[2:]], least, most, self.w_contrast),
        )

    def mate_pairs(self, window: tuple[float, float], least: float) -> tuple[Indexes, Indexes, Floats, Floats]:
        """The pairs of `mates` that could read so well, each a thread by itself: their places among all candidates at
        one gauge, how far they belong together, and the most that they could read: four arrays (p,)."""

        def found() -> tuple[Indexes, Indexes, Floats, Floats]:
            base, mates, reads = self.choices_alone(window), self.mates(window, False), self.mate_reads(window)
            at = np.flatnonzero(reads >= least)
            pool = mates.of[base.strands[:, 0]]
            # A pool stands there with one strand, or two, or both: so it has a first place, and perhaps a second.
            order = np.argsort(pool, kind="stable")
            start = np.searchsorted(pool[order], np.arange(len(mates.pools) + 1))
            number = np.diff(start)
            several: list[tuple[Indexes, ...]] = []
            for a, b in product(range(int(number.max(initial=0))), repeat=2):
                there = at[(number[mates.first[at]] > a) & (number[mates.second[at]] > b)]
                sides = order[start[mates.first[there]] + a], order[start[mates.second[there]] + b]
                several.append((*sides, there))
            first, second, at = (np.concatenate(part) for part in zip(*several, strict=True)) if several else 3 * (at,)
            return first, second, mates.kindred[at], reads[at]

        return self._once(self.of_party, ("mate pairs", window, least), found)

    def base_potential(self, base: Choices) -> Floats:
        """`potential` of all candidates at one gauge, worked out once."""
        return self._once(self.of_party, (id(base), "potential"), lambda: self.potential(base))

    def base_together(self, base: Choices, next_to_skin: bool) -> Floats:
        """The same of `own_together`."""
        return self._once(
            self.of_party, (id(base), "together", next_to_skin), lambda: self.own_together(base, next_to_skin)
        )

    def base_kindred(self, base: Choices, others: int) -> Floats:
        """The same of `most_kindred`."""
        return self._once(self.of_party, (id(base), "kindred", others), lambda: self.most_kindred(base, others))

    def _once(self, known: dict[tuple[object, ...], Any], what: tuple[object, ...], work: Callable[[], T]) -> T:
        key = self.most_strands, *what
        if key not in known:
            known[key] = work()
        found: T = known[key]
        return found

    def use(self, need_m: Floats, pools: Indexes, count: Floats) -> Floats:
        """The part `use` of pools of which so many metres go into so many strands; arrays of like shapes."""
        wasted = self.carries[pools] & (count > 1)
        value = use_value(need_m, self.stock.free_m[pools], self.scarcity[pools])
        return np.asarray(np.where(wasted, self.ranking.doubled_use, 1.0) * value)

    @cached_property
    def _potential(self) -> Floats:
        return self.colours.potential()

    def potential(self, threads: Choices | Stock) -> Floats:
        """The most that each thread, or pool alone, could read against anything in the bin, array (m,)."""
        vanish = self.colours.rules.vanish_share
        return all_but_vanishing(self._potential[threads.part], threads.share, vanish)

    def thin_potential(self, window: tuple[float, float]) -> Floats:
        """The most that a thread of the window could read with each of the pools of `thin` as a strand: array (m,).

        A strand so thin that it could be less than the share that may vanish sets no limit.
        """

        def found() -> Floats:
            pools = self.thin(window)
            most = self._potential[self.stock.part[pools]].max(axis=1)
            return np.where(self._too_much_to_vanish(pools, window), most, 1.0)

        return self._once(self.of_party, ("thin potential", window), found)

    def _too_much_to_vanish(self, pools: Indexes, window: tuple[float, float]) -> Flags:
        """Whether a pool as a strand is more of any thread of the window than may vanish, array (k,)."""
        return np.asarray(self.stock.tex[pools] / window[1] > self.colours.rules.vanish_share + 1e-6)

    def read_against(self, window: tuple[float, float], ends: Set[tuple[float, float]]) -> Floats:
        """The most that a thread could read which has one of the pools of `ends_of_strands`, where one or several roles
        that touch its own hold nothing outside these L*, darkest and lightest: array (k,)."""

        def found() -> Floats:
            dark, bright, stays, _ = self.ends_of_strands(window)
            apart = np.min([np.maximum(most - dark, bright - least) for least, most in ends], axis=0)
            return np.where(stays, self.by_lightness(apart), 1.0)

        return self._once(self.of_party, ("against", window, frozenset(ends)), found)

    def by_lightness(self, apart: Floats) -> Floats:
        """The most that colours so far apart in L* could read, or a little more: from a table, since it never falls."""
        steps = np.arange(0.0, _WIDEST, _STEP)
        table = self._once(self.of_party, ("by lightness",), lambda: self.colours.most_by_lightness(steps))
        return table[np.minimum((apart / _STEP).astype(np.intp) + 1, len(table) - 1)]

    def own_together(self, choices: Choices, next_to_skin: bool) -> Floats:
        """What threads bring to the part `together` by themselves, array (m,)."""
        if not next_to_skin or not len(choices):
            return choices.together
        on_skin = self.stock.on_skin[self.stock.kind[choices.strands]].min(axis=1)
        return np.asarray(np.minimum(choices.together, on_skin))

    def hopes(self, one: Choices, at: int, many: Choices, places: Indexes) -> Floats:
        """The most that the thread at `at` could read against those at `places`; true where above `DECIDED`."""
        return self.colours.hopes(one.part[at], one.share[at], many.part[places], many.share[places])

    def reads(self, one: Choices, at: int, many: Choices, places: Indexes, hue_kept: float) -> Floats:
        """How the thread at `at` reads against those at `places` in such a motif, array (len(places),)."""
        return self.colours.reads(one.part[at], one.share[at], many.part[places], many.share[places], hue_kept)

    def beside(self, one: Choices, at: int, many: Choices, places: Indexes) -> Floats:
        """How the thread at `at` goes with those at `places`: factor of the score (len(places),), 0 if it does not."""
        thick = thickness_factor(many.tex[places], one.tex[at], self.rules)
        strands = many.strands[places]
        pairs = np.ones(len(places))
        for mine in set(one.strands[at].tolist()):
            for column in range(STRANDS):
                pairs = np.minimum(pairs, self.stock.beside[self.stock.kind[mine], self.stock.kind[strands[:, column]]])
        return np.asarray(thick * pairs)

    def kindred(self, one: Choices, at: int, many: Choices, places: Indexes) -> Floats:
        """How far the thread at `at` and those at `places` belong together: as the two least related of their pools."""
        strands = many.strands[places]
        least = np.minimum(one.kindred[at], many.kindred[places])
        for mine in set(one.strands[at].tolist()):
            for column in range(many.pools):
                least = np.minimum(least, self.stock.kindred.of(mine, strands[:, column]))
        return np.asarray(least)

    def most_kindred(self, choices: Choices, others: int) -> Floats:
        """The most that each thread and so many others could come to, added up: array (m,)."""
        most = self.stock.kindred.most(others)[choices.strands].min(axis=1)
        return np.asarray(np.minimum(others * choices.kindred, most))

    def apart(self, one: Choices, at: int, many: Choices, places: Indexes) -> npt.NDArray[np.bool_]:
        """Whether the thread at `at` and those at `places` have no pool in common."""
        strands = many.strands[places]
        free = np.ones(len(places), dtype=bool)
        for pool in set(one.strands[at].tolist()):
            free &= (strands != pool).all(axis=1)
        return free

    @property
    def all_mates(self) -> Mates:
        """The pairs of pools that belong together, of any thickness."""
        return self._once(
            self.of_stock, ("mates",), lambda: mates_of(np.arange(len(self.stock.tex)), self.stock.kindred)
        )

    def mates(self, window: tuple[float, float], as_strands: bool) -> Mates:
        """The pairs of pools that belong together and suit a gauge alone, or (as strands) are no thicker."""

        def some() -> Mates:
            alone = self.choices_alone(window).strands[:, 0]
            thin = self.thin(window) if as_strands else alone[:0]
            return self.all_mates.within(np.unique(np.concatenate([alone, thin])))

        return self._once(self.of_stock, ("mates", window, as_strands), some)

    def mate_reads(self, window: tuple[float, float]) -> Floats:
        """The most that each pair of mates could read, each a thread by itself: array along those of `mates`."""
        whole = self._once(
            self.of_party, ("reads",), lambda: reads_alone(self.colours, self.stock, self.all_mates, self._potential)
        )
        return self._once(self.of_party, ("reads", window), lambda: whole[self.mates(window, False).of_all])

    def strand_reads(self, window: tuple[float, float], at: Indexes) -> Floats:
        """The most that two threads could read of which one has the first of two mates as a strand, by the other's
        strand that is the second: array (p,) of some of the pairs of `mates`, each worked out when it is asked."""
        mates, (_, counts) = self.mates(window, True), self.strand_ends(window)
        known = self._once(self.of_party, ("strands",), lambda: np.full(len(self.all_mates.first), np.nan))
        of_all = mates.of_all[at]
        if len(new := of_all[np.isnan(known[of_all])]):
            first, second = (self.all_mates.pools[side[new]] for side in (self.all_mates.first, self.all_mates.second))
            known[new] = reads_as_strands(self.colours, self.stock, first, second)
        return np.where(counts[mates.first[at]], known[of_all], 1.0)

    def strand_ends(self, window: tuple[float, float]) -> tuple[Floats, Flags]:
        """Of each of the pools of `mates` as strands, see `strand_ends`; and whether the main colour is too much of any
        thread of the window to vanish: (k,)."""

        def found() -> tuple[Floats, Flags]:
            pools, stock = self.mates(window, True).pools, self.stock
            least = stock.tex[pools] / window[1] * stock.share[pools].max(axis=1)
            return strand_ends(self.colours, stock, pools), least > self.colours.rules.vanish_share + 1e-6

        return self._once(self.of_party, ("strand ends", window), found)

    def ends_of_strands(self, window: tuple[float, float]) -> tuple[Floats, Floats, Flags, Flags]:
        """The darkest and the lightest L* of each pool of `thin`, and of those that are as thick as the window allows;
        whether it is too much of any thread to vanish, and whether it could be the thickest strand of one: (k,)."""

        def found() -> tuple[Floats, Floats, Flags, Flags]:
            stock, alone = self.stock, self.choices_alone(window).strands[:, 0]
            pools = np.concatenate([self.thin(window), alone[stock.tex[alone] >= window[1]]])
            light, shown = self.colours.lightness[0][stock.part[pools]], stock.share[pools] > 0
            dark, bright = (np.where(shown, light, far) for far in (np.inf, -np.inf))
            stays = self._too_much_to_vanish(pools, window)
            return dark.min(axis=1), bright.max(axis=1), stays, stock.tex[pools] >= window[0] / STRANDS

        return self._once(self.of_party, ("darkest", window), found)

    def ends(self, choices: Choices, is_base: bool) -> Floats:
        """Of choices as for `LightnessBins`, array (2, m); of all candidates at one gauge worked out once."""
        if is_base:
            return self._once(self.of_party, (id(choices), "ends"), lambda: ends(self.colours, choices))
        return ends(self.colours, choices)

    def table(self, base: Choices, next_to_skin: bool) -> PairTable:
        """Every pair of the candidates at one gauge (at most `TABLED`), worked out once."""
        own = self.base_together(base, next_to_skin)
        return self._once(self.of_party, (id(base), "table", next_to_skin), lambda: self._every_pair(base, own))

    def _every_pair(self, base: Choices, own: Floats) -> PairTable:
        every, pool = np.arange(len(base)), base.strands[:, 0]
        hopes = self.colours.hope(base.part[:, 0, None], base.part[None, :, 0])
        for at in np.flatnonzero(~base.solid):
            hopes[at] = hopes[:, at] = self.hopes(base, int(at), base, every)
        kind = self.stock.kind[pool]
        beside = thickness_factor(base.tex[:, None], base.tex, self.rules) * self.stock.beside[kind[:, None], kind]
        beside = np.where(beside > 0, np.minimum(np.minimum(beside, own), own[:, None]), -np.inf)
        kindred = self.stock.kindred.of(pool[:, None], pool)
        return PairTable(hopes, beside, kindred, pool[:, None] != pool)
