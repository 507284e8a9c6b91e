"""Sorting the pile: one lot after the other with what the figures advise, and her decision by one press."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import quote, urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.keeping.triage import decide, triage
from matcher.matching.triage import ADVICE, BAG, FREE, TAG, Advice
from matcher.materials.lots import KEEP
from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Amount
from matcher.reasons.reason import Term
from matcher.web.changes import change, text
from matcher.web.page import desks_of, page
from matcher.web.route import get, post

_SHOWN = 60  # lots of a list below the card: the page of a thousand stays small


def show(request: Request) -> Response:
    """The lot that is asked for, else the first that she hasn't decided on; of one place, where she asks for that."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    place, wanted = (request.query_params.get(name, "").strip() for name in ("place", "lot"))
    with desks.shared() as desk:
        found = triage(desk)
    pile = [one for one in found.advice if not place or fold(one.lot.place) == fold(place)]
    left = [one for one in pile if not one.decided_on]
    card = next((one for one in pile if wanted and fold(one.lot.name) == fold(wanted)), left[0] if left else None)
    return page(
        request,
        "pile.html",
        "Sort the pile",
        card=card,
        free=card and Amount(card.free_m, card.lot.tex_on_scale),
        choices=[] if card is None else _choices(card),
        further=card and _further(pile, card),
        skip=lambda name: address(name, place),
        decided=[(one, Term(one.advice)) for one in pile if one.decided_on],
        left=[(one, Term(one.advice)) for one in left],
        shown=_SHOWN,
        of=len(pile),
        place=place,
        places=sorted({one.lot.place for one in found.advice if one.lot.place}),
        cautions=found.cautions if card is not None else (),
    )


def _choices(card: Advice) -> list[tuple[str, Term]]:
    """What she can decide: what is advised first, then what she is likely to want."""
    return [(one, Term(one)) for one in dict.fromkeys((card.advice, KEEP, FREE, BAG, TAG, *ADVICE))]


def _further(pile: Sequence[Advice], card: Advice) -> str:
    """The next lot that she hasn't decided on, round to the first; "" for none."""
    at = next(place for place, one in enumerate(pile) if one.lot.name == card.lot.name)
    return next((one.lot.name for one in (*pile[at + 1 :], *pile[:at]) if not one.decided_on), "")


def address(lot: str, place: str) -> str:
    """The card of a lot in the pile of a place."""
    asked = {name: value for name, value in (("lot", lot), ("place", place)) if value}
    return f"/pile?{urlencode(asked, quote_via=quote)}" if asked else "/pile"


def decided(request: Request, form: FormData) -> Response:
    """Write her decision down and go on with the next lot."""
    bin, lot = desks_of(request).given, text(form, "lot")
    to = address(text(form, "_further"), text(form, "_place"))
    return change(request, form, [("lots", lot)], lambda: decide(lot, text(form, "decide"), bin=bin), to)


def forgotten(request: Request, form: FormData) -> Response:
    """Take a decision back: the figures advise again."""
    bin, lot = desks_of(request).given, text(form, "lot")
    return change(request, form, [("lots", lot)], lambda: decide(lot, "", bin=bin), address(lot, text(form, "_place")))


ROUTES = [get("/pile", show), post("/pile/decide", decided), post("/pile/forget", forgotten)]
