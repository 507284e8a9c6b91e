"""One change: is the thing still as she saw it, then one action, then what the action said.

A page that can change something says which action was the last when it was shown ("mark"). Where others changed the
same thing since, she is told what they did and what she was about to do, and decides; nothing is done before.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.keeping.done import Done
from matcher.actions.keeping.meanwhile import About, since
from matcher.errors import MatcherError
from matcher.reasons.style import Style
from matcher.web.page import desks_of, here, page, session_of, style_of


def text(form: FormData, name: str) -> str:
    """A field that she filled in, "" where she did not; never a file."""
    given = form.get(name, "")
    return given.strip() if isinstance(given, str) else ""


def change(
    request: Request,
    form: FormData,
    about: About,
    act: Callable[[], Done],
    to: str,
    then: Callable[[Done], str] | None = None,
) -> Response:
    """Do it, say what was done on the page `to`; or say why not, with everything that she typed still there.

    then: the page for what was done, where that is another. The form carries `mark`, and `anyway` once she has seen
    what others did meanwhile.
    """
    desks, style, session = desks_of(request), style_of(request), session_of(request)
    with desks.changing:
        meanwhile = () if text(form, "anyway") else since(text(form, "mark"), about, bin=desks.given)
        if meanwhile:
            return page(
                request,
                "meanwhile.html",
                "Changed meanwhile",
                409,
                meanwhile=meanwhile,
                fields=[(name, value) for name, value in typed(form).items() if name not in ("token", "mark")],
                to=to,
            )
        try:
            desks.check()
            done = act()
        except MatcherError as error:
            session.tell("wrong", error.shown(style))
            session.typed = (to.partition("?")[0].replace("%2F", "/"), typed(form))
            return RedirectResponse(to, status_code=303)
    tell_done(request, done, style)
    return RedirectResponse(then(done) if then else to, status_code=303)


def tell_done(request: Request, done: Done, style: Style) -> None:
    """What an action said, for the next page."""
    session = session_of(request)
    for one in done.said:
        session.tell("short" if done.short else "done", style.say(one))
    for one in done.notes:
        session.tell("note", style.say(one))


def back_to(form: FormData, otherwise: str) -> str:
    """The page that a form came from, as its field `to` says it; never one of another site."""
    to = text(form, "to")
    return to if to.startswith("/") and not to.startswith(("//", "/\\")) else otherwise


def typed(form: FormData) -> dict[str, str]:
    """The fields of a form as text; files are left out."""
    return {name: value for name, value in form.items() if isinstance(value, str)}


def typed_before(request: Request) -> Mapping[str, str]:
    """What she typed on this page before it was refused, so that nothing has to be typed twice."""
    session = session_of(request)
    (where, cells), session.typed = session.typed, ("", {})
    return cells if where == here(request) else {}
