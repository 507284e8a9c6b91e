"""Garments, and one of them: its lots, where yarn is kept to mend it, what became of it, what mending took."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from urllib.parse import quote

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.keeping.cells import garment as change_garment
from matcher.actions.keeping.cells import written_garment
from matcher.actions.keeping.lots import mended
from matcher.actions.looking.facts import Fact, facts, history_words, written_words
from matcher.actions.looking.kept_for import garment_picture, kept_places, kept_told
from matcher.actions.looking.lines import GarmentLine
from matcher.actions.looking.listing import listing
from matcher.actions.looking.show import show as show_named
from matcher.actions.looking.things import ShownGarment
from matcher.actions.reserve import mending_choices
from matcher.errors import NotFound
from matcher.knitting.mending.words import MEANS as MENDING_MEANS
from matcher.materials.garment_words import MEANS
from matcher.reasons.reason import reason
from matcher.store.sheets.columns import GARMENTS
from matcher.web.changes import change, text, typed_before
from matcher.web.page import desks_of, page, style_of
from matcher.web.route import get, post
from matcher.web.views.lot import fields_of


def show(request: Request) -> Response:
    """All of them, by what became of them."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    with desks.shared() as desk:
        found = listing("garments", desk)
        kinds = [one.kind for one in desk.catalogue.repairs.kinds.values()]
    lines = [one for one in found.lines if isinstance(one, GarmentLine)]
    groups = [(MEANS[status], list(some)) for status, some in groupby(lines, lambda one: one.garment.status)]
    return page(
        request,
        "garments.html",
        "Garments",
        groups=groups,
        notes=found.notes,
        kinds=kinds,
        typed=typed_before(request),
    )


def show_one(request: Request) -> Response:
    """The garment of that name."""
    style = style_of(request)
    with desks_of(request).shared() as desk:
        one = show_named(request.path_params["name"], desk, what="garment").things[0]
        if not isinstance(one, ShownGarment):
            raise NotFound(reason('nothing is called "{name}"', name=request.path_params["name"]))
        picture = garment_picture(one, desk, style)
        would_keep = mending_choices(desk, one.line.garment.name)
        lots = [lot.name for lot in desk.bin.lots if lot.garment == one.line.garment.name]
    places = kept_places(one)
    return page(
        request,
        "garment.html",
        one.line.garment.name,
        garment=one.line.garment,
        lines=one.line.lots,
        facts=list(_facts(one)),
        places=places,
        told=kept_told(places),
        picture=picture,
        mending=[(choice, means, would_keep[choice]) for choice, means in MENDING_MEANS.items()],
        written=tuple(written_words(one.written)),
        history=tuple(history_words(one.history)),
        statuses=list(MEANS.items()),
        lots=lots,
        typed=typed_before(request),
    )


def _facts(one: ShownGarment) -> Iterator[Fact]:
    """What is known of it; its lots have a place of their own."""
    under = ""
    for word, said in facts(one):
        under = word or under
        if under != "lots":
            yield word, said


def add(request: Request, form: FormData) -> Response:
    """A garment that is new, with what became of it."""
    bin, name = desks_of(request).given, text(form, "garment")
    cells = {column: text(form, column) for column in ("kind", "wearer") if text(form, column)}
    return change(
        request,
        form,
        [("garments", name)],
        lambda: change_garment(name, text(form, "status"), cells, bin=bin),
        "/garments",
        lambda done: at(done.values["garment"]),
    )


def became(request: Request, form: FormData) -> Response:
    """Worn, given or gone, by a tap."""
    bin, name = desks_of(request).given, request.path_params["name"]
    return change(
        request,
        form,
        [("garments", name)],
        lambda: change_garment(name, text(form, "status"), bin=bin),
        at(name),
    )


def kept_for(request: Request, form: FormData) -> Response:
    """Which repairs to keep yarn for; nothing leaves it to her wishes."""
    bin, name = desks_of(request).given, request.path_params["name"]
    wanted = {"mending": text(form, "mending")}
    return change(request, form, [("garments", name)], lambda: change_garment(name, None, wanted, bin=bin), at(name))


def was_mended(request: Request, form: FormData) -> Response:
    """What mending took of a lot."""
    bin, name, lot = desks_of(request).given, request.path_params["name"], text(form, "lot")
    return change(
        request,
        form,
        [("garments", name), ("lots", lot)],
        lambda: mended(name, lot, text(form, "length"), bin=bin),
        at(name),
    )


def cells(request: Request) -> Response:
    """All that is written down of it, to be changed."""
    name, bin = request.path_params["name"], desks_of(request).given
    found = written_garment(name, bin=bin)
    columns = [one for one in fields_of(GARMENTS) if one[0] != GARMENTS.thing]
    return page(
        request,
        "cells.html",
        style_of(request).say(reason("Change {name}", name=found["garment"])),
        columns=columns,
        cells=found,
        typed=typed_before(request),
        to=f"/garment-cells/{quote(name, safe='')}",
        back=at(name),
    )


def changed(request: Request, form: FormData) -> Response:
    """Write the cells down that are other ones now."""
    bin, name = desks_of(request).given, request.path_params["name"]
    typed = {column: text(form, column) for column in GARMENTS.typed if column in form and column != GARMENTS.thing}
    to = f"/garment-cells/{quote(name, safe='')}"
    return change(
        request, form, [("garments", name)], lambda: change_garment(name, None, typed, bin=bin), to, lambda _: at(name)
    )


def at(name: str) -> str:
    """The address of a garment."""
    return f"/garment/{quote(name, safe='')}"


ROUTES = [
    get("/garments", show),
    post("/garments/add", add),
    get("/garment/{name:path}", show_one),
    get("/garment-cells/{name:path}", cells),
    post("/garment-cells/{name:path}", changed),
    post("/became/{name:path}", became),
    post("/keep-for/{name:path}", kept_for),
    post("/mended/{name:path}", was_mended),
]
