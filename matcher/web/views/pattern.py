"""A whole pattern: of a suggestion, of something on the needles, or of a thing that she names; to print and to keep."""

from __future__ import annotations

import re
from collections.abc import Callable

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from matcher.actions.desk import Desk
from matcher.actions.motifs.own import known_motif
from matcher.actions.pattern.files import contents
from matcher.actions.pattern.pattern import pattern
from matcher.actions.pattern.result import Patterned
from matcher.drawing.scene import svg
from matcher.errors import MatcherError, NotFound
from matcher.reasons.reason import Term, Words, reason
from matcher.web.asked import Asked
from matcher.web.files import on_paper, picture, to_keep
from matcher.web.knitted import Knitted, knitted
from matcher.web.page import desks_of, page, style_of
from matcher.web.ranked import list_job
from matcher.web.route import get
from matcher.web.views.needles import line_of
from matcher.web.views.suggestions import of_address
from matcher.web.views.working import shown

KINDS = {
    "a4": "-a4.html",
    "letter": "-letter.html",
    "svg": ".svg",
    "png": ".png",
    "txt": ".txt",
    "json": ".json",
}
"""What a pattern can be had as, by the last word of its address."""
_FIELDS = ("what", "size", "whom", "swatch", "garment", "motif")


def of_work(request: Request) -> Response:
    """The pattern of something that was begun."""
    style = style_of(request)
    with desks_of(request).shared() as desk:
        line, recipe = line_of(request)
        whole = knitted(recipe, desk, style)
    return _answer(request, whole, (f"/work/{line.number}", line.name))


def of_suggestion(request: Request) -> Response:
    """The pattern of something in the list."""
    asked = Asked.of(request)

    def show(listed: object) -> Response:
        found = of_address(request, listed)  # type: ignore[arg-type]
        style = style_of(request)
        with desks_of(request).shared() as desk:
            whole = knitted(found.recipe.text(), desk, style)
        return _answer(request, whole, (asked.at(found.address), style.say(found.one.called)))

    return shown(request, list_job(request, asked), show)


def named(request: Request) -> Response:
    """The pattern of a thing in her size and lots; or the form that asks for it."""
    asked = {name: request.query_params.get(name, "").strip() for name in _FIELDS}
    lots = [line.strip() for line in request.query_params.get("lots", "").splitlines() if line.strip()]
    with desks_of(request).shared() as desk:
        choices = {
            "things": sorted(one.name for one in desk.catalogue.accessories.values()),
            "sizes": desk.catalogue.sizes.names,
            "lot_names": sorted(lot.name for lot in desk.bin.lots),
        }
        wrong, made = "", None
        if asked["what"]:
            try:
                made = _named(desk, asked, lots)
            except MatcherError as fault:
                wrong = fault.shown(style_of(request))
    if made is not None:
        return _answer(request, Knitted(made, style_of(request), ""), ("/pattern", "the question"))
    status = 400 if wrong else 200
    return page(request, "pattern_ask.html", "A pattern", status, asked=asked, lots=lots, wrong=wrong, **choices)


def _named(desk: Desk, asked: dict[str, str], lots: list[str]) -> Patterned:
    given = {name: asked[name] or None for name in _FIELDS[1:]}
    return pattern(
        desk,
        asked["what"],
        lots,
        size=given["size"],
        whom=given["whom"],
        swatch=given["swatch"],
        garment=given["garment"],
        motif=known_motif(asked["motif"], desk).asked if asked["motif"] else None,
    )


def _answer(request: Request, whole: Knitted, back: tuple[str, str]) -> Response:
    """The page of it, or the file that is asked for. back: where it is from, and what that is called."""
    from matcher.drawing.pattern_page import head_of, steps_of, yarn_table

    kind = request.path_params.get("kind")
    if kind is not None:
        return _file(whole, kind)
    made, style = whole.made, whole.style
    return page(
        request,
        "pattern.html",
        style.sentence(Term(made.pattern.accessory.name)).rstrip("."),
        made=made,
        whole=whole,
        facts=head_of(made.pattern, style),
        yarns=yarn_table(made.pattern, made.constants, made.weighed, style),
        steps=steps_of(made.pattern, style),
        back=back,
        files=f"{request.url.path.rstrip('/')}/as/",
        query=f"?{request.url.query}" if request.url.query else "",
    )


def _file(whole: Knitted, kind: str) -> Response:
    """One of `KINDS`; or "picture" and "chart-0", which its page shows. Raises NotFound for any other."""
    if kind == "picture":
        return picture(svg(whole.picture))
    word, _, number = kind.partition("-")
    if word == "chart" and number.isdecimal() and int(number[:4]) < len(whole.charts):
        return picture(svg(whole.charts[int(number)][1]))
    ending = KINDS.get(kind)
    if ending is None:
        raise NotFound(reason("a pattern isn't written as {ending}", ending=kind), "", todo=_AS)
    data = contents(whole.made, (ending,), whole.style)[0]
    if ending.endswith(".html"):
        return on_paper(data.decode())
    name = re.sub(r"[^a-z0-9]+", "-", whole.made.recipe.accessory.casefold()).strip("-") or "pattern"
    return to_keep(data, f"{name}{ending}")


_AS: Words = reason("look at its page, which has all that it is written as")


def _both(path: str, show: Callable[[Request], Response]) -> list[Route]:
    return [get(path, show), get(f"{path}/as/{{kind}}", show)]


ROUTES = [
    *_both("/pattern", named),
    *_both("/pattern/work/{number:int}", of_work),
    *_both("/pattern/suggestion/{accessory}/{mark}", of_suggestion),
]
