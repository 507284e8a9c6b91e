"""Who could give what a near miss lacks: like yarns of anybody's, which never count as one with another member's."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from matcher.actions.collection.asking import Answered, Asking
from matcher.actions.collection.result import Giver, Lacks, Nearly
from matcher.matching.collected import MembersLot
from matcher.matching.pools import Stock
from matcher.matching.ranking.lacks import lacks
from matcher.matching.ranking.made import can_be_made
from matcher.matching.ranking.near_miss import NearMiss, near_misses
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.together import Handling, beside, factor, thickness_factor
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.difference import ciede2000
from matcher.store.catalogue.catalogue import Catalogue

_NAMED = 3  # of those who could give; a choice


@dataclass(frozen=True)
class Wanted:
    """So many metres of a yarn. taken : names of lots that are used already. but : a member who is not asked."""

    role: str
    metres: float
    tex: float
    handling: Handling
    lab: Lab
    taken: frozenset[str]
    but: str = ""


@dataclass(frozen=True)
class Near:
    """A near miss with what it lacks of each yarn."""

    miss: NearMiss
    wanted: tuple[Wanted, ...]


def misses(asking: Asking, answered: Answered, most: int | None = None, but: str = "") -> list[Near]:
    """Near misses of an answer, so many at most. but : the code of a member who gives nothing."""
    searcher, scope, made = answered.searcher, answered.scope, answered.made
    if made is None:
        made = can_be_made(searcher, scope, answered.outcome)
    if answered.largest is not None:
        searcher = searcher_of(answered.largest, scope, asking.catalogue)
    near = near_misses(searcher, scope, asking.catalogue, made)[:most]
    return [Near(one, tuple(_wanted(one, answered.searcher.chance or 0.0, but))) for one in near]


def wanted_by(near: Iterable[Near]) -> list[Wanted]:
    """What all of them want, in their order."""
    return [want for one in near for want in one.wanted]


def _wanted(near: NearMiss, chance: float, but: str) -> Iterator[Wanted]:
    stock = near.stock
    taken = frozenset(lot.name for pool in near.found.pools for lot in stock.pools[pool].lots)
    for one in lacks(near.found, stock, chance):
        light, a, b = stock.labs[stock.part[one.pool, 0]].tolist()
        handling = stock.kinds[stock.kind[one.pool]][0]
        yield Wanted(one.role, one.metres, float(stock.tex[one.pool]), handling, (light, a, b), taken, but)


def told(asking: Asking, near: Sequence[Near], first: int) -> tuple[Nearly, ...]:
    """Numbered from the first; who could give is asked of all of them at once (`with_givers`)."""
    found = []
    for number, one in enumerate(near, first):
        thing = asking.told([one.miss.found], one.miss.stock, number)[0]
        short = tuple(Lacks(want.role, want.metres, ()) for want in one.wanted)
        found.append(Nearly(thing, one.miss.lacks, short))
    return tuple(found)


def with_givers(near: Iterable[Nearly], given: Iterator[Sequence[Giver]]) -> tuple[Nearly, ...]:
    """The same with who could give. given : for each yarn that is wanted, in that order; so many are taken of it."""
    return tuple(
        replace(one, short=tuple(replace(lack, givers=tuple(next(given))) for lack in one.short)) for one in near
    )


def givers(wanted: Iterable[Wanted], stock: Stock, catalogue: Catalogue) -> list[list[Giver]]:
    """For each yarn that is wanted, who of a stock could give it, the likest first.

    Like it is what is as thick, goes beside it without a warning, and is another shade of its colour at most. Those who
    have as much as is wanted are named; where nobody has, those who have most.
    """
    return [best(list(_of(one, stock, catalogue)), one.metres) for one in wanted]


def best(several: Sequence[Giver], metres: float) -> list[Giver]:
    """Of several, in the order of their rows, those to be named.

    Whom of those who are equally good it takes, hangs on their rows alone, as where all rows are asked at once: so it
    is the same however these are cut into parts.
    """
    if enough := [one for one in several if one.free_m >= metres]:
        chosen = sorted(enough, key=lambda one: one.delta_e)[:_NAMED]
        return sorted(chosen, key=lambda one: (one.delta_e, one.lot.name))
    most = sorted(several, key=lambda one: (-one.free_m, one.delta_e))[:_NAMED]
    return sorted(most, key=lambda one: (-one.free_m, one.lot.name))


def _of(wanted: Wanted, stock: Stock, catalogue: Catalogue) -> Iterator[Giver]:
    rules = catalogue.together
    goes = np.array([factor(beside(wanted.handling, one), rules) for one, _ in stock.kinds])
    like = (thickness_factor(stock.tex, wanted.tex, rules) == 1.0) & (goes[stock.kind] == 1.0)
    rows = np.flatnonzero(like)
    shades = ciede2000(stock.labs[stock.part[rows, 0]], np.array(wanted.lab))
    near = shades <= catalogue.instead.shade_delta_e
    rows, shades = rows[near], shades[near]
    enough = stock.free_m[rows] >= wanted.metres
    order = np.lexsort((shades, np.where(enough, 0.0, -stock.free_m[rows]), ~enough))
    number = 0
    for at in order.tolist():
        lot = stock.pools[int(rows[at])].lots[0]
        if isinstance(lot, MembersLot) and lot.name not in wanted.taken and lot.member != wanted.but:
            number += 1
            apart = float(shades[at])
            yield Giver(lot, float(stock.free_m[rows[at]]), apart, apart > catalogue.instead.hardly_delta_e)
        if number == _NAMED:
            break
