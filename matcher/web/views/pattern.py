"""A whole pattern: of a suggestion, of something on the needles, or of a thing that she names; to print and to keep."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import parse_qsl

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from matcher.actions.beginning.begin import begin
from matcher.actions.desk import Desk
from matcher.actions.motifs.own import known_motif
from matcher.actions.pattern.files import contents
from matcher.actions.pattern.pattern import pattern
from matcher.actions.pattern.result import Patterned
from matcher.drawing.scene import svg
from matcher.errors import MatcherError, NotFound
from matcher.reasons.reason import Term, Words, reason
from matcher.store.recipes import Recipe
from matcher.web.asked import Asked
from matcher.web.changes import change, text, typed_before
from matcher.web.files import on_paper, picture, to_keep
from matcher.web.knitted import Knitted, knitted
from matcher.web.page import desks_of, page, style_of
from matcher.web.ranked import list_job
from matcher.web.route import get, post
from matcher.web.views.needles import line_of
from matcher.web.views.suggestions import of_address, thought_of
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
    return answer(request, whole, (f"/work/{line.number}", line.name))


def of_suggestion(request: Request) -> Response:
    """The pattern of something in the list; of what she liked before, though it is in the list no more."""
    asked, mark, style = Asked.of(request), request.path_params["mark"], style_of(request)
    liked = thought_of(request, mark)

    def drawn(recipe: Recipe, back: tuple[str, str]) -> Response:
        with desks_of(request).shared() as desk:
            whole = knitted(recipe.text(), desk, style, begun=False)
        begins = {"action": f"/suggestion/{recipe.accessory}/{mark}/begin", "asked": asked.query, "from": "pattern"}
        return answer(request, whole, back, begins)

    def listed(found: Any) -> Response:
        one = of_address(request, found)
        return drawn(one.recipe, (asked.at(one.address), style.say(one.one.called)))

    if liked is not None:
        return drawn(liked.recipe, (asked.at("/suggestions"), "the list"))
    return shown(request, list_job(request, asked), listed)


def named(request: Request) -> Response:
    """The pattern of a thing in her size and lots; or the form that asks for it."""
    asked, lots = _asked(request.query_params)
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
        begins = {"action": "/pattern/begin", "query": str(request.url.query)}
        return answer(request, Knitted(made, style_of(request), ""), ("/pattern", "the question"), begins)
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


def begun(request: Request, form: FormData) -> Response:
    """Put on the needles what a page of a named pattern shows."""
    desks, query = desks_of(request), text(form, "query")
    asked, lots = _asked(dict(parse_qsl(query, max_num_fields=100)))
    with desks.shared() as desk:
        recipe = _named(desk, asked, lots).recipe
    name, anyway = text(form, "name") or None, bool(text(form, "too_little"))
    return change(
        request,
        form,
        [("lots", lot) for lot in recipe.lots],
        lambda: begin(recipe=recipe, name=name, anyway=anyway, bin=desks.fresh()),
        f"/pattern?{query}",
        then=lambda done: f"/work/{done.values['work']}",
    )


def _asked(given: Mapping[str, str]) -> tuple[dict[str, str], list[str]]:
    """What is to be knitted, and the lots of its roles, as they stand in an address."""
    lots = [line.strip() for line in given.get("lots", "").splitlines() if line.strip()]
    return {name: given.get(name, "").strip() for name in _FIELDS}, lots


def answer(
    request: Request, whole: Knitted, back: tuple[str, str], begins: Mapping[str, str] | None = None
) -> Response:
    """The page of it, or the file that is asked for.

    back: where it is from, and what that is called. begins: the form that puts it on the needles, None for none.
    """
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
        begins=begins if desks_of(request).is_store else None,
        typed=typed_before(request),
        files=f"{request.url.path.rstrip('/')}/as/",
        query=f"?{request.url.query}" if request.url.query else "",
    )


def _file(whole: Knitted, kind: str) -> Response:
    """One of `KINDS`; or "picture" and "chart-0", which its page shows. Raises NotFound for any other."""
    if kind == "picture":
        return picture(svg(whole.picture))
    word, _, number = kind.partition("-")
    if word == "chart" and number.isdecimal() and len(number) < 5 and int(number) < len(whole.charts):
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


def both(path: str, show: Callable[[Request], Response]) -> list[Route]:
    """A pattern at that address, and below it the files that it can be had as."""
    return [get(path, show), get(f"{path}/as/{{kind}}", show)]


ROUTES = [
    *both("/pattern", named),
    post("/pattern/begin", begun),
    *both("/pattern/work/{number:int}", of_work),
    *both("/pattern/suggestion/{accessory}/{mark}", of_suggestion),
]
