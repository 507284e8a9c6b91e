"""What does without buying for a want that a set can't hold: another size or fewer colours, of what the set leaves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from matcher.actions.desk import Desk
from matcher.actions.ranking.gaps import Without
from matcher.actions.ranking.teller import Teller
from matcher.actions.sets.orders import Order
from matcher.actions.sets.result import Sets
from matcher.actions.whom.parties import Whom
from matcher.matching.gap.without import Way, ways_without
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.sets.chance import chance_of_set
from matcher.matching.sets.column import Takes, takes_of
from matcher.store.catalogue.catalogue import Catalogue

_SHOWN = 3  # a choice: ways for each want


@dataclass(frozen=True)
class Leftovers:
    """The set as it was planned from a desk, and the desk once its things have taken theirs."""

    planned: Sets
    desk: Desk
    rest: Desk
    catalogue: Catalogue

    def without(self, order: Order, who: Whom) -> Iterator[Without]:
        """The best ways to make a thing of a want; each is as sure together with the set as the set was asked to be."""
        scope = scope_of(self.rest.every_variant, Wishes(sure=self.planned.sure_at_least), [order.party])
        stock = stock_of(self.rest.shelf.pools, self.catalogue.together)
        # What strands held together could make in the size asked for, the set would have.
        searcher = replace(searcher_of(stock, scope, self.catalogue), most_strands=1)
        ways = [way for key in scope.variants for way in ways_without(key, searcher, scope) if self._lasts(way, stock)]
        teller = Teller(who, self.rest.shelf.groups, scope)
        for number, way in enumerate(sorted(ways, key=lambda one: -one.found.score)[:_SHOWN], 1):
            yield Without(way.how, teller.suggestion(number, way.found, stock))

    def _lasts(self, way: Way, stock: Stock) -> bool:
        whole = stock_of(self.desk.shelf.pools, self.catalogue.together)
        place = {lot.name: at for at, pool in enumerate(whole.pools) for lot in pool.lots}
        things = [
            _takes(one.found, [place[strand.lots[0]] for role in one.roles for strand in role.held])
            for one in self.planned.best
        ]
        pools = [pool for thread in way.found.threads for pool, _ in thread]
        new = _takes(way.found, [place[stock.pools[pool].lots[0].name] for pool in pools])
        return chance_of_set(whole, [*things, new]) >= self.planned.sure_at_least


def _takes(found: Found, places: list[int]) -> Takes:
    """What a thing takes of the pools at these places, strand by strand."""
    return replace(takes_of(found), pool=np.array(places, dtype=np.intp))
