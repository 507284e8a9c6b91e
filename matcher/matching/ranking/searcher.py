"""What all searches of one bin share: its pools, how they read and go together, and what is asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants
from matcher.matching.colour_table import ColourTable
from matcher.matching.contrast import all_but_vanishing
from matcher.matching.distinct import both
from matcher.matching.kept import KeptHues
from matcher.matching.pools import Stock
from matcher.matching.ranking.bins import ends
from matcher.matching.ranking.choices import STRANDS, Choices, alone
from matcher.matching.ranking.mates import Mates, mates_of
from matcher.matching.ranking.mates_read import reads_alone
from matcher.matching.ranking.pair_table import PairTable, every_pair
from matcher.matching.ranking.pool_table import PoolTable, every_pool
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
# The same of all pools, where they are held together.
_FEW_POOLS = 600


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
                of_party=self.once(self.of_stock, ("of party", party), dict),  # it stays from search to search
            )
        return self._of[party]

    @cached_property
    def wanted_meet(self) -> bool:
        """Whether some two of the wanted pools could be in one thing."""
        kind = self.stock.kind[sorted(self.wanted or ())]
        able = self.stock.beside[kind[:, None], kind] > 0
        return bool(able[np.triu_indices(len(kind), 1)].any())

    @cached_property
    def is_wanted(self) -> Flags:
        """Which pools are wanted: array (n,)."""
        return np.isin(np.arange(len(self.stock.tex)), list(self.wanted or ()))

    @cached_property
    def kindred_to_wanted(self) -> Floats:
        """How far each pool belongs to any that is wanted, at most: array (n,)."""
        return self.stock.kindred.most_to(np.array(sorted(self.wanted or ()), dtype=np.intp))

    def able(self, pools: Indexes, next_to_skin: bool) -> Flags:
        """Which of the pools may be used at all, array of their shape."""
        barred = self.barred_on_skin if next_to_skin else self.barred
        return np.ones(pools.shape, dtype=bool) if barred is None else ~barred[pools]

    def choices_alone(self, window: tuple[float, float]) -> Choices:
        """Pools whose tex is in the window by themselves, however many strands of each."""
        return self.once(
            self.of_stock, ("alone", window), lambda: alone(self.stock, *window, self.most_strands, self.rules)
        )

    def thin(self, window: tuple[float, float]) -> Indexes:
        """Pools that are thin enough to be one strand of several in a thread of the window."""
        return self.once(self.of_stock, ("thin", window), lambda: np.flatnonzero(self.stock.tex < window[1]))

    def supply(self, pools: Indexes, count: Floats) -> Supply:
        """Pools (m,) with so many strands each (m,) of a thread."""
        stock, free_m = self.stock, self.stock.free_m[pools]
        return Supply(free_m, stock.log_sd[pools], self.usable_m[pools], self.use(free_m, pools, count), count)

    def base_potential(self, base: Choices) -> Floats:
        """`potential` of all candidates at one gauge, worked out once."""
        return self.once(self.of_party, (id(base), "potential"), lambda: self.potential(base))

    def base_together(self, base: Choices, next_to_skin: bool) -> Floats:
        """The same of `own_together`."""
        return self.once(
            self.of_party, (id(base), "together", next_to_skin), lambda: self.own_together(base, next_to_skin)
        )

    def base_kindred(self, base: Choices, others: int) -> Floats:
        """The same of `most_kindred`."""
        return self.once(self.of_party, (id(base), "kindred", others), lambda: self.most_kindred(base, others))

    def once(self, known: dict[tuple[object, ...], Any], what: tuple[object, ...], work: Callable[[], T]) -> T:
        """What was worked out already, or is now; known : `of_stock` or `of_party`."""
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
    def colour_potential(self) -> Floats:
        """The most that each colour could read against any: array (p,)."""
        return self.colours.potential()

    def potential(self, threads: Choices | Stock) -> Floats:
        """The most that each thread, or pool alone, could read against anything in the bin, array (m,)."""
        vanish = self.colours.rules.vanish_share
        return all_but_vanishing(self.colour_potential[threads.part], threads.share, vanish)

    def own_together(self, choices: Choices, next_to_skin: bool) -> Floats:
        """What threads bring to the part `together` by themselves, array (m,)."""
        if not next_to_skin or not len(choices):
            return choices.together
        on_skin = self.stock.on_skin[self.stock.kind[choices.strands]].min(axis=1)
        return np.asarray(np.minimum(choices.together, on_skin))

    def hopes(self, one: Choices, at: Indexes, many: Choices, places: Indexes) -> Floats:
        """The most that threads could read, each at `at` against that at `places`; true where above `DECIDED`.

        Here and below: `at` and `places` are arrays (m,) of one length, or the one has a single place for all; so is
        what is returned.
        """
        return self.colours.hopes(one.part[at], one.share[at], many.part[places], many.share[places])

    def reads(self, one: Choices, at: Indexes, many: Choices, places: Indexes, hue_kept: float) -> Floats:
        """How threads read, each at `at` against that at `places` in such a motif."""
        return self.colours.reads(one.part[at], one.share[at], many.part[places], many.share[places], hue_kept)

    def beside(self, one: Choices, at: Indexes, many: Choices, places: Indexes) -> Floats:
        """How threads go together, each at `at` with that at `places`: factor of the score, 0 if they do not."""
        kind, least = self.stock.kind, np.ones(1)
        for mine, theirs in _strand_by_strand(one, at, many, places):
            least = np.minimum(least, self.stock.beside[kind[mine], kind[theirs]])
        return np.asarray(thickness_factor(many.tex[places], one.tex[at], self.rules) * least)

    def kindred(self, one: Choices, at: Indexes, many: Choices, places: Indexes) -> Floats:
        """How far threads belong together, each at `at` and that at `places`: as the two least related pools."""
        least = np.minimum(one.kindred[at], many.kindred[places])
        for mine, theirs in _strand_by_strand(one, at, many, places):
            least = np.minimum(least, self.stock.kindred.of(mine, theirs))
        return np.asarray(least)

    def apart(self, one: Choices, at: Indexes, many: Choices, places: Indexes) -> Flags:
        """Whether threads have no pool in common, each at `at` and that at `places`."""
        free = np.ones(np.broadcast_shapes(at.shape, places.shape), dtype=bool)
        for mine, theirs in _strand_by_strand(one, at, many, places):
            free &= mine != theirs
        return free

    def most_kindred(self, choices: Choices, others: int) -> Floats:
        """The most that each thread and so many others could come to, added up: array (m,)."""
        most = self.stock.kindred.most(others)[choices.strands].min(axis=1)
        return np.asarray(np.minimum(others * choices.kindred, most))

    @property
    def all_mates(self) -> Mates:
        """The pairs of pools that belong together, of any thickness."""
        return self.once(
            self.of_stock, ("mates",), lambda: mates_of(np.arange(len(self.stock.tex)), self.stock.kindred)
        )

    def mates(self, window: tuple[float, float], as_strands: bool) -> Mates:
        """The pairs of pools that belong together and suit a gauge alone, or (as strands) are no thicker."""

        def some() -> Mates:
            alone = self.choices_alone(window).strands[:, 0]
            thin = self.thin(window) if as_strands else alone[:0]
            return self.all_mates.within(both(alone, thin))

        return self.once(self.of_stock, ("mates", window, as_strands), some)

    def mate_reads(self, window: tuple[float, float]) -> Floats:
        """The most that each pair of mates could read, each a thread by itself: array along those of `mates`."""
        whole = self.once(
            self.of_party,
            ("reads",),
            lambda: reads_alone(self.colours, self.stock, self.all_mates, self.colour_potential),
        )
        return self.once(self.of_party, ("reads", window), lambda: whole[self.mates(window, False).of_all])

    def ends(self, choices: Choices, is_base: bool) -> Floats:
        """Of choices as for `LightnessBins`, array (2, m); of all candidates at one gauge worked out once."""
        if is_base:
            return self.once(self.of_party, (id(choices), "ends"), lambda: ends(self.colours, choices))
        return ends(self.colours, choices)

    def table(self, base: Choices, next_to_skin: bool) -> PairTable:
        """Every pair of the candidates at one gauge (at most `TABLED`), worked out once."""
        own = self.base_together(base, next_to_skin)
        return self.once(
            self.of_party,
            (id(base), "table", next_to_skin),
            lambda: every_pair(self.stock, self.colours, self.rules, base, own),
        )

    @property
    def pool_table(self) -> PoolTable | None:
        """Every pair of pools, where these are few, worked out once."""
        if len(self.stock) > _FEW_POOLS:
            return None
        return self.once(self.of_stock, ("pools",), lambda: every_pool(self.stock))


def _strand_by_strand(one: Choices, at: Indexes, many: Choices, places: Indexes) -> Iterator[tuple[Indexes, Indexes]]:
    """The pools of threads, one strand of each: all that meet."""
    for mine in range(one.pools):
        for theirs in range(many.pools):
            yield one.strands[at, mine], many.strands[places, theirs]
