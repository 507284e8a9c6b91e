"""The assignment that comes nearest to what cannot be made, and which rules had to give way before there was any."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from matcher.matching.contrast import LEVELS, verdict_of
from matcher.matching.pools import Stock
from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.lacks import Lack, lacks
from matcher.matching.ranking.near_miss import largest_of
from matcher.matching.ranking.ready import Rules, near_searcher_of
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import search
from matcher.matching.why.because import Because
from matcher.reasons.quantities import Chance, Length
from matcher.reasons.reason import Term, reason

YARN, CONTRAST, PEOPLE = "yarn", "contrast", "people"
_PLENTY_M = 1e5  # more than any bin holds
_TOLD_M = 1.0  # by less, what is free and what would be enough may be shown as the same figure


@dataclass(frozen=True)
class Nearest:
    """An assignment, the stock in which its pools stand (as it is), and the rules that gave way for it."""

    found: Found
    stock: Stock
    gave_way: tuple[str, ...]

    def lacks(self, chance: float) -> list[Lack]:
        """How many metres more each role should have to be as sure as asked."""
        return lacks(self.found, self.stock, chance)


def nearest(stock: Stock, scope: Scope, key: str, rules: Rules) -> Nearest | None:
    """Of one accessory; None where lots that suit it do not go together even with plenty of each."""
    if not len(stock) or key not in scope.variants:
        return None
    few = largest_of(stock, int(rules.ranking.near_miss_pools), scope.wanted(stock) or frozenset())
    ways = [way for number in range(4) for way in combinations((PEOPLE, YARN, CONTRAST), number)]
    for way in ways:
        for strands in (1, STRANDS) if scope.wishes.held_together else (1,):
            found = _search(few, scope, key, rules, way, strands)
            if found:
                return Nearest(found, few, way)
    return None


def _search(
    stock: Stock, scope: Scope, key: str, rules: Rules, gave_way: tuple[str, ...], strands: int
) -> Found | None:
    if YARN in gave_way:
        plenty = np.full(len(stock), _PLENTY_M)
        stock = replace(stock, free_m=plenty, sd_m=stock.sd_m / np.maximum(stock.free_m, 1e-9) * plenty)
    if PEOPLE in gave_way:
        anybody = {
            name: replace(one, off_skin=frozenset(), unwanted=frozenset(), wanted=frozenset())
            for name, one in scope.parties.items()
        }
        scope = replace(scope, parties=anybody)
    if CONTRAST in gave_way:
        scope = replace(scope, wishes=replace(scope.wishes, least_contrast="merges"))
    near = replace(near_searcher_of(stock, scope, rules), most_strands=strands)
    several, least = scope.variants[key], scope.least[key]
    found = search(near, several, least)
    if not found and least > LEVELS["quiet"] and several[0].edges:
        found = search(near, several, LEVELS["quiet"])
    return found[0] if found else None


def lacking(near: Nearest, scope: Scope, chance: float) -> Iterator[Because]:
    """What the nearest lacks: metres of a role, colours that read, or a little certainty."""
    found, key = near.found, near.found.variant.accessory.key
    too_quiet = bool(found.variant.edges) and found.parts["contrast"] < scope.least[key]
    short = near.lacks(chance)
    for lack in short:
        pool = near.stock.pools[lack.pool]
        enough = Length(pool.free.mean + lack.metres)
        said = reason(
            "{role} in {size} is {short}: {free} of {lot} are free, {enough} would be enough"
            if lack.metres >= _TOLD_M
            else "{role} in {size} is {short}: {free} of {lot} are free",
            role=Term(lack.role),
            size=Term(found.variant.size),
            short=lack.words,
            free=Length(pool.free.mean),
            lot=pool.name,
            enough=enough,
        )
        yield Because("yarn", Length(pool.free.mean), enough, said)
    if too_quiet:
        verdict, asked = Term(verdict_of(found.parts["contrast"])), Term(scope.contrast[key])
        template = "no colours for it read well enough: the nearest are {verdict}, and it asks for {asked}"
        said = reason(template, verdict=verdict, asked=asked)
        yield Because("contrast", verdict, asked, said)
    if not short and not too_quiet and not near.gave_way:
        said = reason("it is {sure} sure, and you ask for {asked}", sure=Chance(found.sure), asked=Chance(chance, 1))
        yield Because("sure", Chance(found.sure, 1), Chance(chance, 1), said)
