"""Which lots could stand in for a lot, or for a yarn that she describes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from matcher.actions.asked import check_sure
from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.instead.asked import asked_for
from matcher.actions.instead.result import Instead, StandIn
from matcher.errors import BadInput
from matcher.matching.guessed import tell_for_sure
from matcher.matching.instead.beside import Asked, besides
from matcher.matching.instead.changes import changes, stays
from matcher.matching.instead.mending import Mends, mends
from matcher.matching.instead.nearest import nearest
from matcher.matching.instead.search import stand_ins
from matcher.matching.instead.table import Table
from matcher.matching.instead.way import Way, Weigher
from matcher.matching.pools import Pool, pools_of
from matcher.reasons.reason import Field, Words, reason

_NOTHING: Mapping[str, str] = {}


def instead(
    lot: str | None = None,
    cells: Mapping[str, str] = _NOTHING,
    *,
    metres: str | None = None,
    any_colour: bool = False,
    sure: float | None = None,
    top: int = 10,
    bin: DeskLike = None,
    mending: str | None = None,
    catalog: Path | str | None = None,
) -> Instead:
    """Ways to stand in for a yarn, the best first; where there is none, what comes nearest and what it lacks.

    Only what is free counts: reserves, claims and decisions are kept.

    Parameters
    ----------
    lot : its name or code. cells : in its place, what a yarn is like, by columns of lots.csv: class or tex, fibre,
        colour, wash, yarn; where no colour is given, any will do.
    metres : how much of it is wanted, as the sheets read it; of a lot what is free if left out.
    any_colour : whether colour counts for nothing. sure : the least chance that it is enough; the catalogue's if left
        out.

    Raises
    ------
    NotFound, BadInput, BadCells, BadSheets
    """
    check_sure(sure)
    if top < 1:
        raise BadInput(reason("found {top}", top=top), Field("top"), reason("give 1 or more"))
    desk = desk_of(bin, catalog, mending)
    rules = desk.seen_by(None)
    told: list[Words] = []
    asked = asked_for(lot, cells, metres, any_colour, desk, told)
    least = rules.ranking.sure_at_least if sure is None else sure
    shelf = desk.shelf
    weigher = Weigher(asked, shelf.free, rules)
    near = besides(asked, _pools(asked, desk), rules)
    table = Table(near, weigher)
    ways = stand_ins(table, least, top)
    nearly = [] if ways else nearest(near, table, least)
    rest = _rest(asked, desk)

    def shown(way: Way, lacks: tuple[Words, ...] = ()) -> StandIn:
        changed, same = changes(way, weigher, rest), stays(way, weigher)
        return StandIn(way, weigher, changed, same, _mends(way, weigher, desk), lacks)

    named = [one.pool.lots[0] for way in (*ways, *(one.way for one in nearly)) for one in way.members]
    guessed = [one.name for one in (*([asked.lot] if asked.lot else []), *named) if one.colour.guessed]
    unsure = tell_for_sure(guessed) if asked.colour is not None and not asked.any_colour else ""
    return Instead(
        asked,
        least,
        tuple(shown(way) for way in ways),
        tuple(shown(one.way, one.lacks) for one in nearly),
        (*told, *shelf.notes, *([unsure] if unsure else [])),
        weigher,
    )


def _pools(asked: Asked, desk: Desk) -> list[Pool]:
    """What is free, without the lot itself and what she decided to keep, put together as it counts as one."""
    shelf = desk.shelf
    own = "" if asked.lot is None else asked.lot.name
    others = [lot for lot in desk.bin.lots if lot.name != own and lot.name not in shelf.kept]
    return [one for one in pools_of(others, shelf.free, desk.catalogue.fabric.tail_m) if one.free.mean > 0]


def _rest(asked: Asked, desk: Desk) -> list[Pool]:
    """What else the lot's garment is knitted in, as far as it lies in the bin."""
    if asked.lot is None or not asked.lot.garment:
        return []
    garment, own = asked.lot.garment, asked.lot.name
    return [
        pool
        for pool in desk.undecided.pools
        if any(lot.garment == garment for lot in pool.lots) and all(lot.name != own for lot in pool.lots)
    ]


def _mends(way: Way, weigher: Weigher, desk: Desk) -> Mends | None:
    """Whether it would mend the lot's garment; None where it came from none, or that is gone."""
    lot = weigher.asked.lot
    garment = desk.bin.garments.get(lot.garment) if lot is not None else None
    if lot is None or garment is None or garment.status == "gone":
        return None
    kept = next((group.reserve_m for group in desk.shelf.groups if lot.name in group.held), 0.0)
    return mends(way, weigher.asked, garment, kept, weigher.rules)
