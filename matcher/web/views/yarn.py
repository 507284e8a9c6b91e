"""Her yarn as colours: what is free, kept and set aside, in the order and of the kind that she asks for."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.looking.listing import listing
from matcher.web.page import desks_of, page
from matcher.web.route import get

SORTS = (
    ("name", "name"),
    ("place", "place"),
    ("class", "thickness"),
    ("colour", "colour"),
    ("free", "most free"),
    ("grams", "heaviest"),
)


def show(request: Request) -> Response:
    """All lots, or those that are asked for; the same words as the command's options."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    asked = {name: request.query_params.get(name, "").strip() for name in ("place", "class", "colour", "free")}
    sort = request.query_params.get("sort", "name")
    with desks.shared() as desk:
        found = listing(
            "lots",
            desk,
            place=asked["place"] or None,
            weight_class=asked["class"] or None,
            colour=asked["colour"] or None,
            free=asked["free"] or None,
            sort=sort,
        )
        places = sorted({lot.place for lot in desk.bin.lots if lot.place})
    light = "grey" if request.query_params.get("light") == "grey" else "daylight"
    return page(
        request, "yarn.html", "Your yarn", found=found, asked=asked, sort=sort, sorts=SORTS, places=places, light=light
    )


ROUTES = [get("/bin", show)]
