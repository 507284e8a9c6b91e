"""The door of the home network: the pass phrase typed; and for who is inside, the way to her phone."""

from __future__ import annotations

import math
from urllib.parse import urlsplit

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.reasons.reason import Words, counted, reason
from matcher.web.changes import text
from matcher.web.home import Door
from matcher.web.page import outside, page, session_of, style_of
from matcher.web.qr import qr_picture
from matcher.web.route import get, post
from matcher.web.sent import sent_in
from matcher.web.session import COOKIE, Sessions


def show(request: Request) -> Response:
    """The phrase is asked for; inside, the address for a phone."""
    home: str = request.app.state.home
    if outside(request):
        return _closed(request)
    return page(
        request,
        "door.html",
        "On your phone",
        home=home,
        qr=qr_picture(home) if home else "",
        here=session_of(request).inside and request.url.netloc != urlsplit(home).netloc,
        https=home.startswith("https:"),
    )


def enter(request: Request, form: FormData) -> Response:
    """The phrase was typed: whoever knows it gets a new session, so that nobody can have laid one out beforehand."""
    door: Door | None = request.app.state.door
    if door is None or not outside(request):
        return RedirectResponse("/", 303)
    address = request.client.host if request.client else ""
    wait_s = door.wait_s(address)
    if wait_s > 0:
        return _closed(request, _wait(reason("Too many tries."), wait_s), 429, wait_s)
    if not door.right(text(form, "phrase"), address):
        wait_s = door.wait_s(address)
        return _closed(request, _wait(reason("That isn't the pass phrase."), wait_s), 403, wait_s)
    sessions: Sessions = request.app.state.sessions
    sessions.end(session_of(request))
    new = sessions.begin()
    new.inside = True
    answer = RedirectResponse("/", 303)
    secure = request.url.scheme == "https"
    answer.set_cookie(COOKIE, new.name, path="/", httponly=True, samesite="strict", secure=secure)
    return answer


def leave(request: Request, _: FormData) -> Response:
    """This browser is outside again, and what it sent in goes."""
    sessions: Sessions = request.app.state.sessions
    for one in sent_in(request).of(session_of(request).name):
        sent_in(request).drop(one)
    sessions.end(session_of(request))
    return RedirectResponse("/door" if request.app.state.door is not None else "/", 303)


def _closed(request: Request, said: Words = "", status: int = 200, wait_s: float = 0.0) -> Response:
    answer = page(request, "door_closed.html", "Who is there?", status, said=style_of(request).say(said))
    if wait_s > 0:
        answer.headers["Retry-After"] = str(math.ceil(wait_s))
    return answer


def _wait(what: Words, wait_s: float) -> Words:
    seconds = math.ceil(wait_s)
    return counted(seconds, "{what} Try again in {n} second.", "{what} Try again in {n} seconds.", what=what)


ROUTES = [get("/door", show), post("/door", enter), post("/door/leave", leave)]
