"""What was done, the last thing first; and taking back the last."""

from __future__ import annotations

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.keeping.done import Done
from matcher.actions.keeping.meanwhile import last_done
from matcher.actions.keeping.store import done_lately, undo
from matcher.errors import BadInput
from matcher.reasons.reason import reason
from matcher.web.changes import back_to, tell_done, text
from matcher.web.page import desks_of, page, session_of, style_of
from matcher.web.route import get, post

_SHOWN = 100


def show(request: Request) -> Response:
    """The last actions."""
    desks = desks_of(request)
    actions = done_lately(_SHOWN, bin=desks.given).values["actions"] if desks.is_store else ()
    return page(request, "done.html", "What was done", actions=actions)


def take_back(request: Request, form: FormData) -> Response:
    """Take back the last action, if it is still the one that she saw."""
    desks, session = desks_of(request), session_of(request)
    with desks.changing:
        last = last_done(desks.given) if desks.is_store else None
        if last is None or last.mark != text(form, "mark"):
            now = reason("the last thing done is now: {words}", words=last.words if last else "nothing")
            error = BadInput(reason("something else was done meanwhile"), "", now)
            session.tell("wrong", error.shown(style_of(request)))
        else:
            undone: Done = undo(bin=desks.given)
            tell_done(request, undone, style_of(request))
    return RedirectResponse(back_to(form, "/done"), 303)


ROUTES = [get("/done", show), post("/undo", take_back)]
