"""Every address of the page: the routes of all views."""

from __future__ import annotations

from starlette.routing import Route

from matcher.web.views import (
    begin,
    buying,
    colours,
    done,
    door,
    garment,
    intake,
    knitting,
    lot,
    manner,
    match,
    match_more,
    motifs,
    needles,
    pattern,
    people,
    photograph,
    pile,
    printing,
    several,
    suggestions,
    today,
    why,
    working,
    yarn,
)

VIEWS = (
    suggestions,
    today,
    yarn,
    lot,
    done,
    door,
    photograph,
    intake,
    manner,
    working,
    pile,
    people,
    knitting,
    printing,
    begin,
    several,
    match,
    match_more,
    motifs,
    buying,
    needles,
    pattern,
    why,
    garment,
    colours,
)


def routes() -> list[Route]:
    """All of them."""
    return [route for view in VIEWS for route in view.ROUTES]
