"""From a request to a view and back: a view is a plain function, and what it raises becomes a page.

`get("/bin", show)` for `show(request)`; `post("/bin/add", add)` for `add(request, form)`, whose form has brought its
session's token. Views run on threads of their own, so that one that reckons keeps nobody waiting.
"""

from __future__ import annotations

import logging
from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route

from matcher.actions.keeping.meanwhile import Last, last_done
from matcher.errors import MatcherError, NotFound
from matcher.web.desks import Desks
from matcher.web.guard import TooLarge, TooSlow, right_token
from matcher.web.page import desks_of, outside, page, session_of, style_of

_MOST_FILES, _MOST_FIELDS, _MOST_TEXT = 20, 4000, 1_000_000  # of one form, the text in letters; choices
Show = Callable[[Request], Response]
Change = Callable[[Request, FormData], Response]
log = logging.getLogger("matcher.web")


def get(path: str, show: Show) -> Route:
    """A page to look at."""

    async def answer(request: Request) -> Response:
        shown = await run_in_threadpool(_answer, request, lambda: show(request))
        request.app.state.later.load_beside()
        return shown

    return Route(path, answer, methods=["GET"], name=f"{show.__module__}.{show.__qualname__}")


def post(path: str, change: Change) -> Route:
    """A form that is sent in."""

    async def answer(request: Request) -> Response:
        try:
            form = await request.form(max_files=_MOST_FILES, max_fields=_MOST_FIELDS)
        except (TooLarge, TooSlow, ClientDisconnect, HTTPException):
            raise
        except Exception:  # whatever a parser makes of what is no form
            raise HTTPException(400) from None
        try:
            if sum(len(one) for _, one in form.multi_items() if isinstance(one, str)) > _MOST_TEXT:
                raise HTTPException(400)  # files may be large; what is typed is kept in memory
            given = form.get("token") or request.headers.get("x-matcher-token", "")
            if not isinstance(given, str) or not right_token(session_of(request), given):
                return await run_in_threadpool(_answer, request, lambda: stale(request))
            return await run_in_threadpool(_answer, request, lambda: change(request, form))
        finally:
            await form.close()

    return Route(path, answer, methods=["POST"], name=f"{change.__module__}.{change.__qualname__}")


def _answer(request: Request, view: Callable[[], Response]) -> Response:
    # Whoever stands before the door is told nothing of what was done.
    request.state.last = None if outside(request) else last_of(desks_of(request))
    try:
        return view()
    except MatcherError as error:
        status = 404 if isinstance(error, NotFound) else 400
        return page(request, "wrong.html", "That can't be shown", status, said=error.shown(style_of(request)))
    except OSError as fault:  # the system's own word on a place: no permission, a disk that is gone
        why = (fault.strerror or "no reason given").lower()
        return page(request, "wrong.html", "That can't be shown", 400, said=f"A file can't be used ({why}).")
    except Exception as fault:
        log.error("a fault of matcher's own: %s in %s", type(fault).__name__, request.scope["route"].name)
        log.debug("where", exc_info=True)
        return page(request, "wrong.html", "A fault of ours", 500, said="", ours=True)


def stale(request: Request) -> Response:
    """Said of a form whose token is not this session's: the server was begun anew since, or it is no form of ours."""
    return page(request, "stale.html", "This page has grown old", 403)


def last_of(desks: Desks) -> Last | None:
    """The last action, which every page offers to take back; None where it can't be read."""
    try:
        return last_done(desks.given) if desks.is_store else None
    except (MatcherError, OSError):  # the view that reads the store says what is wrong with it
        return None
