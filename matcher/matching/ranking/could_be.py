"""Whether anything can be made with a pool: settled by what was found already, by arrays, and else by a search."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import tex_range
from matcher.matching.ranking.among import among, few_of_each, found_in
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import threads_of
from matcher.matching.ranking.evaluate import evaluate
from matcher.matching.ranking.found import Field, Found
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import search_all
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant
from matcher.materials.uncertain import margin, tension_grid

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# Of so many strands with most yarn it is looked first which would go beside one. It changes how long it takes, never
# what is said.
_SOME = 400
# So many assignments at most are tried with a pool put into them, and so many strands beside it, before more is looked
# at. It changes how long it takes, never what is said.
_TRIED = 12


@dataclass(frozen=True)
class _OneColour:
    """A thing of one colour, to be held of two pools. low, high : tex of the whole. shares : strands of the one and the
    other. enough : by strands, which pools have them (n,); able : the places of these, those with most yarn first."""

    low: float
    high: float
    shares: list[tuple[int, int]]
    enough: Mapping[int, Flags]
    able: Mapping[int, Indexes]


@dataclass(frozen=True)
class _Seats:
    """The k strands of `known` assignments, each of which another pool could take the place of.

    whose : the assignment, the role and the pool. others_tex, strands, need_m, variance : arrays (k,), tex of the other
    strands of the thread, how many of this one, the length that they need [m], the square of its spread. low, high :
    (k,), tex of the whole.
    """

    known: int
    whose: list[tuple[Found, int, int]]
    others_tex: Floats
    strands: Floats
    need_m: Floats
    variance: Floats
    low: Floats
    high: Floats


def _seats(known: Sequence[Found], searcher: Searcher) -> _Seats:
    whose, rows = [], []
    for one in known:
        variant, window = one.variant, tex_range(one.variant.gauge, searcher.constants)
        for role, thread in enumerate(one.threads):
            whole = sum(n * searcher.stock.tex[pool] for pool, n in thread)
            variance = variant.own_sd[role] ** 2 + variant.shared_sd[role] ** 2
            for pool, n in thread:
                whose.append((one, role, pool))
                others_tex = whole - n * searcher.stock.tex[pool]
                rows.append((others_tex, float(n), n * variant.length_m[role], variance, *window))
    return _Seats(len(known), whose, *np.array(rows, dtype=float).reshape(-1, 6).T)


class CouldBe:
    """The questions of one bin and scope. found : assignments that are known to be possible. of_one_colour : things of
    one role, of which two strands are tried."""

    def __init__(
        self, searcher: Searcher, scope: Scope, found: Sequence[Found], of_one_colour: Sequence[Variant]
    ) -> None:
        self.searcher, self.scope, self.of_one_colour = searcher, scope, of_one_colour
        self._known = list(found)
        self._of_known: _Seats | None = None
        self._looked = 0
        self._of_one_colour: dict[int, _OneColour] = {}
        self._blocks: dict[int, Block] = {}

    def two_held_together(self, at: int) -> bool:
        """Whether some thing of one colour can be made of this pool and one other held together."""
        return any(self._two(self.of_one_colour[one], at) for one in np.flatnonzero(self._perhaps_two[at]).tolist())

    @cached_property
    def _perhaps_two(self) -> Flags:
        """Whether each pool has enough for each thing of one colour, and some other that has enough too would go with
        it by its thickness alone: array (n, things)."""
        # From thin to thick, so that what is looked for in a row lies in a row.
        order = np.argsort(self.searcher.stock.tex)
        tex, found = self.searcher.stock.tex[order], np.zeros((len(self.of_one_colour), len(order)), dtype=bool)
        for perhaps, variant in zip(found, self.of_one_colour, strict=True):
            one = self._one_colour(variant)
            enough = {strands: some[order] for strands, some in one.enough.items()}
            for mine, theirs in one.shares:
                suits = tex[enough[theirs]]
                low, high = ((end - mine * tex) / theirs for end in (one.low * (1.0 - 1e-9), one.high * (1.0 + 1e-9)))
                perhaps |= enough[mine] & (np.searchsorted(suits, high, "right") > np.searchsorted(suits, low))
        perhaps_two = np.empty(found.T.shape, dtype=bool)
        perhaps_two[order] = found.T
        return perhaps_two

    @cached_property
    def _most_first(self) -> Indexes:
        """All pools, those of which most is there first."""
        return np.argsort(-self.searcher.stock.free_m, kind="stable")

    def _one_colour(self, variant: Variant) -> _OneColour:
        if id(variant) not in self._of_one_colour:
            searcher, stock = self.searcher, self.searcher.stock
            every = np.arange(len(stock))
            able = searcher.of(variant.party).able(every, variant.accessory.next_to_skin)
            enough = {strands: able & suffices(searcher, variant, 0, every, strands) for strands in (1, 2)}
            shares = [one for one in ((1, 1), (2, 1), (1, 2)) if sum(one) <= searcher.most_strands]
            window = tex_range(variant.gauge, searcher.constants)
            # Those of which most is there first: nearly always one of them will do.
            first = {strands: self._most_first[some[self._most_first]] for strands, some in enough.items()}
            self._of_one_colour[id(variant)] = _OneColour(*window, shares, enough, first)
        return self._of_one_colour[id(variant)]

    def _two(self, variant: Variant, at: int) -> bool:
        stock, one = self.searcher.stock, self._one_colour(variant)
        # Where one of the two is not sure enough by itself, both are not.
        for mine, theirs in one.shares:
            if not one.enough[mine][at]:
                continue
            able = one.able[theirs]
            for others in (able[:_SOME], able[_SOME:]):
                thick = mine * stock.tex[at] + theirs * stock.tex[others]
                others = others[(thick >= one.low) & (thick <= one.high)]
                others = others[(stock.beside[stock.kind[at], stock.kind[others]] > 0) & (others != at)]
                for some in (others[:_TRIED], others[_TRIED:]):
                    if len(some) and self._suffice(variant, (at, mine), (some, theirs)):
                        return True
        return False

    def _suffice(self, variant: Variant, one: tuple[int, int], others: tuple[Indexes, int]) -> bool:
        """Whether a pool and some of the others, with so many strands each, are together as sure as asked."""
        stock = self.searcher.stock
        pools = np.concatenate([[one[0]], others[0]])
        count = np.concatenate([[one[1]], np.full(len(others[0]), others[1])]).astype(float)
        chance = stock.chances(pools, count * variant.length_m[0], variant.shared_sd[0], variant.own_sd[0])
        whole = (chance[1:] * chance[0]) @ tension_grid()[1]
        return bool((whole >= (self.searcher.chance or 0.0)).any())

    def used(self, at: int) -> bool:
        """Whether any accessory in scope can be made with this pool in it; also where there are too many ways to try
        them all, so that of none that could is it said that it can't."""
        if any(at in one.pools for one in self._known) or any(self._possible(one) for one in self._with_put_in(at)):
            return True
        if len(self._company) and self._made_among(np.union1d(self._company, [at]), at):
            return True
        return self._made_among(np.arange(len(self.searcher.stock)), at)

    def _made_among(self, pools: Indexes, at: int) -> bool:
        """Whether anything can be made of some pools (rising) with one of them in it."""
        # Where she asked for other lots, this one need not stand with them.
        few = len(pools) < len(self.searcher.stock)
        searcher = among(self.searcher, pools) if few else self.searcher
        wanted = frozenset([int(np.searchsorted(pools, at))])
        forced = replace(searcher, wanted=wanted)
        could = self._could_take(at)
        # Entries of one role first: they are quick and settle most.
        for key in sorted(self.scope.variants, key=lambda key: (len(self.scope.variants[key][0].filled), key)):
            possible = [variant for place, variant in self._by_key[key] if could[place]]
            if not possible:
                continue
            field = Field(looked=self._looked)  # for all pools together as much is looked at as for a list
            told = search_all(forced, {key: possible}, {key: self.scope.least[key]}, field, any_will_do=True)
            self._looked = field.looked
            self._known = [*(found_in(pools, one) for one in told.chosen), *self._known]
            # Among a few of the pools too many ways say nothing of the whole.
            if told.chosen or (told.cut_short and not few):
                return True
        return False

    @cached_property
    def _company(self) -> Indexes:
        """A few of every kind; none of a small stock."""
        return few_of_each(self.searcher)

    def _with_put_in(self, at: int) -> list[Found]:
        """A few of those that are known with this pool in the place of one of theirs, where it suits the gauge and has
        enough."""
        stock, seats, several = self.searcher.stock, self._seats, []
        thick = seats.others_tex + seats.strands * stock.tex[at]
        spread = np.sqrt(stock.log_sd[at] ** 2 + seats.variance)
        could = (thick >= seats.low) & (thick <= seats.high)
        could &= margin(stock.free_m[at], seats.need_m) >= self.searcher.least_z * spread - 1e-9
        for one, role, pool in (seats.whose[seat] for seat in np.flatnonzero(could)[:_TRIED].tolist()):
            strands = tuple(sorted((at if other == pool else other, n) for other, n in one.threads[role]))
            several.append(replace(one, threads=(*one.threads[:role], strands, *one.threads[role + 1 :])))
        return several

    @property
    def _seats(self) -> _Seats:
        """All strands of what is known."""
        if self._of_known is None or len(self._known) != self._of_known.known:
            self._of_known = _seats(self._known, self.searcher)
        return self._of_known

    def _possible(self, changed: Found) -> bool:
        """Whether threads put together anew from those of a known assignment can make its thing."""
        block = self._block(changed.variant)
        searcher = block.searcher
        if not searcher.able(np.array(sorted(changed.pools)), block.next_to_skin).all():
            return False
        found = evaluate(block, 0, threads_of(searcher.stock, changed.threads, searcher.rules))
        reads = not block.edges or found.parts["contrast"] >= block.least
        return reads and found.parts["together"] > 0 and found.sure >= (searcher.chance or 0.0)

    def _block(self, variant: Variant) -> Block:
        if id(variant) not in self._blocks:
            least = self.scope.least[variant.accessory.key]
            self._blocks[id(variant)] = Block(self.searcher.of(variant.party), [variant], least)
        return self._blocks[id(variant)]

    @cached_property
    def _by_key(self) -> dict[str, list[tuple[int, Variant]]]:
        """All variants of each accessory, with a place for each."""
        places = iter(range(sum(map(len, self.scope.variants.values()))))
        return {key: [(next(places), one) for one in several] for key, several in self.scope.variants.items()}

    @cached_property
    def _needs(self) -> tuple[Floats, Floats, Floats, Indexes]:
        """Of every role of every variant: its length, the square of its spread, the thickest thread, whose it is."""
        several = [one for each in self._by_key.values() for _, one in each]
        roles = [len(one.filled) for one in several]
        spread = [one.own_sd**2 + one.shared_sd**2 for one in several]
        thickest = np.array([tex_range(one.gauge, self.searcher.constants)[1] for one in several])
        of = np.repeat(np.arange(len(several)), roles)
        return np.concatenate([one.length_m for one in several]), np.concatenate(spread), thickest[of], of

    def _could_take(self, at: int) -> Flags:
        """For which variants a pool is thin enough, and has enough, for a strand of some role: by their places."""
        length, spread, thickest, of = self._needs
        stock = self.searcher.stock
        spare = margin(stock.free_m[at], length)
        enough = spare >= self.searcher.least_z * np.sqrt(stock.log_sd[at] ** 2 + spread) - 1e-9
        could = np.zeros(int(of[-1]) + 1 if len(of) else 0, dtype=bool)
        could[of[enough & (stock.tex[at] <= thickest)]] = True
        return could


def suffices(searcher: Searcher, variant: Variant, role: int, pools: Indexes, strands: int = 1) -> Flags:
    """Whether pools have enough for so many strands of a role's thread with the chance asked, other strands apart."""
    stock = searcher.stock
    spread = np.sqrt(stock.log_sd[pools] ** 2 + variant.own_sd[role] ** 2 + variant.shared_sd[role] ** 2)
    spare = margin(stock.free_m[pools], strands * variant.length_m[role])
    return np.asarray(spare >= searcher.least_z * spread - 1e-9)
