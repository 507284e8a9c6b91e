"""The people she knits for, and what she wishes of every suggestion: shown, changed, forgotten."""

from __future__ import annotations

from typing import get_args
from urllib.parse import quote

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from matcher.actions.keeping.people import person, written_of
from matcher.actions.keeping.wishes import wishes, written_wishes
from matcher.actions.names import find
from matcher.actions.whom.everyone import Somebody, everyone
from matcher.actions.whom.in_short import in_short
from matcher.errors import field_of
from matcher.materials.colours.vision import WHOSE
from matcher.materials.lots import MENDING
from matcher.materials.reading.names import fold
from matcher.materials.rules import CONTRASTS
from matcher.materials.wishes import WISHES
from matcher.reasons.reason import Field, Words
from matcher.reasons.style import Units
from matcher.store.sheets.columns import PEOPLE
from matcher.web.changes import change, text, typed_before
from matcher.web.page import desks_of, page
from matcher.web.route import get, post

COLUMNS = tuple(PEOPLE[name] for name in PEOPLE.typed if name != PEOPLE.thing)
_OF = {"units": get_args(Units), "least_contrast": CONTRASTS, "eyes": tuple(WHOSE), "mending": MENDING}
_HINTS = {
    "units": "of what is printed and written; this page goes by “Units, words, light”",
    "never": "kinds or single things, such as yokes; egg cosy",
    "apart": "yarns that never meet in one piece, such as mohair + cotton; fog + navy",
    "least_contrast": "how well colours must read",
    "eyes": "who else must see the contrast: colours that their eyes do not tell apart",
    "mending": "which repairs yarn is kept for",
}
_LABELS = {"never": "Never suggest", "apart": "Keep apart", "eyes": "Eyes that must see it too"}


def show(request: Request) -> Response:
    """Everybody, and the wishes."""
    desks = desks_of(request)
    known: list[tuple[Somebody, Words]] = []
    sizes: tuple[str, ...] = ()
    if desks.there:
        with desks.shared() as desk:
            known = [(one, in_short(one)) for one in everyone(desk.bin, desk.catalogue, of_gone=True)]
            written = frozenset(fold(name) for name in desk.bin.people)
            sizes = tuple(desk.catalogue.sizes.names)
    else:
        written = frozenset()
    return page(
        request,
        "people.html",
        "People and wishes",
        known=[(one, words, fold(one.name) in written) for one, words in known],
        columns=_fields(),
        cells={},
        typed=typed_before(request),
        sizes=sizes,
        eyes=tuple(WHOSE),
        kept=written_wishes(bin=desks.given) if desks.is_store else {},
        wishes=[(one, _LABELS.get(one, field_of(one)), _HINTS[one], _OF.get(one, ())) for one in WISHES],
        may_change=desks.is_store or not desks.there,
    )


def _fields() -> list[tuple[str, Field, str]]:
    return [(one.name, Field(field_of(one.name)), one.holds) for one in COLUMNS]


def show_one(request: Request) -> Response:
    """All that is written of one person, to be changed."""
    desks = desks_of(request)
    with desks.shared() as desk:
        people = {one.name: one for one in everyone(desk.bin, desk.catalogue, of_gone=True)}
        one = people[find(request.path_params["name"], people, "person")]
        worn = sorted(each.name for each in desk.bin.garments.values() if fold(each.wearer) == fold(one.name))
        sizes = tuple(desk.catalogue.sizes.names)
        is_written = any(fold(name) == fold(one.name) for name in desk.bin.people)
    return page(
        request,
        "person.html",
        one.name,
        one=one,
        short=in_short(one),
        worn=worn,
        written=is_written,
        columns=_fields(),
        cells=written_of(one.name, bin=desks.given) if desks.is_store else {},
        typed=typed_before(request),
        sizes=sizes,
        eyes=tuple(WHOSE),
    )


def add(request: Request, form: FormData) -> Response:
    """Write somebody down."""
    bin, name = desks_of(request).given, text(form, "person")
    cells = {column: typed for column, typed in _cells(form).items() if typed}
    return change(request, form, [("people", name)], lambda: person(name, cells, bin=bin), "/people")


def keep(request: Request, form: FormData) -> Response:
    """Change what is written of somebody."""
    bin, name = desks_of(request).given, request.path_params["name"]
    return change(request, form, [("people", name)], lambda: person(name, _cells(form), bin=bin), at(name))


def forget(request: Request, form: FormData) -> Response:
    """Take somebody out; garments keep the name of their wearer."""
    bin, name = desks_of(request).given, request.path_params["name"]
    return change(request, form, [("people", name)], lambda: person(name, forget=True, bin=bin), "/people")


def keep_wishes(request: Request, form: FormData) -> Response:
    """Change her wishes: those fields that the form has."""
    bin = desks_of(request).given
    wanted = {wish: text(form, wish) for wish in WISHES if wish in form}
    return change(request, form, [("wishes", one) for one in wanted], lambda: wishes(wanted, bin=bin), "/people")


def _cells(form: FormData) -> dict[str, str]:
    return {one.name: text(form, one.name) for one in COLUMNS if one.name in form}


def at(name: str) -> str:
    """The address of a person."""
    return f"/person/{quote(name, safe='')}"


ROUTES = [
    get("/people", show),
    post("/people/add", add),
    post("/people/wishes", keep_wishes),
    get("/person/{name:path}", show_one),
    post("/person/{name:path}", keep),
    post("/people/forget/{name:path}", forget),
]
