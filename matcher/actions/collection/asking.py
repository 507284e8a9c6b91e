"""A question to a collection: for anybody of a size, as `suggest` asks it of one bin."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from matcher.actions.asked import eyes_asked
from matcher.actions.collection.gathered import Bunch, rows_of
from matcher.actions.collection.result import PooledThing
from matcher.actions.desk import Desk
from matcher.actions.ranking.teller import Teller
from matcher.actions.whom.parties import Asked, Whom, whom_for
from matcher.knitting.accessory import SMALL
from matcher.matching.collected import stock_of_collection
from matcher.matching.pools import Stock
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Scope, Wishes, scope_of
from matcher.matching.ranking.search import Outcome
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds.parts import Ask, Mapper, search_parts
from matcher.matching.rounds.search import search_stock
from matcher.materials.collection import Collection, joined
from matcher.store.catalogue.catalogue import Catalogue

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Answered:
    """What the search gave. stock : the rows in whose places it stands, all of them or those that rounds left.

    largest, made : where rounds left few, the rows with most yarn of all, and keys of what can be made; else None.
    """

    stock: Stock
    searcher: Searcher
    scope: Scope
    outcome: Outcome
    largest: Stock | None = None
    made: frozenset[str] | None = None


@dataclass(frozen=True)
class Look:
    """Reads a bunch of files as a stock. place : only what lies there, None for all of it."""

    catalogue: Catalogue
    place: str | None = None

    def __call__(self, bunch: Bunch) -> Stock:
        """Raises as reading the files does, which were read before."""
        rows = joined([rows_of(part, self.catalogue) for part in bunch])
        if self.place is not None:
            there = np.array([one == self.place for one in rows.place.values], dtype=bool)
            rows = rows.take(np.flatnonzero(there[rows.place.at]))
        return stock_of_collection(rows, self.catalogue.together, self.catalogue.families)


@dataclass(frozen=True)
class Asking:
    """What is asked. catalogue : as those see it whose eyes decide. nobody : a desk with nothing on it."""

    nobody: Desk
    catalogue: Catalogue
    who: Whom
    scope: Scope

    @classmethod
    def of(cls, nobody: Desk, wishes: Wishes, eyes: str | None) -> Asking:
        """Of wishes. Raises BadInput for eyes that are none."""
        catalogue = nobody.seen_by(eyes)
        seen = None if eyes is None else eyes_asked(eyes)
        who = whom_for(nobody, catalogue, Asked((), wishes.sizes, seen, bool(wishes.kinds)), catalogue.contrast.eyes)
        return cls(nobody, catalogue, who, scope_of(nobody.every_variant, wishes, who.parties))

    def of_top(self, top: int | None) -> Scope:
        """The scope with so many at most, in place of what was asked."""
        return self.scope if top is None else replace(self.scope, wishes=replace(self.scope.wishes, top=top))

    def answered(self, rows: Collection, top: int | None = None, progress: Progress | None = None) -> Answered:
        """The best of some rows. top : so many at most, in place of what was asked."""
        scope = self.of_top(top)
        stock = stock_of_collection(rows, self.catalogue.together, self.catalogue.families)
        searcher = searcher_of(stock, scope, self.catalogue)
        return Answered(stock, searcher, scope, search_stock(searcher, scope, progress))

    def best_few(self, rows: Collection, top: int) -> Answered:
        """The same, with small things only where there is nothing else."""
        large = {key: one for key, one in self.scope.variants.items() if not one[0].accessory.small}
        if SMALL in self.scope.wishes.kinds or not self.scope.wishes.varied or len(large) == len(self.scope.variants):
            return self.answered(rows, top)
        found = replace(self, scope=replace(self.scope, variants=large)).answered(rows, top)
        return found if found.outcome.chosen else self.answered(rows, top)

    def answered_by(
        self,
        bunches: Sequence[Bunch],
        mapper: Mapper,
        place: str | None = None,
        top: int | None = None,
        near: bool = False,
    ) -> Answered:
        """The same of files, each bunch read when it is its turn and given up again.

        place : only what lies there. near : near misses will be asked for.
        """
        scope = self.of_top(top)
        # A garment's leftovers are one member's, and so in one file, but maybe not in one group of its rows.
        whole = all(part.groups is None for bunch in bunches for part in bunch)
        largest = int(self.catalogue.ranking.near_miss_pools) if near else 0
        ask = Ask(Look(self.catalogue, place), scope, self.catalogue, whole, largest)
        found = search_parts(ask, bunches, mapper)
        beside = (found.largest, found.made) if near else (None, None)
        return Answered(found.stock, found.searcher, scope, found.outcome, *beside)

    def told(self, several: Sequence[Found], stock: Stock, first: int = 1) -> tuple[PooledThing, ...]:
        """Suggestions with whose lots they take, numbered from the first."""
        teller = Teller(self.who, (), self.scope)
        return tuple(PooledThing(teller.suggestion(first + at, one, stock)) for at, one in enumerate(several))
