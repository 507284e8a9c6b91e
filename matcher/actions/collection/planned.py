"""A set that uses most of a collection, chosen among the rows of its list and the heaviest: no metre is promised twice.

Which rows these are does not hang on how the collection is cut into parts, as what a search leaves of it does.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from itertools import islice

import numpy as np

from matcher.actions.collection.asking import Answered, Asking
from matcher.actions.collection.result import PooledSet, PooledThing
from matcher.actions.ranking.teller import Teller
from matcher.actions.sets.orders import Asking as Wanting
from matcher.actions.sets.orders import orders_of
from matcher.actions.sets.uses import uses_of
from matcher.actions.whom.parties import Whom, sizes_of_anybody
from matcher.matching.collected import MembersLot, stock_of_collection
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Party, Variants, Wishes, scope_of
from matcher.matching.ranking.score import total
from matcher.matching.sets.aims import USE_UP, aim_of
from matcher.matching.sets.planner import Planner
from matcher.matching.sets.wants import Asked, Want
from matcher.materials.collection import Collection

Sign = tuple[str, str]
"""A row: its member's code, and the first of its lots by number."""

MOST = 400
"""Rows among which a set is chosen: those of the list, then the heaviest. A choice: sets of more take minutes."""


def planned(asking: Asking, rows: Collection, time_limit: float, stop: Callable[[], bool] | None = None) -> PooledSet:
    """The set of these rows that uses most of their weight. time_limit : seconds; then the best so far is given."""
    wishes = asking.scope.wishes
    stock = stock_of_collection(rows, asking.catalogue.together, asking.catalogue.families)
    orders = orders_of(asking.nobody, asking.catalogue, Wanting((), False, (), None, USE_UP))
    eyes = next(iter(asking.scope.parties.values())).eyes
    parties = [_sized(replace(one.party, eyes=eyes), wishes, asking) for one in orders.orders]
    scope = scope_of(asking.nobody.every_variant, replace(wishes, varied=False), parties)
    searcher = searcher_of(stock, scope, asking.catalogue)
    wants = [_want(scope.variants, scope.least, party.name) for party in parties]
    ranking = asking.catalogue.ranking
    of_one = max(int(ranking.of_one_accessory), int(ranking.of_one_accessory_share * len(stock)))
    asked = Asked([None] * len(wants), of_one, [], searcher.usable_m, searcher.chance or 0.0)
    counts = aim_of(USE_UP, stock, ranking)
    plan = Planner(searcher, wants, asked, counts, time_limit, None, None, stop).plan()
    columns = sorted(plan.columns, key=lambda one: (-total(one.found.parts, ranking), one.key))
    teller = Teller(Whom(asking.catalogue, ()), (), scope)
    things = []
    for number, column in enumerate(columns, 1):
        found = replace(column.found, score=total(column.found.parts, ranking))
        things.append(PooledThing(teller.suggestion(number, found, stock)))
    # Until it is proved the bound may be one of the lengths alone, which says nothing of what was asked for alone.
    narrowed = wishes.kinds or wishes.sizes or wishes.colourwork or wishes.least_contrast or not wishes.held_together
    known = math.isfinite(plan.bound) and (plan.proved or not narrowed)
    most = min(1.0, plan.bound) if known else None
    chosen = [one.found for one in columns]
    free = {lot.name: lot.length for one in chosen for pool in one.pools for lot in stock.pools[pool].lots}
    lots = uses_of(chosen, stock, free)
    return PooledSet(tuple(things), plan.sure, min(1.0, plan.objective), most, len(stock), lots)


def _sized(party: Party, wishes: Wishes, asking: Asking) -> Party:
    """The same in the sizes that were asked for, where any were."""
    if not wishes.sizes:
        return party
    sizes = sizes_of_anybody(asking.catalogue, wishes.sizes)
    return replace(party, sizes={key: sizes[key] for key in party.sizes if key in sizes})


def in_list(answered: Answered) -> frozenset[Sign]:
    """The rows of all that stands in the list."""
    outcome, pools = answered.outcome, answered.stock.pools
    lots = [pools[at].lots[0] for one in (*outcome.chosen, *outcome.small) for at in one.pools]
    return frozenset((lot.member, lot.number) for lot in lots if isinstance(lot, MembersLot))


def heaviest(rows: Collection, always: frozenset[Sign], most: int = MOST) -> Collection:
    """So many rows at most, in their order: those of these signs, and the heaviest, which count most."""
    codes = {code: at for at, code in enumerate(rows.member.values)}
    first = rows.number.values[rows.number.start[:-1]]
    signed = [(first == number) & (rows.member.at == codes.get(code, -1)) for code, number in always]
    there = {int(at) for one in signed for at in np.flatnonzero(one)}
    by_weight = np.argsort(-rows.free_m * rows.tex, kind="stable").tolist()
    others = (at for at in by_weight if at not in there)
    return rows.take(np.array(sorted({*there, *islice(others, max(0, most - len(there)))}), dtype=np.intp))


def _want(variants: Variants, least: Mapping[str, float], party: str) -> Want:
    mine = {key: tuple(one for one in several if one.party == party) for key, several in variants.items()}
    return Want({key: several for key, several in mine.items() if several}, least)
