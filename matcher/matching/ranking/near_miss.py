"""What came close, and what it lacks: metres of a role, or colours that read.

A near miss is looked for among the pools with most yarn, and those that were asked for: among these it is the nearest.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

import numpy as np

from matcher.matching.contrast import LEVELS, verdict_of
from matcher.matching.pools import Pool, Stock
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.lacks import lacks
from matcher.matching.ranking.ready import Rules, near_searcher_of
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import search
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant
from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Band, Chance, Length, Mass
from matcher.reasons.reason import Reason, Term, Words, counted, reason

_SHOWN_G = 0.15  # below it a weight would be shown as none, at least in ounces


@dataclass(frozen=True)
class NearMiss:
    """An assignment that lacks something, the stock in which its pools stand, and what it lacks."""

    found: Found
    stock: Stock
    lacks: tuple[Words, ...]


def near_misses(searcher: Searcher, scope: Scope, rules: Rules, made: Set[str]) -> list[NearMiss]:
    """The nearest miss of accessories in scope that cannot be made, best first, as many as the catalogue says.

    Parameters
    ----------
    searcher : ready for what can be made. made : the keys of all that can be.
    """
    missing = {key: several for key, several in scope.variants.items() if key not in made}
    if not missing or not len(searcher.stock):
        return []
    wanted = scope.wanted(searcher.stock) or frozenset()  # one of which must be in it, however short
    near = near_searcher_of(largest_of(searcher.stock, int(rules.ranking.near_miss_pools), wanted), scope, rules)
    found = nearest(near, missing, scope.least, int(rules.ranking.near_misses))
    return [NearMiss(one, near.stock, tuple(_lacks(one, near.stock, searcher, scope))) for one in found]


def largest_of(stock: Stock, most: int, always: Set[int] = frozenset()) -> Stock:
    """The pools with most free yarn, and those at the places `always`, in the order they stood."""
    if len(stock) <= most:
        return stock
    places = {*np.argsort(-stock.free_m, kind="stable")[:most].tolist(), *always}
    return stock.take(np.array(sorted(places), dtype=np.intp))


def nearest(
    searcher: Searcher, variants: Mapping[str, Sequence[Variant]], least: Mapping[str, float], most: int
) -> list[Found]:
    """The nearest miss of each accessory, best first, at most `most` of them.

    `searcher` must look for near misses (its `chance` is None). Where no colours read well enough, *quiet* ones are
    taken.
    """
    found = []
    for key, several in variants.items():
        one = search(searcher, several, least[key])
        if not one and least[key] > LEVELS["quiet"] and several and several[0].edges:
            one = search(searcher, several, LEVELS["quiet"])
        found += one
    return sorted(found, key=lambda one: one.place)[:most]


def _lacks(one: Found, stock: Stock, searcher: Searcher, scope: Scope) -> Iterator[Words]:
    key, chance = one.variant.accessory.key, searcher.chance or 0.0
    too_quiet = bool(one.variant.edges) and one.parts["contrast"] < scope.least[key]
    short = lacks(one, stock, chance)
    for lack in short:
        pool = stock.pools[lack.pool]
        yield reason(
            "{role} is {short} ({lot}): {more}",
            role=Term(lack.role),
            short=lack.words,
            lot=pool.name,
            more=_more(pool, lack.metres),
        )
        yield from _other_baths(pool, stock, one.pools)
    if too_quiet:
        verdict = Term(verdict_of(one.parts["contrast"]))
        yield reason("colours that read: the nearest pair is only {verdict}", verdict=verdict)
    if not short and not too_quiet:
        yield reason(
            "a little certainty: it is {sure} sure, and you ask for {asked}",
            sure=Chance(one.sure),
            asked=Chance(chance, 1),
        )
    sizes = scope.wishes.sizes
    if sizes and (
        fitting := search(searcher, [other for other in scope.whole[key] if other.size not in sizes], scope.least[key])
    ):
        yield reason("fits the size {size}", size=Term(fitting[0].variant.size))


def _more(pool: Pool, metres: float) -> Words:
    """What to get hold of: balls where the label tells their weight, else grams."""
    grams, ball_g = metres * pool.yarn.tex.mean / 1000.0, pool.lots[0].ball_g
    if not ball_g:
        more = reason("a little") if grams < _SHOWN_G else reason("{mass}", mass=Mass(grams))
        return reason("find {more} more of it", more=more)
    balls = max(1, math.ceil(grams / ball_g))
    return counted(balls, "buy one {mass} ball", "buy {n} balls of {mass}", mass=Band(ball_g))


def _other_baths(pool: Pool, stock: Stock, taken: Container[int]) -> list[Reason]:
    """The same yarn and colour that may be of other dye lots: never taken in silence, but worth knowing of. taken : the
    places of those that are in the piece already, and can give it no more."""
    name = pool.yarn.name.casefold()
    return [
        _beside(pool, other)
        for at, other in enumerate(stock.pools)
        if at not in taken and name and other.yarn.name.casefold() == name and other.colour == pool.colour
    ]


def _beside(pool: Pool, other: Pool) -> Reason:
    """What is said of the other: that its dye lot is another only where both are written down."""
    if pool.dye_lot and fold(pool.dye_lot) == fold(other.dye_lot):
        said = "{lot} is the same yarn, colour and dye lot, with {free} free"
    elif pool.dye_lot and other.dye_lot:
        said = "{lot} is the same yarn and colour in another dye lot, with {free} free: compare them in daylight"
    else:
        said = "{lot} is the same yarn and colour, perhaps of another dye lot, with {free} free: compare in daylight"
    return reason(said, lot=other.name, free=Length(other.free.mean))
