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
from matcher.errors import MatcherError, NotFound
from matcher.reasons.reason import Words, reason
from matcher.web.asked import Asked
from matcher.web.files import on_paper, to_keep
from matcher.web.knitted import knitted
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
        made = knitted(recipe, desk, style).made
    return _answer(request, made, (f"/work/{line.number}", line.name))


def of_suggestion(request: Request) -> Response:
    """The pattern of something in the list."""
    asked = Asked.of(request)

    def show(listed: object) -> Response:
        found = of_address(request, listed)  # type: ignore[arg-type]
        style = style_of(request)
        with desks_of(request).shared() as desk:
            made = knitted(found.recipe.text(), desk, style).made
        return _answer(request, made, (asked.at(found.address), style.say(found.one.called)))

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
        return _answer(request, made, ("/pattern", "another pattern"))
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


def _answer(request: Request, made: Patterned, back: tuple[str, str]) -> Response:
    """The page of it, or the file that is asked for. back: where it is from, and what that is called."""
    kind = request.path_params.get("kind")
    if kind is not None:
        return _file(made, kind, request)
    from matcher.drawing.pattern_page import pattern_page

    whole = pattern_page(made.pattern, made.constants, made.colours, made.weighed, style_of(request))
    files = f"{request.url.path.rstrip('/')}/as/"
    query = f"?{request.url.query}" if request.url.query else ""
    return page(request, "pattern.html", whole.title, made=made, whole=whole, back=back, files=files, query=query)


def _file(made: Patterned, kind: str, request: Request) -> Response:
    ending = KINDS.get(kind)
    if ending is None:
        raise NotFound(reason("a pattern isn't written as {ending}", ending=kind), "", todo=_AS)
    data = contents(made, (ending,), style_of(request))[0]
    if ending.endswith(".html"):
        return on_paper(data.decode())
    name = re.sub(r"[^a-z0-9]+", "-", made.recipe.accessory.casefold()).strip("-") or "pattern"
    return to_keep(data, f"{name}{ending}")


_AS: Words = reason("look at its page, which has all that it is written as")


def _both(path: str, show: Callable[[Request], Response]) -> list[Route]:
    return [get(path, show), get(f"{path}/as/{{kind}}", show)]


ROUTES = [
    *_both("/pattern", named),
    *_both("/pattern/work/{number:int}", of_work),
    *_both("/pattern/suggestion/{accessory}/{mark}", of_suggestion),
]
