"""A first few lots, typed by colour and grams: from nothing to a first suggestion."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from matcher.actions.keeping.add_several import add_several
from matcher.actions.keeping.done import Done
from matcher.errors import BadRows, MatcherError
from matcher.web.changes import change, text, typed_before
from matcher.web.page import desks_of, page, session_of, style_of
from matcher.web.route import get, post

ROWS = 5
FIELDS = ("colour", "grams", "class", "ball_metres", "lot")
_FAULTS = "what was wrong with the rows"


def show(request: Request) -> Response:
    """The table, with what she typed where a row was refused."""
    desks_of(request).check()
    faults = session_of(request).kept.pop(_FAULTS, {})
    return page(
        request,
        "begin.html",
        "Type in a few lots",
        rows=ROWS,
        typed=typed_before(request),
        faults=faults,
    )


def add(request: Request, form: FormData) -> Response:
    """All of them, or none."""
    bin, session = desks_of(request).given, session_of(request)
    rows = [{name: text(form, f"{name}-{row}") for name in FIELDS} for row in range(ROWS)]

    def act() -> Done:
        try:
            return add_several(rows, bin=bin)
        except BadRows as error:
            session.kept[_FAULTS] = _said(request, error.rows)
            raise

    return change(request, form, (), act, "/begin", lambda _: "/suggestions")


def _said(request: Request, rows: Mapping[int, MatcherError]) -> dict[int, str]:
    return {row: error.shown(style_of(request)) for row, error in rows.items()}


ROUTES = [get("/begin", show), post("/begin", add)]
