"""Why something is in the list or not, and what would let it in."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.ranking.answer import BELOW, LISTED, Answer
from matcher.actions.ranking.why_not import why
from matcher.errors import MatcherError
from matcher.reasons.reason import reason
from matcher.web.asked import Asked
from matcher.web.jobs import Job
from matcher.web.page import desks_of, page, style_of
from matcher.web.ranked import apart, stands_at
from matcher.web.route import get
from matcher.web.views.working import shown


def show(request: Request) -> Response:
    """The question, and where it is asked the answer."""
    desks, given = desks_of(request), request.query_params
    if not desks.there:
        return RedirectResponse("/", 303)
    asked = Asked.of(request)
    accessory, lot, size = (given.get(name, "").strip() for name in ("accessory", "lot", "size"))
    with desks.shared() as shared:
        choices = {
            "things": sorted(one.name for one in shared.catalogue.accessories.values()),
            "lots": sorted(one.name for one in shared.bin.lots),
            "sizes": shared.catalogue.sizes.names,
        }
        desk, stands = apart(shared), stands_at(shared)
    known: dict[str, Any] = {"accessory": accessory, "lot": lot, "size": size, "asked": asked, **choices}
    if not accessory:
        return page(request, "why.html", "Why, and why not", found=None, **known)
    options = asked.of_why()

    def work(job: Job) -> Answer:
        return why(desk, accessory=accessory, lot=lot or None, size=size or None, stage=job.begin, **options)

    def answered(found: Answer) -> Response:
        named = found.accessory.name
        known["accessory"] = named
        return page(request, "why.html", "Why, and why not", found=found, LISTED=LISTED, BELOW=BELOW, **known)

    key = ("why", str(desks.given), stands, accessory, lot, size, asked)
    job = request.app.state.jobs.of(key, reason("Looking why, and what would change it."), work)
    try:
        return shown(request, job, answered)
    except MatcherError as fault:
        wrong = fault.shown(style_of(request))
        return page(request, "why.html", "Why, and why not", 400, found=None, wrong=wrong, **known)


ROUTES = [get("/why", show)]
