"""Work that goes on beside: how far it is, and stopping it. A view that begins some shows it with `shown`."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.web.changes import back_to
from matcher.web.jobs import Job, Jobs, result_of
from matcher.web.page import page, part
from matcher.web.route import get, post


def shown(request: Request, job: Job, show: Callable[[Any], Response], stop: str = "Stop") -> Response:
    """What came of it, where it has ended; else a page that says how far it is and comes back here by itself.

    stop: what the button says that ends it.

    Raises what the work raised.
    """
    if job.done:
        return show(result_of(job))
    back = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    return page(request, "working.html", "Working", 200, job=job, back=back, stop=stop)


def how_far(request: Request) -> Response:
    """The bar alone, asked for by a script again and again; when the work has ended the whole page is loaded anew."""
    jobs: Jobs = request.app.state.jobs
    job = jobs.named(request.path_params["name"])
    if job is None or job.done:
        return Response(status_code=204, headers={"HX-Refresh": "true"})
    return part(request, "working_bar.html", job=job)


def stop(request: Request, form: FormData) -> Response:
    """Ask it to stop."""
    jobs: Jobs = request.app.state.jobs
    jobs.stop(request.path_params["name"])
    return RedirectResponse(back_to(form, "/"), 303)


ROUTES = [get("/working/{name}", how_far), post("/working/{name}/stop", stop)]
