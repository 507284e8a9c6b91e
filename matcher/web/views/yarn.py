"""Her yarn as colours: what is free, kept and set aside, in the order and of the kind that she asks for."""

from __future__ import annotations

from itertools import groupby
from urllib.parse import quote, urlencode

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.looking.lines import LotLine
from matcher.actions.looking.listing import listing
from matcher.actions.looking.show import show as show_named
from matcher.actions.looking.things import ShownGarment, ShownLot, ShownPerson, ShownWork
from matcher.actions.looking.which import group_of
from matcher.drawing.sights import in_grey
from matcher.errors import BadInput, NotFound
from matcher.web.page import desks_of, page, style_of
from matcher.web.route import get

SORTS = (
    ("name", "name"),
    ("place", "place"),
    ("class", "thickness"),
    ("colour", "colour"),
    ("lightness", "dark to light"),
    ("garment", "garment"),
    ("free", "most free"),
    ("grams", "heaviest"),
)
ASKED = ("place", "class", "colour", "free")
A_PAGE = 150  # lots on one page, a choice: its bytes stay small and a telephone stays quick


def show(request: Request) -> Response:
    """All lots, or those that are asked for; the same words as the command's options."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    given = request.query_params
    asked = {name: given.get(name, "").strip() for name in ASKED}
    sort = given.get("sort", "name")
    with desks.shared() as desk:
        wrong = ""
        try:
            found = listing(
                "lots",
                desk,
                place=asked["place"] or None,
                weight_class=asked["class"] or None,
                colour=asked["colour"] or None,
                free=asked["free"] or None,
                sort=sort,
            )
        except (BadInput, NotFound) as fault:  # of what she asked for; it stays in its field, and all lots are shown
            wrong, found = fault.shown(style_of(request)), listing("lots", desk)
        lots = [one for one in found.lines if isinstance(one, LotLine)]
        pages = max(1, -(-len(lots) // A_PAGE))
        number = min(max(1, _number(given.get("page", ""))), pages)
        shown = lots[(number - 1) * A_PAGE : number * A_PAGE]
        places = sorted({lot.place for lot in desk.bin.lots if lot.place})
        headed = groupby(shown, lambda one: group_of(one, sort, desk.catalogue))
        groups = [(heading, list(lines)) for heading, lines in headed]
        decided = {name: one.advice for name, one in desk.decisions.items()}
    light = "grey" if given.get("light") == "grey" else "daylight"
    same = {**{name: text for name, text in asked.items() if text}, "sort": sort, "light": light}
    return page(
        request,
        "yarn.html",
        "Your yarn",
        400 if wrong else 200,
        wrong=wrong,
        found=found,
        groups=groups,
        asked=asked,
        sort=sort,
        sorts=SORTS,
        places=places,
        light=light,
        looks=in_grey if light == "grey" else lambda colour: colour,
        decided=decided,
        number=number,
        pages=[(n, f"/bin?{urlencode({**same, 'page': n})}") for n in range(1, pages + 1)],
        other_light=f"/bin?{urlencode({**same, 'light': 'daylight' if light == 'grey' else 'grey'})}",
    )


def find(request: Request) -> Response:
    """What is called so: a lot by its name or the code on its tag, a garment, a person. Raises NotFound."""
    name, desks = request.query_params.get("name", "").strip(), desks_of(request)
    if not name or not desks.there:
        return RedirectResponse("/bin", 303)
    with desks.shared() as desk:
        one = show_named(name, desk).things[0]
    if isinstance(one, ShownLot):
        return RedirectResponse(f"/lot/{quote(one.line.lot.name, safe='')}", 303)
    if isinstance(one, ShownGarment):
        return RedirectResponse(f"/garment/{quote(one.line.garment.name, safe='')}", 303)
    if isinstance(one, ShownPerson):
        return RedirectResponse(f"/person/{quote(one.line.person.name, safe='')}", 303)
    if isinstance(one, ShownWork):
        return RedirectResponse(f"/work/{one.line.number}", 303)
    return RedirectResponse(f"/why?{urlencode({'accessory': one.entry.name})}", 303)


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 7 else 1


ROUTES = [get("/bin", show), get("/find", find)]
