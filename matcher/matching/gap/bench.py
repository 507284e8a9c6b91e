"""The bin with yarns beside it that could be bought, of which any one may be used: the search itself tells what opens.

Every offer is laid beside the lots as if she had it, and no two offers may meet. So whatever the search finds of a
thing that can't be made from the bin holds exactly one of them, and is what she would find after that purchase.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Protocol

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import Gauge, tex_range
from matcher.matching.gap.offers import Offer
from matcher.matching.pools import Pool, pools_of, stock_of
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import Choices, threads_of
from matcher.matching.ranking.evaluate import evaluate
from matcher.matching.ranking.found import Found, Strands
from matcher.matching.ranking.ready import Rules as RankingRules
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Party, Scope, Variants, Wishes, scope_of
from matcher.matching.ranking.search import search
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant
from matcher.materials.fibre import FibreToBuy
from matcher.materials.lots import Lot
from matcher.materials.rules import PurchaseRules, TogetherRules
from matcher.materials.yarn import MeasuringRules, WeightClass

Flags = npt.NDArray[np.bool_]


class Rules(RankingRules, Protocol):
    """What the catalogue says of yarn that could be bought."""

    @property
    def purchase(self) -> PurchaseRules: ...
    @property
    def measuring(self) -> MeasuringRules: ...
    @property
    def classes(self) -> tuple[WeightClass, ...]: ...
    @property
    def fibres_to_buy(self) -> tuple[FibreToBuy, ...]: ...


WithTogether = Callable[[TogetherRules], Rules]


@dataclass(frozen=True)
class Ground:
    """What a purchase is added to.

    pools : of the bin. whole : every variant, by key; wanted : keys of the things that can't be made. parties : whom it
    is for, once these lots are there. rules_with : the catalogue with other rules of what goes together.
    """

    pools: tuple[Pool, ...]
    whole: Variants
    wanted: tuple[str, ...]
    wishes: Wishes
    parties: Callable[[Sequence[Lot]], Sequence[Party]]
    rules: Rules
    rules_with: WithTogether
    called: str = "new yarn"
    scopes: dict[tuple[str, ...], Scope] = field(default_factory=dict)

    @cached_property
    def beside(self) -> tuple[Pool, ...]:
        """The pools that are laid beside new yarn: all with something free, in a large bin those with most, as for near
        misses: a lot of few metres seldom decides, and it takes long to rule all of them out."""
        usable = [pool for pool in self.pools if pool.free.mean > 0]
        most = sorted(usable, key=lambda pool: (-pool.free.mean, pool.name))[: int(self.rules.ranking.near_miss_pools)]
        names = {pool.name for pool in most}
        return tuple(pool for pool in usable if pool.name in names)

    @property
    def lots(self) -> int:
        """How many yarns of hers are laid beside new yarn."""
        return len(self.beside)

    @property
    def marls(self) -> bool:
        """Whether new yarn is tried held together with other lots: where she allows it, and they are few enough."""
        return self.wishes.held_together and self.lots <= self.rules.purchase.held_lots

    @cached_property
    def missing(self) -> Variants:
        """Variants of what can't be made."""
        return {key: self.whole[key] for key in self.wanted}

    def bench(self, offers: Sequence[Offer]) -> Bench:
        """The bin with these offers beside it."""
        return Bench(self, tuple(offers))


@dataclass
class Bench:
    """A bin with offers beside it. `witness` are assignments with an offer that were found, by key of the thing."""

    ground: Ground
    offers: tuple[Offer, ...]
    witness: dict[str, list[Found]] = field(default_factory=dict)
    _suited: dict[tuple[Gauge, bool], bool] = field(default_factory=dict)

    @cached_property
    def lots(self) -> tuple[Lot, ...]:
        """The offers as lots, each with a name of its own."""
        called, number = self.ground.called, len(self.offers)
        names = [called] if number == 1 else [f"{called}, {place}" for place in range(number)]
        measuring = self.ground.rules.measuring
        return tuple(offer.lot(name, measuring) for offer, name in zip(self.offers, names, strict=True))

    @cached_property
    def pools(self) -> tuple[Pool, ...]:
        """Those of the bin, then the offers."""
        free = {lot.name: lot.length for lot in self.lots}
        new = [pools_of([lot], free, self.ground.rules.measuring.tail_m)[0] for lot in self.lots]
        return (*self.ground.beside, *new)

    @property
    def own(self) -> int:
        """How many pools are of the bin; the offers come after them."""
        return len(self.pools) - len(self.offers)

    @cached_property
    def rules(self) -> Rules:
        """The catalogue, with no two offers beside each other."""
        names = frozenset(lot.name for lot in self.lots)
        together = self.ground.rules.together
        return self.ground.rules_with(replace(together, never_meet=(*together.never_meet, (names, names))))

    @cached_property
    def scope(self) -> Scope:
        """Of what can't be made, that which is for those she knits for."""
        parties = {party.name: party for party in self.ground.parties(self.lots)}
        # Whose variants there are hangs on who is alike, and seldom on the offers.
        known, alike = self.ground.scopes, tuple(parties)
        if alike not in known:
            known[alike] = scope_of(self.ground.missing, self.ground.wishes, tuple(parties.values()))
        return replace(known[alike], parties=parties)

    @cached_property
    def searcher(self) -> Searcher:
        return searcher_of(stock_of(self.pools, self.rules.together), self.scope, self.rules)

    def opens(self, key: str, marls: bool = False) -> Flags:
        """Which offers make a thing possible: array (offers,).

        Each by itself or held double; with `marls` held together with other lots too, where she allows it. What one
        search finds with one offer is tried with all the others at once, so that few searches tell of all of them.
        """
        left = ~self.known(key)
        while left.any() and (found := self.any_opens(key, left, marls)) is not None:
            holds = self._holds(found)
            holds[max(found.pools) - self.own] = True  # whatever the last place of a figure says
            left &= ~holds
        return ~left

    def known(self, key: str) -> Flags:
        """Which offers do in a way that was found already: array (offers,)."""
        known = np.zeros(len(self.offers), dtype=bool)
        for one in self.witness.get(key, ()):
            known |= self._holds(one)
        return known

    def any_opens(self, key: str, among: Flags | None = None, marls: bool = False) -> Found | None:
        """A way to make a thing with one of these offers; None where there is none."""
        places = np.arange(self.own, len(self.pools))
        barred = np.zeros(len(self.pools), dtype=bool)
        if among is not None:
            barred[self.own :] = ~among
            places = places[among]
        for searcher, several in self._by_party(key, marls):
            with_these = replace(
                searcher,
                barred=barred if searcher.barred is None else searcher.barred | barred,
                barred_on_skin=barred if searcher.barred_on_skin is None else searcher.barred_on_skin | barred,
                # It can't be made without one: so it is sought with one, which takes far less time.
                wanted=frozenset(places.tolist()) if searcher.wanted is None else searcher.wanted,
            )
            if found := search(with_these, several, self.scope.least[key], any_will_do=True, marls=marls):
                self.witness.setdefault(key, []).append(found[0])
                return found[0]
        return None

    def suffices(self, found: Found) -> bool:
        """Whether an assignment that does with another amount of the one offer is as sure as asked with this one."""
        searcher = self.searcher.of(found.variant.party)
        block = Block(searcher, [found.variant], self.scope.least[found.variant.accessory.key])
        return evaluate(block, 0, self._threads(found.threads)).sure >= (searcher.chance or 0.0)

    def _by_party(self, key: str, marls: bool) -> Iterator[tuple[Searcher, list[Variant]]]:
        """The variants that an offer is of a thickness for, for each of those she knits for."""
        parties: dict[str, list[Variant]] = {}
        for variant in self.scope.variants.get(key, ()):
            if self._suits(variant.gauge, marls):
                parties.setdefault(variant.party, []).append(variant)
        return ((self.searcher.of(party), several) for party, several in parties.items())

    def _suits(self, gauge: Gauge, marls: bool) -> bool:
        """Whether an offer is of a thickness for a gauge: in some strands of it, or as one of several."""
        if (gauge, marls) not in self._suited:
            low, high = tex_range(gauge, self.ground.rules.fabric)
            tex = {offer.tex for offer in self.offers}
            strands = range(1, self.searcher.most_strands + 1)
            fits = any(low <= one * count <= high for one in tex for count in strands)
            self._suited[gauge, marls] = fits or (marls and min(tex) <= high)
        return self._suited[gauge, marls]

    def _holds(self, found: Found) -> Flags:
        """With which offers an assignment would do as well in the place of the one it holds: array (offers,).

        Only colours may differ: all offers are of one kind and thickness, in the same balls.
        """
        searcher, variant = self.searcher.of(found.variant.party), found.variant
        role, thread = next((place, thread) for place, thread in enumerate(found.threads) if thread[-1][0] >= self.own)
        places = np.arange(self.own, len(self.pools))
        holds = searcher.able(places, variant.accessory.next_to_skin)
        if searcher.wanted is not None and not any(pool in searcher.wanted for pool in found.pools if pool < self.own):
            holds = holds & np.isin(places, list(searcher.wanted))
        kept = searcher.kept.of(variant.accessory, variant.gauge)
        many = self._threads([(*thread[:-1], (int(place), thread[-1][1])) for place in places])
        for a, b in variant.edges:
            if role in (a, b):
                other = self._threads([found.threads[b if role == a else a]])
                names = frozenset((variant.filled[a].role, variant.filled[b].role))
                reads = searcher.reads(other, np.array([0]), many, np.arange(len(places)), kept[names])
                holds = holds & (reads >= self.scope.least[variant.accessory.key])
        return np.asarray(holds)

    def _threads(self, several: Sequence[Strands]) -> Choices:
        return threads_of(self.searcher.stock, several, self.rules.together)
