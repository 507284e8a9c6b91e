"""What of her wants a set can't hold, why, and what is nearest to it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matcher.actions.sets.matched_columns import Matched
from matcher.actions.sets.orders import Order
from matcher.actions.sets.result import NotPossible
from matcher.actions.sets.told import chance_beside
from matcher.matching.ranking.score import total
from matcher.matching.sets.column import Column
from matcher.matching.sets.planner import Plan, Planner
from matcher.matching.sets.selection import Selection
from matcher.reasons.quantities import Chance
from matcher.reasons.reason import Action, Field, Term, Words, counted, reason


@dataclass(frozen=True)
class NotThere:
    """musts : names of lots that must be used, and their pools. matched : what was tried to match a sweater."""

    plan: Plan
    planner: Planner
    orders: Sequence[Order]
    musts: Sequence[tuple[str, frozenset[int]]]
    matched: Matched | None

    def __iter__(self) -> Iterator[NotPossible]:
        has = Counter(column.want for column in self.plan.columns)
        for place, order in enumerate(self.orders):
            missing = (order.number or 0) - has[place]
            if missing <= 0:
                continue
            want = order.text if missing == order.number else reason("{n} of: {text}", n=missing, text=order.text)
            if self.matched is not None and self.matched.holds(place):
                yield NotPossible(want, self.matched.why_not(place, self.plan.columns), place)
            else:
                yield NotPossible(want, self._why(place), place)
        used = frozenset().union(*(column.found.pools for column in self.plan.columns))
        for name, pools in self.musts:
            if not pools & used:
                why = reason("nothing that may be in the set takes of it")
                if not pools:
                    why = reason("nothing of it is free")
                elif any(pools & one.found.pools for one in self.planner.met):
                    why = reason("nothing that takes of it is beside the others as sure as you ask")
                yield NotPossible(reason("something of {lot}", lot=name), why)

    def _why(self, place: int) -> Words:
        source, asked = self.planner.source, self.planner.rules.asked
        if not source.wants[place].variants:
            return reason("the catalogue has nothing of the kind in that size")
        alone, unsettled = self.planner.alone(place)
        if not alone:
            if unsettled:
                said = "there was no time to see whether anything of the kind can be made from what is free: give more"
                return reason("{said} ({field})", said=reason(said), field=Field("time limit"))
            said = "nothing of the kind can be made from what is free, {sure} sure; {why} says what stands in the way"
            return reason(said, sure=Chance(asked.sure, 1), why=Action("why"))
        of_key = Counter(column.key for column in self.plan.columns)
        if all(of_key[one.key] >= asked.of_one for one in alone):
            one_of = "you asked for nothing twice"
            return counted(asked.of_one, one_of, "no accessory comes more than {n} times in a set")
        best = max(alone, key=lambda one: total(one.found.parts, source.searcher.ranking))
        if self._same_again(alone):
            return reason("it would be the same thing again from the same yarn, which a set has only once")
        said = "by itself it could be the {accessory}, {size} ({sure} sure), {but}"
        but = "but not beside the others as sure as you ask"
        if not self.plan.proved:
            but = "but no room was found for it beside the others in the time there was"
        variant = best.found.variant
        named = {"accessory": Term(variant.accessory.name), "size": Term(variant.size), "but": reason(but)}
        return reason(said, **named, sure=chance_beside(best.found.sure, asked.sure))

    def _same_again(self, alone: Sequence[Column]) -> bool:
        """Whether only that keeps a further one out, that it would be one that is in the set."""
        there = {column.mark for column in self.plan.columns}
        whole = Selection(self.planner.rules, self.plan.columns)
        return any(one.mark in there and whole.stays_sure(one) for one in alone)
