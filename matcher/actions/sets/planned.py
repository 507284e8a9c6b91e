"""A plan as she gets it: each thing a suggestion for somebody, what each lot gives, and what of her wants can't be."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from matcher.actions.desk import Desk
from matcher.actions.ranking.last_list import recipe_of_suggestion
from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.ranking.teller import Teller
from matcher.actions.sets.orders import Order, Orders
from matcher.actions.sets.result import PlannedSet
from matcher.actions.sets.told import in_motif
from matcher.actions.sets.uses import uses_of
from matcher.actions.thickness import thickness_warnings
from matcher.actions.whom.parties import Whom
from matcher.matching.pools import Stock
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.score import total
from matcher.matching.sets.column import Column
from matcher.matching.sets.planner import Plan


@dataclass(frozen=True)
class Planned:
    """Turns plans into sets. of_fits : of things that were tried, not searched for."""

    desk: Desk
    orders: Orders
    scope: Scope
    stock: Stock
    of_fits: bool = False

    def of(self, plan: Plan) -> PlannedSet:
        """A set with all that is said about it: its things in the order of the wants, the best of each first."""
        columns = sorted(plan.columns, key=lambda one: (one.want, -self._score(one.found), one.key))
        places = Counter[int]()
        things: list[Suggestion] = []
        for number, column in enumerate(columns, 1):
            order = self.orders.orders[column.want]
            things.append(self._thing(number, column, order, places[column.want]))
            places[column.want] += 1
        lots = uses_of([one.found for one in columns], self.stock, self.desk.shelf.free)
        recipes = tuple(recipe_of_suggestion(one, self.desk, self.orders.catalogue.sizes) for one in things)
        return PlannedSet(
            tuple(things), lots, plan.sure, plan.objective, plan.bound, plan.proved, recipes, self.of_fits
        )

    def _score(self, found: Found) -> float:
        return total(found.parts, self.orders.catalogue.ranking)

    def _thing(self, number: int, column: Column, order: Order, place: int) -> Suggestion:
        """The suggestion by itself; where things are for somebody each, for the one of its place."""
        people = order.people if order.number is None else order.people[place : place + 1]
        who = Whom(self.orders.catalogue, (), people)
        found = replace(column.found, score=self._score(column.found))
        told = self._in_motif(Teller(who, self.desk.shelf.groups, self.scope).suggestion(number, found, self.stock))
        names = tuple(one.one.name for one in people)
        return told if order.number is None or not people else replace(told, people=names)

    def _in_motif(self, one: Suggestion) -> Suggestion:
        """With what is said of a motif that was put in: how it comes out, and yarns that are not usual at its gauge."""
        variant = one.found.variant
        if variant.put_in is None:
            return one
        pools = [self.stock.pools[pool] for thread in one.found.threads for pool, _ in thread]
        yarns = [(pool.name, pool.yarn.tex.mean) for pool in pools]
        thick = thickness_warnings(yarns, variant.gauge, self.orders.catalogue.fabric)
        reasons = (*in_motif(variant.put_in), *one.reasons)
        return replace(one, reasons=reasons, warnings=tuple(dict.fromkeys((*one.warnings, *thick))))
