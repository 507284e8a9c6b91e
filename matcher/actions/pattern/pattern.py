"""From a suggestion, an accessory or a partner to its pattern."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from pathlib import Path

from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.partner.partner import partner
from matcher.actions.pattern.files import out_asked, write_pattern
from matcher.actions.pattern.lasting import lasts
from matcher.actions.pattern.minding import lots_of_roles, minded_of
from matcher.actions.pattern.order import Order, named_order, recipe_order, settled_already
from matcher.actions.pattern.result import Patterned, patterned
from matcher.actions.ranking.last_list import last_list, number_meant
from matcher.actions.role_lots import InBin, Strands, named_strands, tex_of
from matcher.errors import BadInput
from matcher.knitting.fabric import Gauge, gauge_of_tex, mid_gauge
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Field, Words, reason
from matcher.reasons.style import PLAIN, Style


def pattern(
    bin: DeskLike = None,
    what: str = "",
    lots: Sequence[str] = (),
    *,
    size: str | None = None,
    whom: str | None = None,
    swatch: str | None = None,
    garment: str | None = None,
    motif: str | Path | None = None,
    out: Path | str | None = None,
    replace: bool = False,
    mending: str | None = None,
    catalog: Path | str | None = None,
    style: Style = PLAIN,
) -> Patterned:
    """A complete pattern, from the cast-on to the last end.

    Parameters
    ----------
    what : a number of the last list of suggestions of this bin; or an accessory, by its name or key.
    lots, size, whom, swatch : as `begin` takes them. Without any lots the gauge is that of `swatch`, else the usual one
        of the accessory, and the colours are left white.
    garment, motif : fitted to go with a garment, or with this motif, as `partner` does it.
    out : a folder for the pages (A4 and Letter), pictures, text and JSON; or one file that ends in .html, .svg, .png,
        .txt or .json. replace : write over files of other content. style : how those say things.

    Raises
    ------
    BadSheets, CatalogueError, NotFound, BadInput
    """
    place = None if out is None else out_asked(out)
    number = number_meant(what)
    if number is not None:
        settled_already({"size": size, "for": whom, "swatch": swatch, "garment": garment, "motif": motif})
        made = _suggested(number, lots, bin, mending, catalog)
    elif not what.strip():
        todo = reason("give the number of a suggestion, or the name of an accessory")
        raise BadInput(reason("nothing is named to knit"), "", todo)
    elif garment is not None:
        desk = desk_of(bin, catalog, mending)
        found = partner(desk, garment=garment, accessory=what, motif=motif, whom=whom, size=size, swatch=swatch)
        order = recipe_order(found.recipe, desk.bin, desk.seen_by(None))
        made = _made(desk, order, lots, found.notes)
    elif motif is not None:
        todo = reason("name the garment that it is to go with ({field})", field=Field("garment"))
        raise BadInput(reason("a motif alone says no size and no colours"), Field("motif"), todo)
    else:
        desk = desk_of(bin, catalog, mending)
        told: list[Words] = []
        order = named_order(what, size, whom, swatch, desk.bin, desk.seen_by(None), told)
        made = _made(desk, order, lots, told)
    if place is None:
        return made
    return dataclasses.replace(made, files=write_pattern(made, place, style, replace))


def _suggested(
    number: int, lots: Sequence[str], bin: DeskLike, mending: str | None, catalog: Path | str | None
) -> Patterned:
    desk = desk_of(bin, catalog, mending)
    if desk.place is None:
        what = reason("no list of a bin in memory is remembered")
        raise BadInput(what, "", reason("name an accessory, its size and its lots"))
    shown = last_list(desk.place)
    desk = desk.with_mending(mending or shown.mending)
    order = recipe_order(shown.recipe(number), desk.bin, desk.seen_by(None))
    return _made(desk, order, lots, () if lots else shown.changed(desk.bin, number))


def _made(desk: Desk, order: Order, lots: Sequence[str], told: Sequence[Words]) -> Patterned:
    whole = order.cast_on is None and bool(lots or order.known)
    strands = named_strands(order.roles, order.entry.name, lots, InBin(desk.bin), order.known, whole=whole)
    there = {fold(lot.name): lot for lot in desk.bin.lots}
    recipe = order.recipe(_gauge(order, strands, there), strands)
    mind = minded_of(recipe, order, lots_of_roles(recipe, desk.bin.lots), desk.wishes.least_contrast)
    made = patterned(recipe, order.entry, desk.bin.lots, order.catalogue, desk.history.learnt, told)
    return dataclasses.replace(made, mind=mind.and_of(lasts(desk, order, made)))


def _gauge(order: Order, strands: Strands, there: Mapping[str, Lot]) -> Gauge:
    """That of the order, else the usual one of the first role's yarn, else of the entry."""
    entry, fabric = order.entry, order.catalogue.fabric
    if order.gauge is not None:
        return order.gauge
    first = next(iter(strands.values()), ())
    if not first:
        return mid_gauge(entry.classes[len(entry.classes) // 2], fabric, order.catalogue.classes, entry.firmness)
    return gauge_of_tex(tex_of(first, there), fabric, entry.firmness)
