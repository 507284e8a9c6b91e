"""Several things at once from one bin: what she wants as a form, the set as pictures and bars, and beginning all of it.

What is asked stands in the address, so that it can be kept as a bookmark; it is looked for once she says so (`go`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any
from urllib.parse import quote, urlencode

from starlette.datastructures import FormData, QueryParams
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.beginning.begin_set import begin_set
from matcher.actions.sets.page import json_of, page_of
from matcher.actions.sets.plan import plan_set
from matcher.actions.sets.result import PlannedSet, Sets
from matcher.actions.sets.told import how_good, how_it_differs, how_near, so_far, sure_words
from matcher.actions.whom.everyone import everyone
from matcher.errors import BadInput, MatcherError, NotFound
from matcher.matching.sets.aims import BEST, FEW, MOST, USE_UP
from matcher.materials.colours.vision import WHOSE
from matcher.reasons.reason import Action, Field, reason
from matcher.web import figures
from matcher.web.changes import change, text
from matcher.web.files import on_paper, to_keep
from matcher.web.jobs import Job, Jobs, result_of
from matcher.web.page import desks_of, how_said, page, style_of
from matcher.web.route import get, post
from matcher.web.views.working import shown

AIMS = (
    (BEST, "the best things"),
    (USE_UP, "as much yarn used as can be"),
    (FEW, "as few part-used lots left as can be"),
    (MOST, "as many things as can be"),
)
TIMES_S = (5, 20, 60, 180)  # how long she may let it look; choices, of which the second is the usual
_MANY = ("want", "keep", "must", "for")
_ONE = ("match", "aim", "sure", "time", "alternatives", "eyes", "people", "different")


@dataclass(frozen=True)
class Asked:
    """What stands in the address: each field as she filled it in."""

    many: Mapping[str, tuple[str, ...]]
    one: Mapping[str, str]
    go: bool

    @classmethod
    def of(cls, given: QueryParams) -> Asked:
        """Read it; what is empty is not asked."""
        many = {name: tuple(dict.fromkeys(filter(None, map(str.strip, given.getlist(name))))) for name in _MANY}
        return cls(many, {name: given.get(name, "").strip() for name in _ONE}, bool(given.get("go")))

    @property
    def address(self) -> str:
        """The same as an address of `/several`, without its beginning."""
        fields = [(name, value) for name, values in self.many.items() for value in values]
        fields += [(name, value) for name, value in self.one.items() if value]
        return urlencode([*fields, *([("go", "yes")] if self.go else [])], quote_via=quote)

    def wishes(self) -> dict[str, Any]:
        """As `plan_set` takes it. Raises BadInput."""
        one = self.one
        others, seconds = (figures.whole(one[name], name) for name in ("alternatives", "time"))
        return {
            "want": self.many["want"],
            "people": bool(one["people"]),
            "match": one["match"] or None,
            "aim": one["aim"] or BEST,
            "each_different": bool(one["different"]),
            "keep": self.many["keep"],
            "must": self.many["must"],
            "sure": figures.chance(one["sure"], "sure"),
            "time_limit": float(TIMES_S[1] if seconds is None else min(seconds, TIMES_S[-1])),
            "alternatives": others or 0,
            "whom": self.many["for"],
            "eyes": one["eyes"] or None,
        }


def show(request: Request) -> Response:
    """The form; and the set, once it is asked for."""
    if not desks_of(request).there:
        return RedirectResponse("/", 303)
    asked = Asked.of(request.query_params)
    if not asked.go:
        return page(request, "several.html", "Several at once", **_form(request, asked), found=None)
    try:
        job = _job(request, asked)
        return shown(request, job, partial(_found, request, asked, job), stop="Stop, and show the best so far")
    except MatcherError as error:  # shown above the form, with all that she asked for still in it
        wrong = error.shown(style_of(request))
        return page(request, "several.html", "Several at once", 400, **_form(request, asked), found=None, wrong=wrong)


def _form(request: Request, asked: Asked) -> dict[str, Any]:
    with desks_of(request).shared() as desk:
        people = [one.name for one in everyone(desk.bin, desk.catalogue)]
        lots = sorted(lot.name for lot in desk.bin.lots)
        garments = sorted(desk.bin.garments)
    choices = {"people": people, "lots": lots, "garments": garments, "aims": AIMS, "times": TIMES_S, "eyes": WHOSE}
    return {"asked": asked, **choices}


def _job(request: Request, asked: Asked) -> Job:
    """The search for it, which gives the best so far where she stops it."""
    desks, jobs, wishes = desks_of(request), request.app.state.jobs, asked.wishes()

    def work(job: Job) -> Sets:
        def tell(objective: float, bound: float) -> None:
            job.stage = so_far(wishes["aim"], objective, bound)

        return plan_set(desks.fresh(), **wishes, progress=tell, stop=job.asked_to_stop.is_set)

    key = ("set", str(desks.given), desks.state(), tuple(sorted(wishes.items())))
    found: Job = jobs.of(key, reason("looking for what goes together"), work)
    return found


def _found(request: Request, asked: Asked, job: Job, found: Sets) -> Response:
    number = _number(request.query_params.get("show", ""), found)
    sheet = _sheet(request, job, found, number)
    best, planned = found.best, found.every[number]
    others = [
        (place, other, how_it_differs(other, best), how_near(other, best, found.aim))
        for place, other in enumerate(found.every)
        if place
    ]
    return shown(
        request,
        sheet,
        lambda drawn: page(
            request,
            "several.html",
            "Several at once",
            **_form(request, asked),
            found=found,
            planned=planned,
            drawn=drawn,
            number=number,
            sure=sure_words(planned),
            good=how_good(best, found.aim) if not number else how_near(planned, best, found.aim),
            others=others,
            job=job,
            stopped=job.asked_to_stop.is_set() and not best.proved,
            address=asked.address,
        ),
    )


def _sheet(request: Request, job: Job, found: Sets, number: int) -> Job:
    """A set drawn, in the words of this browser."""
    jobs: Jobs = request.app.state.jobs
    style, planned = style_of(request), found.every[number]
    key = ("set drawn", job.name, number, how_said(request).cookie())
    return jobs.of(key, reason("drawing"), lambda _: page_of(found, planned, style))


def _number(text: str, found: Sets) -> int:
    number = figures.whole(text, "show") or 0
    if number >= len(found.every):
        raise NotFound(reason("there is no set {number}", number=number))
    return number


def paper(request: Request) -> Response:
    """The set as pages to print, or as a file that the command line takes."""
    from matcher.drawing.page import page_html

    asked, style = Asked.of(request.query_params), style_of(request)
    if not asked.go:
        return RedirectResponse("/several", 303)
    job = _job(request, asked)

    def written(found: Sets) -> Response:
        number = _number(request.query_params.get("show", ""), found)
        if request.query_params.get("paper") == "file":
            return to_keep(json_of(found, style), "set.json")
        sheet = _sheet(request, job, found, number)
        return shown(
            request,
            sheet,
            lambda drawn: on_paper(page_html(drawn, request.query_params.get("paper", "a4"), style)),
        )

    return shown(request, job, written)


def begin(request: Request, form: FormData) -> Response:
    """Begin all of a set as it was shown, or nothing of it."""
    desks, jobs = desks_of(request), request.app.state.jobs
    back = f"/several?{text(form, '_address')}"
    job = jobs.named(text(form, "_job"))
    planned = _shown_set(job, text(form, "_number"))
    about = [("lots", one.lot.name) for one in planned.lots]
    anyway = bool(text(form, "short"))
    return change(
        request,
        form,
        about,
        lambda: begin_set(planned.recipes, anyway=anyway, bin=desks.given),
        back,
        then=lambda _: "/needles",
    )


def _shown_set(job: Job | None, number: str) -> PlannedSet:
    if job is None or not job.done or not isinstance(job.result, Sets):
        todo = reason("{set} plans it anew", set=Action("set"))
        raise BadInput(reason("that set was planned too long ago"), Field("number"), todo)
    found: Sets = result_of(job)
    return found.every[_number(number, found)]


ROUTES = [get("/several", show), get("/several/paper", paper), post("/several/begin", begin)]
