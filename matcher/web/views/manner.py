"""How the page speaks: units, the sign before decimals, words of the trade, light or dark."""

from __future__ import annotations

from typing import get_args

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.reasons.style import Units
from matcher.web.changes import text
from matcher.web.page import page
from matcher.web.route import get, post
from matcher.web.session import DECIMALS, SAID, THEMES, TRADE, HowSaid

_A_YEAR_S = 365 * 24 * 3600
_UNITS = ("metres, grams, centimetres", "yards, ounces, inches", "yards, grams, inches")
_TRADE = ("American: bind off, gauge", "British: cast off, tension")
_THEMES = ("as this device has it", "light", "dark")
CHOICES = tuple(
    (name, legend, tuple(zip(values, words, strict=True)))
    for name, legend, values, words in (
        ("units", "Units", get_args(Units), _UNITS),
        ("decimal", "Decimals", tuple(DECIMALS), ("1.5", "1,5")),
        ("trade", "Words of the trade", TRADE, _TRADE),
        ("theme", "Light", THEMES, _THEMES),
    )
)


def show(request: Request) -> Response:
    """The choices."""
    return page(request, "manner.html", "Units, words, light", choices=CHOICES)


def keep(request: Request, form: FormData) -> Response:
    """Keep them in this browser."""
    said = HowSaid.read(".".join(text(form, name) for name in ("units", "decimal", "trade", "theme")))
    answer = RedirectResponse("/manner", status_code=303)
    answer.set_cookie(SAID, said.cookie(), max_age=_A_YEAR_S, httponly=True, samesite="strict")
    return answer


ROUTES = [get("/manner", show), post("/manner", keep)]
