"""What belongs to a thing that goes with a sweater: other colours for it, ways out, its pictures, pattern and page."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.motifs.own import known_motifs
from matcher.actions.partner.page import colours_of, partner_sheet
from matcher.actions.partner.partner import partner
from matcher.actions.partner.result import Partner
from matcher.actions.partner.words import way_words
from matcher.drawing.patch import patch_scene
from matcher.matching.pools import Pool
from matcher.matching.recolour.recolouring import Recolouring
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import reason
from matcher.web.files import on_paper
from matcher.web.jobs import Job, Jobs
from matcher.web.knitted import knitted
from matcher.web.matched import address_of, asked_of, fields_of, lots_of, named_lots, nothing_asked, wishes_of
from matcher.web.page import desks_of, how_said, is_part, page, part, style_of
from matcher.web.route import get
from matcher.web.views.pattern import answer, both
from matcher.web.views.working import shown

_WAYS = 6  # ways out that are shown, a choice


def anew(request: Request) -> Response:
    """All lots shared out anew among the roles: the best ways, each to be looked at."""
    desks, asked = desks_of(request), asked_of(request.query_params)
    if nothing_asked(asked):
        return RedirectResponse("/match", 303)
    key = _key(request, "match anew", tuple(asked.items()))

    def work(job: Job) -> Partner:
        desk = desks.fresh()
        return partner(desk, **wishes_of(asked, desk), recolour=True, progress=job.progress)

    def ready(found: Partner) -> Response:
        ways = [(one, address_of(asked, _in_roles(found, one.pools))) for one in found.recolourings]
        back = address_of(asked, {})
        return page(
            request,
            "match_anew.html",
            "In other colours",
            found=found,
            ways=ways,
            back=back,
            patch=patch_scene,
            colours=_colours,
        )

    jobs: Jobs = request.app.state.jobs
    return shown(request, jobs.of(key, reason("All lots are tried in each colour of the motif."), work), ready)


def ways_out(request: Request) -> Response:
    """What could be done where a colour is short: a page of its own, or for a script a part of the other."""
    desks, asked, lots = desks_of(request), asked_of(request.query_params), lots_of(request.query_params)
    if nothing_asked(asked):
        return RedirectResponse("/match", 303)
    key = _key(request, "match ways", tuple(asked.items()), tuple(lots))

    def work(job: Job) -> Partner:
        desk = desks.fresh()
        return partner(desk, **wishes_of(asked, desk), lots=lots, progress=job.progress)

    def ready(found: Partner) -> Response:
        ways = [
            (way_words(one), address_of(asked, one.firsts) if one.firsts else "") for one in found.exchanges[:_WAYS]
        ]
        values: dict[str, Any] = {"found": found, "ways": ways, "back": address_of(asked, named_lots(found))}
        if is_part(request):
            return part(request, "match_ways_list.html", **values)
        return page(request, "match_ways.html", "Where a colour is short", **values)

    jobs: Jobs = request.app.state.jobs
    job = jobs.of(key, reason("Other yarn, other sizes and what to buy are looked for."), work)
    if is_part(request) and not job.done:
        return part(request, "match_ways_going.html", job=job, again=f"/match/ways?{request.url.query}")
    return shown(request, job, ready)


def laid_flat(request: Request) -> Response:
    """The whole thing as it lies on a table, as a picture of its own."""
    desks, asked = desks_of(request), asked_of(request.query_params)
    if nothing_asked(asked):
        return RedirectResponse("/match", 303)
    with desks.shared() as desk:
        found = partner(desk, **wishes_of(asked, desk), lots=lots_of(request.query_params), ways=False)
    from matcher.drawing.flat_picture import flat_scene
    from matcher.drawing.scene import svg

    scene = flat_scene(found.fit, colours_of(found), desk.catalogue.fabric, style_of(request), found.accessory)
    return Response(svg(scene), media_type="image/svg+xml")


def whole_pattern(request: Request) -> Response:
    """The pattern of what is shown, before it is begun."""
    asked, lots = asked_of(request.query_params), lots_of(request.query_params)
    if nothing_asked(asked):
        return RedirectResponse("/match", 303)
    with desks_of(request).shared() as desk:
        found = partner(desk, **wishes_of(asked, desk), lots=lots, ways=False)
        whole = knitted(found.recipe.text(), desk, style_of(request), begun=False)
    begins = {"action": "/match/begin", **fields_of(asked, named_lots(found))}
    back = (address_of(asked, named_lots(found)), "what goes with the sweater")
    return answer(request, whole, back, begins if desks_of(request).is_store else None)


def sheet(request: Request) -> Response:
    """The page to print."""
    desks, asked, lots = desks_of(request), asked_of(request.query_params), lots_of(request.query_params)
    if nothing_asked(asked):
        return RedirectResponse("/match", 303)
    paper = "letter" if request.query_params.get("paper") == "letter" else "a4"
    style = style_of(request)
    key = _key(request, "match sheet", paper, how_said(request), tuple(asked.items()), tuple(lots))

    def work(_: Job) -> str:
        desk = desks.fresh()
        found = partner(desk, **wishes_of(asked, desk), lots=lots)
        return partner_sheet(found, desk.catalogue, style, paper)

    jobs: Jobs = request.app.state.jobs
    return shown(request, jobs.of(key, reason("The page is drawn."), work), on_paper)


def _key(request: Request, *asked: Hashable) -> Hashable:
    """What work is known by: what is asked, and all that it follows from; her motifs lie beside the bin."""
    desks = desks_of(request)
    with desks.shared() as desk:
        own = hash(repr([one for one in known_motifs(desk) if one.own]))
    return (*asked, desks.place, desks.state(), own)


def _in_roles(found: Partner, pools: Sequence[Pool]) -> dict[str, str]:
    return {role.role: pool.name for role, pool in zip(found.roles, pools, strict=True)}


def _colours(found: Partner, way: Recolouring) -> dict[str, Colour]:
    return {role.role: pool.colour for role, pool in zip(found.roles, way.pools, strict=True)}


ROUTES = [
    get("/match/anew", anew),
    get("/match/ways", ways_out),
    get("/match/laid", laid_flat),
    get("/match/sheet", sheet),
    *both("/match/pattern", whole_pattern),
]
