"""One lot: what is known of it, what holds it, its history and its tag; and whatever can be done with it."""

from __future__ import annotations

from urllib.parse import quote

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from matcher.actions.desk import Desk
from matcher.actions.keeping.cells import add, written_lot
from matcher.actions.keeping.cells import change as change_cells
from matcher.actions.keeping.done import Done
from matcher.actions.keeping.lots import join, move, split
from matcher.actions.keeping.tags import tag_picture
from matcher.actions.keeping.triage import decide
from matcher.actions.looking.facts import facts, history_words, written_words
from matcher.actions.looking.show import show as show_named
from matcher.actions.looking.things import ShownLot
from matcher.actions.progress.weigh import weigh
from matcher.errors import NotFound, field_of
from matcher.matching.triage import ADVICE
from matcher.materials.colours.families import called
from matcher.materials.lots import Lot
from matcher.reasons.reason import Field, Term, reason
from matcher.store.sheets.columns import LOTS, Columns
from matcher.web.changes import change, text, typed_before
from matcher.web.page import desks_of, page, style_of
from matcher.web.route import get, post

_MOST_LIKE = 40  # lots that are offered to be joined with, a choice


def show(request: Request) -> Response:
    """The lot of that name."""
    style = style_of(request)
    with desks_of(request).shared() as desk:
        one = _shown(desk, request.path_params["name"])
        lot = one.line.lot
        tag = tag_picture(lot.name, desk, style)
        like = _like(desk, lot)
    return page(
        request,
        "lot.html",
        lot.name,
        one=one,
        lot=lot,
        facts=tuple(facts(one)),
        written=tuple(written_words(one.written)),
        history=tuple(history_words(one.history)),
        tag=tag,
        like=like,
        advice=[(one, Term(one)) for one in ADVICE],
        typed=typed_before(request),
    )


def _shown(desk: Desk, name: str) -> ShownLot:
    one = show_named(name, desk, what="lot").things[0]
    if not isinstance(one, ShownLot):
        raise NotFound(reason('nothing is called "{name}"', name=name))
    return one


def _like(desk: Desk, lot: Lot) -> list[str]:
    """Lots that it may be one with: as thick and called the same, those of its garment first."""
    families = desk.catalogue.families
    colour = called(lot.colour.mean(), families).split()[-1]
    found = [
        other
        for other in desk.bin.lots
        if other.name != lot.name
        and other.yarn.weight_class == lot.yarn.weight_class
        and called(other.colour.mean(), families).split()[-1] == colour
    ]
    return [one.name for one in sorted(found, key=lambda one: (one.garment != lot.garment, one.name))][:_MOST_LIKE]


def weighed(request: Request, form: FormData) -> Response:
    """A scale's figure, typed; of nothing there is no page any more."""
    name, bin = request.path_params["name"], desks_of(request).given

    def then(done: Done) -> str:
        return at(name) if done.values["after_g"] else "/bin"

    return change(request, form, [("lots", name)], lambda: weigh(name, text(form, "grams"), bin=bin), at(name), then)


def moved(request: Request, form: FormData) -> Response:
    """Where it lies now."""
    name, bin = request.path_params["name"], desks_of(request).given
    return change(request, form, [("lots", name)], lambda: move(name, text(form, "place"), bin=bin), at(name))


def parted(request: Request, form: FormData) -> Response:
    """Some of it as a lot of its own."""
    name, bin = request.path_params["name"], desks_of(request).given

    def act() -> Done:
        return split(name, text(form, "part"), name=text(form, "new_name") or None, bin=bin)

    return change(request, form, [("lots", name)], act, at(name), lambda done: at(done.values["new"]))


def joined(request: Request, form: FormData) -> Response:
    """One with another."""
    name, bin, other = request.path_params["name"], desks_of(request).given, text(form, "other")

    def act() -> Done:
        return join([name, other], anyway=bool(text(form, "unlike")), bin=bin)

    return change(request, form, [("lots", name), ("lots", other)], act, at(name))


def decided(request: Request, form: FormData) -> Response:
    """What she will do with it, whatever the figures advise; nothing leaves it to them again."""
    name, bin = request.path_params["name"], desks_of(request).given
    return change(request, form, [("lots", name)], lambda: decide(name, text(form, "advice"), bin=bin), at(name))


def cells(request: Request) -> Response:
    """All that is written down of it, to be changed."""
    desks = desks_of(request)
    with desks.shared() as desk:
        name = _shown(desk, request.path_params["name"]).line.lot.name
    title = style_of(request).say(reason("Change {name}", name=name))
    return page(
        request,
        "cells.html",
        title,
        columns=fields_of(LOTS),
        cells=written_lot(name, bin=desks.given),
        typed=typed_before(request),
        to=f"/change/{quote(name, safe='')}",
        back=at(name),
    )


def changed(request: Request, form: FormData) -> Response:
    """Write the cells down that are other ones now."""
    name, bin = request.path_params["name"], desks_of(request).given
    typed = {column: text(form, column) for column in LOTS.typed if column in form}
    new = typed.pop("lot", name)

    def act() -> Done:
        return change_cells(name, typed, name=new if new != name else None, bin=bin)

    to = f"/change/{quote(name, safe='')}"
    return change(request, form, [("lots", name)], act, to, lambda done: at(done.values["lot"]))


def blank(request: Request) -> Response:
    """All that can be written down of a lot that is new."""
    return page(
        request,
        "cells.html",
        "Add a lot",
        columns=fields_of(LOTS),
        cells={},
        typed=typed_before(request),
        to="/add",
        back="/bin",
    )


def added(request: Request, form: FormData) -> Response:
    """A lot that is new."""
    bin = desks_of(request).given
    typed = {column: text(form, column) for column in LOTS.typed if text(form, column)}
    name = typed.pop("lot", "")
    about = [("lots", name)]
    return change(request, form, about, lambda: add(name, typed, bin=bin), "/add", lambda done: at(done.values["lot"]))


def fields_of(columns: Columns) -> list[tuple[str, Field, str]]:
    """Each column of a sheet as a field: its name, what it is called, and what it holds."""
    called = {name: Field("name" if name == columns.thing else field_of(name)) for name in columns.typed}
    return [(name, field, columns[name].holds) for name, field in called.items()]


def at(name: str) -> str:
    """The address of a lot."""
    return f"/lot/{quote(name, safe='')}"


ROUTES = [
    get("/lot/{name:path}", show),
    get("/add", blank),
    post("/add", added),
    get("/change/{name:path}", cells),
    post("/change/{name:path}", changed),
    post("/weigh/{name:path}", weighed),
    post("/move/{name:path}", moved),
    post("/split/{name:path}", parted),
    post("/join/{name:path}", joined),
    post("/decide/{name:path}", decided),
]
