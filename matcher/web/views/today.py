"""The first page: what she has, what is begun, what wants doing; where nothing is there yet, three ways to begin."""

from __future__ import annotations

from pathlib import Path

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.looking.overview import overview
from matcher.web.page import desks_of, page, session_of
from matcher.web.route import get, post

_NAMED = 12  # lots without a label that are named here, a choice


def show(request: Request) -> Response:
    """The whole in a few lines."""
    desks = desks_of(request)
    whole = overview(desks.place) if desks.place is not None else None
    return page(request, "today.html", "Today", whole=whole if whole and whole.lots else None, named=_NAMED)


def demo(request: Request, _: FormData) -> Response:
    """Look round in the demo: in a copy that remembers, so that everything can be tried."""
    from matcher.actions.keeping.intake import intake

    desks = request.app.state.demo
    with desks.changing:
        if not desks.is_store:
            intake("demo", bin=Path(desks.given), yes=True)
    session_of(request).demo = True
    return RedirectResponse("/", 303)


def leave(request: Request, _: FormData) -> Response:
    """Back to her own bin."""
    session_of(request).demo = False
    return RedirectResponse("/", 303)


ROUTES = [get("/", show), post("/demo", demo), post("/demo/leave", leave)]
