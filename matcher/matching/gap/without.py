"""What makes a thing possible without buying: another size, strands held together, one colour in another's yarn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import search
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.recolour.colouring import Asked, merged
from matcher.matching.variants import Variant
from matcher.reasons.reason import Term, Words, reason


@dataclass(frozen=True)
class Way:
    """A way without buying: what is done otherwise, and the best that then can be made."""

    how: Words
    found: Found


def ways_without(key: str, searcher: Searcher, scope: Scope) -> Iterator[Way]:
    """Ways to make a thing that can't be made as it was asked.

    searcher : of the bin as it is. scope : with the thing in it.
    """
    asked, least = scope.variants[key], scope.least[key]
    sizes = {one.size for one in asked}
    others = [one for one in scope.whole[key] if one.size not in sizes]
    if others and (found := search(searcher, others, least)):
        yield Way(reason("in the size {size}", size=Term(found[0].variant.size)), found[0])
    if not scope.wishes.held_together:
        with_strands = replace(searcher, most_strands=STRANDS)
        if found := search(with_strands, asked, least):
            yield Way(reason("with strands held together"), found[0])
    yield from _fewer_colours(searcher, asked, least)


def _fewer_colours(searcher: Searcher, asked: Sequence[Variant], least: float) -> Iterator[Way]:
    """The best way to knit one role in the yarn of another; at least two colours stay."""
    roles = [need.role for need in asked[0].filled]
    if len(roles) < 3:
        return
    ways = []
    for kept, given in combinations(roles, 2):
        joined = [one for variant in asked if (one := _joined(variant, kept, given)) is not None]
        if joined and (found := search(searcher, joined, least)):
            how = reason("with {role} in the yarn of {other}", role=Term(given), other=Term(kept))
            ways.append(Way(how, found[0]))
    yield from sorted(ways, key=lambda one: one.found.place)[:1]


def _joined(variant: Variant, kept: str, given: str) -> Variant | None:
    """The same with a role knitted in the yarn of another; None where that would then touch what it never does."""
    names = [need.role for need in variant.filled]
    edges = {frozenset((names[a], names[b])): 1 for a, b in variant.edges}
    asked = merged(Asked(variant.needs, edges, variant.gauge), {given: kept})
    if not asked.edges or not asked.edges.keys() <= edges.keys():
        return None
    fewer = [need.role for need in asked.needs if not need.bring]
    places = tuple(sorted((min(two), max(two)) for edge in asked.edges for two in [[fewer.index(one) for one in edge]]))
    return Variant(variant.accessory, variant.size, variant.gauge, asked.needs, places, variant.party)
