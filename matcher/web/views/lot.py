"""One lot: what is known of it, what holds it, its history; weighing it and moving it."""

from __future__ import annotations

from urllib.parse import quote

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from matcher.actions.keeping.lots import move
from matcher.actions.looking.show import show as show_named
from matcher.actions.looking.things import ShownLot
from matcher.actions.progress.weigh import weigh
from matcher.errors import NotFound
from matcher.reasons.reason import reason
from matcher.web.changes import change, text, typed_before
from matcher.web.page import desks_of, page
from matcher.web.route import get, post


def show(request: Request) -> Response:
    """The lot of that name."""
    name = request.path_params["name"]
    with desks_of(request).shared() as desk:
        found = show_named(name, desk, what="lot")
    one = found.things[0]
    if not isinstance(one, ShownLot):
        raise NotFound(reason('nothing is called "{name}"', name=name))
    return page(request, "lot.html", one.line.lot.name, one=one, lot=one.line.lot, typed=typed_before(request))


def weighed(request: Request, form: FormData) -> Response:
    """A scale's figure, typed."""
    name, bin = request.path_params["name"], desks_of(request).given
    return change(request, form, [("lots", name)], lambda: weigh(name, text(form, "grams"), bin=bin), at(name))


def moved(request: Request, form: FormData) -> Response:
    """Where it lies now."""
    name, bin = request.path_params["name"], desks_of(request).given
    return change(request, form, [("lots", name)], lambda: move(name, text(form, "place"), bin=bin), at(name))


def at(name: str) -> str:
    """The address of a lot."""
    return f"/lot/{quote(name, safe='')}"


ROUTES = [
    get("/lot/{name:path}", show),
    post("/weigh/{name:path}", weighed),
    post("/move/{name:path}", moved),
]
