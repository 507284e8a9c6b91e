"""To go with a sweater: its motif on another thing, the lot of each colour changed by a tap, and begun from here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.beginning.begin_partner import begin_partner
from matcher.actions.desk import Desk
from matcher.actions.keeping.done import Done
from matcher.actions.motifs.own import known_motif, known_motifs
from matcher.actions.partner.page import colours_of, knitted_motif, motif_in_its_colours
from matcher.actions.partner.partner import partner
from matcher.actions.partner.result import Partner
from matcher.actions.partner.sweaters import partners, sweaters
from matcher.actions.partner.words import contrast_words, fit_words, part_words, placed_words
from matcher.actions.whom.bodies import body_measures
from matcher.actions.whom.everyone import everyone
from matcher.drawing.patch import patch_scene
from matcher.errors import MatcherError
from matcher.web.changes import change, text, typed_before
from matcher.web.matched import (
    ROLE,
    address_of,
    asked_of,
    fields_of,
    lots_of,
    named_lots,
    nothing_asked,
    query_of,
    wishes_of,
)
from matcher.web.page import desks_of, is_part, page, part, style_of
from matcher.web.route import get, post

_OFFERED, _ALL = 18, 300  # lots that are shown for a role, and where she asks for all; both choices


def choose(request: Request) -> Response:
    """Which sweater, then what is to go with it."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    garment = request.query_params.get("garment", "")
    with desks.shared() as desk:
        worn = sweaters(desk)
        entries = partners(desk) if garment else ()
        asked = request.query_params.get("motif", "")
        motif = known_motif(asked, desk).motif.name if asked else ""
    return page(
        request,
        "match.html",
        "To go with a sweater",
        sweaters=worn,
        garment=garment,
        entries=entries,
        motif=asked,
        motif_name=motif,
        patch=patch_scene,
    )


def fit(request: Request) -> Response:
    """The thing fitted, its colours to choose among; for a script only what follows from them."""
    desks, query = desks_of(request), request.query_params
    asked, lots = asked_of(query), lots_of(query)
    refused: MatcherError | None = None
    if nothing_asked(asked):
        return RedirectResponse("/match", 303)
    with desks.shared() as desk:
        most = _ALL if query.get("all") else _OFFERED
        try:
            found = partner(
                desk, **wishes_of(asked, desk), lots=lots, offer=0 if is_part(request) else most, ways=False
            )
        except MatcherError as error:
            if not lots:
                raise
            if is_part(request):
                return part(request, "match_refused.html", swap=True, said=error.shown(style_of(request)))
            # The lots that she tapped can't be: the page stays, with what she tapped and why not.
            refused, found = error, partner(desk, **wishes_of(asked, desk), offer=most, ways=False)
        values = _outcome(request, found, desk)
        if is_part(request):
            return part(request, "match_outcome.html", swap=True, **values)
        values |= {
            "typed": typed_before(request),
            "motifs": known_motifs(desk),
            "people": [one.name for one in everyone(desk.bin, desk.catalogue)],
            "sizes": found.accessory.sizes,
            "measures": body_measures(found.accessory),
        }
    title = f"{found.accessory.name} to go with {found.garment.name}"
    return page(
        request,
        "match_fit.html",
        title[:1].upper() + title[1:],
        200 if refused is None else 400,
        chosen=_chosen(query, found),
        refused=refused.shown(style_of(request)) if refused else "",
        all=bool(query.get("all")),
        **values,
    )


def begin(request: Request, form: FormData) -> Response:
    """Put it on the needles: its yarn is set aside."""
    desks = desks_of(request)
    fields = {name: value for name, value in form.items() if isinstance(value, str)}
    asked, lots = asked_of(fields), lots_of(fields)
    with desks.shared() as desk:
        found = partner(desk, **wishes_of(asked, desk), lots=lots, ways=False)
    about = [("lots", lot.name) for role in found.roles for lot in role.lots]
    name, anyway = text(form, "name") or None, bool(text(form, "too_little"))

    def act() -> Done:
        return begin_partner(found, name=name, anyway=anyway, bin=desks.given)

    return change(
        request, form, about, act, address_of(asked, named_lots(found)), lambda done: f"/work/{done.values['work']}"
    )


def _chosen(query: Mapping[str, str], found: Partner) -> dict[str, str]:
    """The yarn that each role is shown in: as tapped, else as it is given."""
    return {
        **named_lots(found),
        **{one.role: said for one in found.roles if (said := query.get(f"{ROLE}{one.role}", ""))},
    }


def _outcome(request: Request, found: Partner, desk: Desk) -> dict[str, Any]:
    """All that follows from the lots of the roles."""
    asked, style = asked_of(request.query_params), style_of(request)
    lots, contrasts = named_lots(found), contrast_words(found.contrasts)
    weakest = min(range(len(contrasts)), key=lambda place: found.contrasts[place][0].judged.reading, default=None)
    return {
        "found": found,
        "asked": asked,
        "typed": {},
        "remembers": desks_of(request).is_store,
        "picture": motif_in_its_colours(found, style),
        "patch": patch_scene(knitted_motif(found), colours_of(found), 2, style),
        "query": query_of(asked, lots),
        "sits": (*fit_words(found.fit), placed_words(found.fit, found.motif)),
        "steps": part_words(found.fit, desk.catalogue.fabric),
        "contrasts": contrasts,
        "weakest": None if weakest is None else contrasts[weakest],
        "fits": [
            (number, one, address_of({**asked, "fit": str(number)}, lots)) for number, one in enumerate(found.fits, 1)
        ],
        "fields": fields_of(asked, lots),
    }


ROUTES = [
    get("/match", choose),
    get("/match/fit", fit),
    post("/match/begin", begin),
]
