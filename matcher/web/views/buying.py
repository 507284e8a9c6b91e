"""What to buy that makes most possible, and which lots could stand in for another: asked in the address."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.instead.instead import instead
from matcher.actions.instead.result import Instead
from matcher.actions.ranking.gap import gap
from matcher.actions.ranking.gap_files import heading_of, page_of, scene_of
from matcher.actions.ranking.gaps import Gaps, balls_of
from matcher.actions.sets.gap import gap_of_set
from matcher.actions.whom.everyone import everyone
from matcher.errors import BadInput, MatcherError, field_of
from matcher.knitting.accessory import KINDS
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.vision import WHOSE
from matcher.reasons.reason import Field, Term, listed, reason
from matcher.store.sheets.columns import LOTS
from matcher.web import figures
from matcher.web.files import on_paper
from matcher.web.jobs import Job
from matcher.web.page import desks_of, page, style_of
from matcher.web.route import get
from matcher.web.views.working import shown

_THINGS = ("kind", "size", "accessory", "single")
# Of a lot's columns those that tell what its yarn is like.
YARN = tuple(LOTS[name] for name in LOTS.typed if name == "colour" or LOTS[name].yarn)
_ASKED = ("lot", "metres", "sure", "any-colour", *(one.name for one in YARN))
_WAYS = 5  # ways to stand in that are shown; a choice


def show_gap(request: Request) -> Response:
    """The form; and the purchases, once they are asked for."""
    if not desks_of(request).there:
        return RedirectResponse("/", 303)
    title, form = "What to buy", _gap_form(request)
    if not request.query_params.get("go"):
        return page(request, "gap.html", title, **form, found=None)
    try:
        return shown(request, _gap_job(request), partial(_gap_found, request))
    except MatcherError as error:
        return page(request, "gap.html", title, 400, **form, found=None, wrong=error.shown(style_of(request)))


def _gap_form(request: Request) -> dict[str, Any]:
    with desks_of(request).shared() as desk:
        people = [one.name for one in everyone(desk.bin, desk.catalogue)]
        sizes, things = desk.catalogue.sizes.names, [one.name for one in desk.catalogue.accessories.values()]
    asked = {name: request.query_params.get(name, "").strip() for name in ("want", *_THINGS, "sure", "most", "eyes")}
    whom = request.query_params.getlist("for")
    kinds = [(one, Term(one)) for one in KINDS]
    choices = {"people": people, "sizes": sizes, "things": things, "kinds": kinds, "eyes": WHOSE}
    return {"asked": asked, "whom": whom, **choices}


def _gap_job(request: Request) -> Job:
    """Purchases for a set where wants are given, else for whatever can't be made. Raises BadInput."""
    desks, given = desks_of(request), request.query_params
    asked = {name: given.get(name, "").strip() for name in ("want", *_THINGS)}
    wishes: dict[str, Any] = {
        "whom": tuple(given.getlist("for")),
        "sure": figures.chance(given.get("sure", ""), "sure"),
        "most_grams": figures.grams(given.get("most", ""), "most grams"),
        "eyes": given.get("eyes", "") or None,
    }
    if asked["want"]:
        if others := [Field(name) for name in _THINGS if asked[name]]:
            todo = reason("leave out the one or the other")
            where = listed((Field("want"), *others), "and")
            raise BadInput(reason("a set says by itself what is wanted"), where, todo)
        act: Callable[..., Gaps] = gap_of_set
        wishes["want"] = asked["want"]
    else:
        act = gap
        wishes |= {name: (asked[name],) if asked[name] else () for name in ("kind", "size")}
        wishes |= {"accessory": asked["accessory"] or None, "held_together": not asked["single"]}

    def work(job: Job) -> Gaps:
        return act(desks.fresh(), **wishes, progress=job.progress, stage=job.begin)

    key = ("gap", str(desks.given), desks.state(), tuple(sorted(wishes.items())))
    found: Job = request.app.state.jobs.of(key, reason("which single purchase would make most possible"), work)
    return found


def _gap_found(request: Request, found: Gaps) -> Response:
    style = style_of(request)
    purchases = [
        (
            heading_of(number, one),
            one,
            [(Term(word), _patch(lab)) for word, lab in one.examples],
            [(opened.suggestion, _fewer(opened.balls, one.purchase.offer)) for opened in one.opens],
        )
        for number, one in enumerate(found.to_buy, 1)
    ]
    scene = scene_of(found, style) if found.to_buy else None
    return page(
        request, "gap.html", "What to buy", **_gap_form(request), found=found, purchases=purchases, scene=scene,
        address=request.url.query,
    )  # fmt: skip


def _fewer(balls: int, offer: Any) -> Any:
    return balls_of(balls, offer.ball_g) if balls < offer.balls else ""


def _patch(lab: Lab) -> Colour:
    return Colour("solid", ((lab, 1.0),))


def gap_paper(request: Request) -> Response:
    """The same as a page to take along."""
    from matcher.drawing.page import page_html

    if not request.query_params.get("go"):
        return RedirectResponse("/gap", 303)
    style, paper = style_of(request), request.query_params.get("paper", "a4")
    return shown(request, _gap_job(request), lambda found: on_paper(page_html(page_of(found, style), paper, style)))


def show_instead(request: Request) -> Response:
    """What could stand in for a lot, or for a yarn that she describes."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    given = request.query_params
    asked = {name: given.get(name, "").strip() for name in _ASKED}
    with desks.shared() as desk:
        lots = sorted(lot.name for lot in desk.bin.lots)
    fields = [(one.name, Field(field_of(one.name)), one.holds) for one in YARN]
    form: dict[str, Any] = {"asked": asked, "lots": lots, "fields": fields}
    if not any(asked.values()):
        return page(request, "instead.html", "What could stand in", **form, found=None)
    try:
        job = _instead_job(request, asked)
        return shown(
            request, job, lambda found: page(request, "instead.html", "What could stand in", **form, found=found)
        )
    except MatcherError as error:
        wrong = error.shown(style_of(request))
        return page(request, "instead.html", "What could stand in", 400, **form, found=None, wrong=wrong)


def _instead_job(request: Request, asked: Mapping[str, str]) -> Job:
    desks = desks_of(request)
    cells = {one.name: asked[one.name] for one in YARN if asked[one.name]}
    wishes: dict[str, Any] = {
        "metres": asked["metres"] or None,
        "any_colour": bool(asked["any-colour"]),
        "sure": figures.chance(asked["sure"], "sure"),
        "top": _WAYS,
    }

    def work(_: Job) -> Instead:
        return instead(asked["lot"] or None, cells, **wishes, bin=desks.fresh())

    key = ("instead", str(desks.given), desks.state(), tuple(sorted(asked.items())))
    found: Job = request.app.state.jobs.of(key, reason("looking for what could stand in"), work)
    return found


ROUTES = [get("/gap", show_gap), get("/gap/paper", gap_paper), get("/instead", show_instead)]
