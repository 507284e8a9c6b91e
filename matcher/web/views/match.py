"""To go with a sweater: its motif on another thing, the lot of each colour changed by a tap, and begun from here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.beginning.begin_partner import begin_partner
from matcher.actions.desk import Desk
from matcher.actions.keeping.done import Done
from matcher.actions.motifs.own import known_motif, known_motifs
from matcher.actions.partner.page import colours_of, knitted_motif, motif_in_its_colours, partner_sheet
from matcher.actions.partner.partner import partner
from matcher.actions.partner.result import Partner
from matcher.actions.partner.sweaters import partners, sweaters
from matcher.actions.partner.words import contrast_words, fit_words, part_words, placed_words, way_words
from matcher.actions.whom.bodies import body_measures
from matcher.actions.whom.everyone import everyone
from matcher.drawing.patch import patch_scene
from matcher.errors import MatcherError
from matcher.matching.pools import Pool
from matcher.matching.recolour.recolouring import Recolouring
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import reason
from matcher.web import figures
from matcher.web.changes import change, text, typed_before
from matcher.web.jobs import Job, Jobs
from matcher.web.knitted import knitted
from matcher.web.page import desks_of, how_said, is_part, page, part, style_of
from matcher.web.route import get, post
from matcher.web.views.pattern import answer, both
from matcher.web.views.working import shown

_OFFERED, _ALL = 18, 300  # lots that are shown for a role, and where she asks for all; both choices
_WAYS = 6  # ways out that are shown, a choice
_ROLE = "lot "  # what the name of a role's field begins with
_TEXTS = ("garment", "accessory", "motif", "for", "size", "swatch", "ease")
_MEASURES = ("head", "hand", "neck")
_ASKED = (*_TEXTS, *_MEASURES, "fit", "sure")


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
    asked, lots = _asked(query), _lots(query)
    refused: MatcherError | None = None
    if _nothing_asked(asked):
        return RedirectResponse("/match", 303)
    with desks.shared() as desk:
        most = _ALL if query.get("all") else _OFFERED
        try:
            found = partner(desk, **_wishes(asked, desk), lots=lots, offer=0 if is_part(request) else most, ways=False)
        except MatcherError as error:
            if not lots:
                raise
            if is_part(request):
                return part(request, "match_refused.html", swap=True, said=error.shown(style_of(request)))
            # The lots that she tapped can't be: the page stays, with what she tapped and why not.
            refused, found = error, partner(desk, **_wishes(asked, desk), offer=most, ways=False)
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


def anew(request: Request) -> Response:
    """All lots shared out anew among the roles: the best ways, each to be looked at."""
    desks, asked = desks_of(request), _asked(request.query_params)
    if _nothing_asked(asked):
        return RedirectResponse("/match", 303)
    key = ("match anew", desks.place, desks.state(), tuple(asked.items()))

    def work(job: Job) -> Partner:
        desk = desks.fresh()
        return partner(desk, **_wishes(asked, desk), recolour=True, progress=job.progress)

    def ready(found: Partner) -> Response:
        ways = [(one, _address(asked, _in_roles(found, one.pools))) for one in found.recolourings]
        back = _address(asked, {})
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
    desks, asked, lots = desks_of(request), _asked(request.query_params), _lots(request.query_params)
    if _nothing_asked(asked):
        return RedirectResponse("/match", 303)
    key = ("match ways", desks.place, desks.state(), tuple(asked.items()), tuple(lots))

    def work(job: Job) -> Partner:
        desk = desks.fresh()
        return partner(desk, **_wishes(asked, desk), lots=lots, progress=job.progress)

    def ready(found: Partner) -> Response:
        ways = [(way_words(one), _address(asked, one.firsts) if one.firsts else "") for one in found.exchanges[:_WAYS]]
        values: dict[str, Any] = {"found": found, "ways": ways, "back": _address(asked, _named(found))}
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
    desks, asked = desks_of(request), _asked(request.query_params)
    if _nothing_asked(asked):
        return RedirectResponse("/match", 303)
    with desks.shared() as desk:
        found = partner(desk, **_wishes(asked, desk), lots=_lots(request.query_params), ways=False)
    from matcher.drawing.flat_picture import flat_scene
    from matcher.drawing.scene import svg

    scene = flat_scene(found.fit, colours_of(found), desk.catalogue.fabric, style_of(request), found.accessory)
    return Response(svg(scene), media_type="image/svg+xml")


def whole_pattern(request: Request) -> Response:
    """The pattern of what is shown, before it is begun."""
    asked, lots = _asked(request.query_params), _lots(request.query_params)
    if _nothing_asked(asked):
        return RedirectResponse("/match", 303)
    with desks_of(request).shared() as desk:
        found = partner(desk, **_wishes(asked, desk), lots=lots, ways=False)
        whole = knitted(found.recipe.text(), desk, style_of(request))
    given = _fields(asked, _named(found))
    back = (_address(asked, _named(found)), "what goes with the sweater")
    return answer(request, whole, back, {"action": "/match/begin", **given})


def sheet(request: Request) -> Response:
    """The page to print or keep, as one file."""
    desks, asked, lots = desks_of(request), _asked(request.query_params), _lots(request.query_params)
    if _nothing_asked(asked):
        return RedirectResponse("/match", 303)
    paper = "letter" if request.query_params.get("paper") == "letter" else "a4"
    style = style_of(request)
    key = ("match sheet", desks.place, desks.state(), paper, how_said(request), tuple(asked.items()), tuple(lots))

    def work(_: Job) -> tuple[str, bytes]:
        desk = desks.fresh()
        found = partner(desk, **_wishes(asked, desk), lots=lots)
        return f"{found.accessory.key}-{paper}.html", partner_sheet(found, desk.catalogue, style, paper)

    def ready(made: tuple[str, bytes]) -> Response:
        name, data = made
        headers = {"Content-Disposition": f'attachment; filename="{name}"'}
        return Response(data, media_type="text/html; charset=utf-8", headers=headers)

    jobs: Jobs = request.app.state.jobs
    return shown(request, jobs.of(key, reason("The page is drawn."), work), ready)


def begin(request: Request, form: FormData) -> Response:
    """Put it on the needles: its yarn is set aside."""
    desks = desks_of(request)
    fields = {name: value for name, value in form.items() if isinstance(value, str)}
    asked, lots = _asked(fields), _lots(fields)
    with desks.shared() as desk:
        found = partner(desk, **_wishes(asked, desk), lots=lots, ways=False)
    about = [("lots", lot.name) for role in found.roles for lot in role.lots]
    name, anyway = text(form, "name") or None, bool(text(form, "too_little"))

    def act() -> Done:
        return begin_partner(found, name=name, anyway=anyway, bin=desks.given)

    return change(
        request, form, about, act, _address(asked, _named(found)), lambda done: f"/work/{done.values['work']}"
    )


def _asked(given: Mapping[str, str]) -> dict[str, str]:
    return {name: given.get(name, "").strip() for name in _ASKED}


def _nothing_asked(asked: Mapping[str, str]) -> bool:
    return not asked["garment"] or not asked["accessory"]


def _lots(given: Mapping[str, str]) -> list[str]:
    """What was tapped, as the action reads it."""
    return [
        f"{name.removeprefix(_ROLE)}={value}"
        for name, value in given.items()
        if name.startswith(_ROLE) and value.strip()
    ]


def _wishes(asked: Mapping[str, str], desk: Desk) -> dict[str, Any]:
    """What she asked for as the action's plain values. Raises BadInput for what is no figure."""
    size = {name: asked[name] or None for name in ("size", "swatch")}
    measured = {f"{name}_cm": figures.cm(asked[name], f"{name} cm") for name in _MEASURES}
    return {
        **size,
        **measured,
        "garment": asked["garment"],
        "accessory": asked["accessory"],
        "whom": asked["for"] or None,
        "ease_percent": asked["ease"] or None,
        "motif": _motif_file(asked["motif"], desk),
        "fit": figures.whole(asked["fit"], "fit") or 1,
        "sure": figures.chance(asked["sure"], "sure"),
    }


def _motif_file(asked: str, desk: Desk) -> str | None:
    """Only what is known may be named here, so that no address of ours opens a file."""
    return known_motif(asked, desk).asked if asked else None


def _in_roles(found: Partner, pools: Sequence[Pool]) -> dict[str, str]:
    return {role.role: pool.name for role, pool in zip(found.roles, pools, strict=True)}


def _colours(found: Partner, way: Recolouring) -> dict[str, Colour]:
    return {role.role: pool.colour for role, pool in zip(found.roles, way.pools, strict=True)}


def _named(found: Partner) -> dict[str, str]:
    """The first lot of each role, which stands for its yarn."""
    return {role.role: role.lots[0].name for role in found.roles if role.lots}


def _fields(asked: Mapping[str, str], lots: Mapping[str, str]) -> dict[str, str]:
    """All of it as the fields of a form."""
    return {**{k: v for k, v in asked.items() if v}, **{f"{_ROLE}{role}": lot for role, lot in lots.items()}}


def _query(asked: Mapping[str, str], lots: Mapping[str, str]) -> str:
    """The same as a query, which is also how it is kept as a bookmark."""
    return urlencode(_fields(asked, lots))


def _address(asked: Mapping[str, str], lots: Mapping[str, str]) -> str:
    return f"/match/fit?{_query(asked, lots)}"


def _chosen(query: Mapping[str, str], found: Partner) -> dict[str, str]:
    """The yarn that each role is shown in: as tapped, else as it is given."""
    return {**_named(found), **{one.role: said for one in found.roles if (said := query.get(f"{_ROLE}{one.role}", ""))}}


def _outcome(request: Request, found: Partner, desk: Desk) -> dict[str, Any]:
    """All that follows from the lots of the roles."""
    asked, style = _asked(request.query_params), style_of(request)
    lots = _named(found)
    return {
        "found": found,
        "asked": asked,
        "typed": {},
        "remembers": desks_of(request).is_store,
        "picture": motif_in_its_colours(found, style),
        "patch": patch_scene(knitted_motif(found), colours_of(found), 2, style),
        "query": _query(asked, lots),
        "sits": (*fit_words(found.fit), placed_words(found.fit, found.motif)),
        "steps": part_words(found.fit, desk.catalogue.fabric),
        "contrasts": contrast_words(found.contrasts),
        "fits": [
            (number, one, _address({**asked, "fit": str(number)}, lots)) for number, one in enumerate(found.fits, 1)
        ],
        "fields": _fields(asked, lots),
    }


ROUTES = [
    get("/match", choose),
    get("/match/fit", fit),
    get("/match/anew", anew),
    get("/match/ways", ways_out),
    get("/match/laid", laid_flat),
    get("/match/sheet", sheet),
    *both("/match/pattern", whole_pattern),
    post("/match/begin", begin),
]
