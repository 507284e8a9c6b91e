"""A page: a template filled with what an action returned, said in her manner."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from matcher.actions.keeping.meanwhile import NOTHING
from matcher.errors import MatcherError
from matcher.reasons.quantities import Chance, GaugeFigures, Length, Mass, Measure, Share
from matcher.reasons.style import Sayable, Style
from matcher.reasons.visible import visible
from matcher.web.desks import Desks
from matcher.web.session import SAID, HowSaid, Session

if TYPE_CHECKING:
    from matcher.materials.colours.colour import Colour

NAVIGATION: tuple[tuple[str, str], ...] = (
    ("/", "Today"),
    ("/bin", "Yarn"),
    ("/suggestions", "What it could become"),
    ("/colours", "Colours"),
    ("/needles", "On the needles"),
)
"""Pages that stand at the top of every page, in the order in which she is likely to want them."""
MORE: tuple[tuple[str, str], ...] = (
    ("/garments", "Garments"),
    ("/match", "To go with a sweater"),
    ("/several", "Several at once"),
    ("/gap", "What to buy"),
    ("/pile", "Sort the pile"),
    ("/intake", "Take in a workbook"),
    ("/photograph", "Colours from a photograph"),
    ("/motifs", "Draw a motif"),
    ("/print", "Tags and sheets"),
    ("/people", "People and wishes"),
    ("/knitting", "How you knit"),
    ("/done", "What was done"),
    ("/manner", "Units, words, light"),
)
"""The others, under "More"."""


def session_of(request: Request) -> Session:
    """The browser's session, which the guard found or began."""
    found: Session = request.state.session
    return found


def outside(request: Request) -> bool:
    """Whether it comes from the home network and has not given the pass phrase."""
    return bool(getattr(request.state, "outside", False))


def desks_of(request: Request) -> Desks:
    """The bin that this browser looks at: hers, or the demo where she asked for it."""
    own: Desks = request.app.state.own
    demo: Desks = request.app.state.demo
    return demo if session_of(request).demo else own


def here(request: Request) -> str:
    """The address that was asked for, without its question, as it can stand in a link."""
    return quote(request.scope["path"], safe="/")


def how_said(request: Request) -> HowSaid:
    """How this browser is spoken to."""
    return HowSaid.read(request.cookies.get(SAID, ""))


def style_of(request: Request) -> Style:
    """The words of this page."""
    return how_said(request).style()


def page(request: Request, template: str, title: str, status: int = 200, **values: Any) -> HTMLResponse:
    """Fill a template. title: what the page is called, in its heading, in the browser's history and aloud."""
    said, session = how_said(request), session_of(request)
    style = said.style()
    desks = desks_of(request)
    whole = {
        "request": request,
        "title": title,
        "manner": said,
        **_sayings(style),
        "navigation": () if outside(request) else NAVIGATION,
        "more": () if outside(request) else MORE,
        "here": here(request),
        "token": session.token,
        "messages": _together(session.told()),
        "demo": session.demo,
        "remembers": _remembers(desks),
        **_last(request),
        **values,
    }
    return HTMLResponse(environment().get_template(template).render(whole), status)


def _together(messages: list[tuple[str, str]]) -> list[tuple[str, list[str]]]:
    """Messages of one kind that follow each other, as one."""
    return [(kind, [said for _, said in several]) for kind, several in groupby(messages, key=lambda one: one[0])]


def part(request: Request, template: str, **values: Any) -> HTMLResponse:
    """A piece of a page, put in place by a script; messages wait for the next whole page."""
    style = style_of(request)
    whole = {
        "request": request,
        "manner": how_said(request),
        **_sayings(style),
        "token": session_of(request).token,
        **_last(request),
        **values,
    }
    return HTMLResponse(environment().get_template(template).render(whole))


def _remembers(desks: Desks) -> bool:
    """Whether what is done is remembered; what is wrong with the bin is said by the view that reads it."""
    try:
        return desks.is_store
    except (MatcherError, OSError):
        return False


def _sayings(style: Style) -> dict[str, Any]:
    """How templates put values into words."""

    def quantity(kind: Callable[[float], Sayable]) -> Callable[[float], str]:
        return lambda value: style.say(kind(float(value)))

    return {
        "style": style,
        "say": lambda what: visible(style.say(what)),
        "sentence": lambda what: visible(style.sentence(what)),
        "metres": quantity(Length),
        "grams": quantity(Mass),
        "cm": quantity(Measure),
        "chance": lambda value, decimals=0: style.say(Chance(float(value), decimals)),
        "gauge": lambda one: style.say(GaugeFigures(one.stitches_10cm, one.rows_10cm)),
        "share": quantity(Share),
    }


def _last(request: Request) -> dict[str, Any]:
    """The last action, found before the view read anything, so that nothing done since can be missed."""
    last = request.state.last
    return {"last": last, "mark": last.mark if last else NOTHING}


def is_part(request: Request) -> bool:
    """Whether a script asks for a piece of the page only."""
    return request.headers.get("hx-request") == "true" and request.headers.get("hx-boosted") != "true"


def chip(colour: Colour | None, size: int = 28) -> Markup:
    """A patch of a lot's colours, as wide as their shares; dashed where it is guessed. Hidden from a reader of the
    page aloud: the name stands beside it."""
    if colour is None:
        return Markup("")
    left, strips = 0.0, []
    for code, share in colour.patches():
        width = 28.0 * share
        strips.append(f'<rect x="{left:.2f}" width="{width + 0.2:.2f}" height="28" fill="{code}"/>')
        left += width
    dash = ' stroke-dasharray="3 2"' if colour.guessed else ""
    frame = f'<rect class="rim" x=".5" y=".5" width="27" height="27" fill="none"{dash}/>'
    return Markup(  # codes are made from figures
        f'<svg class="chip" width="{size}" height="{size}" viewBox="0 0 28 28" preserveAspectRatio="none" '
        f'aria-hidden="true">'
        f"{''.join(strips)}{frame}</svg>"
    )


def drawing(scene: Any, names: str = "o") -> Markup:
    """A scene of `drawing` as a picture inside the page; what is written in it is escaped there."""
    from matcher.drawing.scene import svg

    return Markup(svg(scene, names))


@cache
def environment() -> Environment:
    """The templates; everything that goes into one is escaped, and a name that is not there is a fault."""
    made = Environment(
        loader=PackageLoader("matcher.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(chip=chip, drawing=drawing)
    return made


STATIC = Path(__file__).parent / "static"
