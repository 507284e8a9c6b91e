"""Who could give what a near miss lacks: like yarns of anybody's, which never count as one with another member's."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from matcher.actions.collection.asking import Answered, Asking
from matcher.actions.collection.result import Giver, Lacks, Nearly
from matcher.matching.collected import MembersLot
from matcher.matching.pools import Stock
from matcher.matching.ranking.lacks import Lack, lacks
from matcher.matching.ranking.near_miss import NearMiss, near_misses
from matcher.matching.ranking.search import can_be_made
from matcher.matching.together import thickness_factor
from matcher.materials.colours.difference import ciede2000
from matcher.store.catalogue.catalogue import Catalogue

_NAMED = 3  # of those who could give; a choice


def nearly(
    asking: Asking, answered: Answered, everybody: Stock, first: int, most: int | None = None, but: str = ""
) -> tuple[Nearly, ...]:
    """Near misses of an answer, numbered from the first, so many at most.

    everybody : the stock in which givers are looked for. but : the code of a member who is none of them.
    """
    made = can_be_made(answered.searcher, answered.scope, answered.outcome)
    near = near_misses(answered.searcher, answered.scope, asking.catalogue, made)[:most]
    found = []
    for number, one in enumerate(near, first):
        thing = asking.told([one.found], one.stock, number)[0]
        chance = answered.searcher.chance or 0.0
        found.append(Nearly(thing, one.lacks, tuple(_short(one, chance, everybody, asking.catalogue, but))))
    return tuple(found)


def _short(near: NearMiss, chance: float, everybody: Stock, catalogue: Catalogue, but: str) -> Iterator[Lacks]:
    taken = {near.stock.pools[pool].name for pool in near.found.pools}
    for one in lacks(near.found, near.stock, chance):
        yield Lacks(one.role, one.metres, tuple(_givers(near.stock, one, everybody, catalogue, taken, but)))


def _givers(
    stock: Stock, lack: Lack, everybody: Stock, catalogue: Catalogue, taken: set[str], but: str
) -> Iterator[Giver]:
    """Who has as many metres as are lacking of a yarn like that of a pool, none of those taken; the likest first.

    Like it is what is as thick, goes beside it without a warning, and is another shade of its colour at most. Where
    nobody has enough, those who have most.
    """
    pool = lack.pool
    rules = catalogue.together
    goes = everybody.beside[everybody.kinds.index(stock.kinds[stock.kind[pool]])]
    like = (thickness_factor(everybody.tex, stock.tex[pool], rules) == 1.0) & (goes[everybody.kind] == 1.0)
    rows = np.flatnonzero(like)
    shades = ciede2000(everybody.labs[everybody.part[rows, 0]], stock.labs[stock.part[pool, 0]])
    near = shades <= catalogue.instead.shade_delta_e
    rows, shades = rows[near], shades[near]
    enough = everybody.free_m[rows] >= lack.metres
    order = np.lexsort((shades, np.where(enough, 0.0, -everybody.free_m[rows]), ~enough))
    number = 0
    for at in order.tolist():
        lot = everybody.pools[int(rows[at])].lots[0]
        if lot.name in taken or not isinstance(lot, MembersLot) or lot.member == but:
            continue
        if number == _NAMED or (number and not enough[at] and enough.any()):
            break
        number += 1
        yield Giver(lot, float(everybody.free_m[rows[at]]), float(shades[at]))
