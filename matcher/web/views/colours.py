"""Colours side by side: how any of them read beside each other, to whose eyes and from how far; and which of all do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.colours.contrast import (
    Contrasts,
    NamedColour,
    Pair,
    contrast,
    looked_at_in,
    lot_colour,
    typed_colour,
)
from matcher.actions.colours.lookalikes import lookalikes
from matcher.actions.colours.palette import palette
from matcher.actions.colours.pictures import pair_afar, pair_in_sights
from matcher.actions.desk import Desk
from matcher.actions.looking.lines import LotLine
from matcher.actions.looking.listing import listing
from matcher.drawing.scene import png, svg
from matcher.drawing.sights import CAPTIONS, colours_as_seen
from matcher.errors import BadInput, MatcherError
from matcher.knitting.motifs.motif import Motif
from matcher.matching.afar import afar_words
from matcher.matching.contrast import verdict_of
from matcher.materials.colours.vision import WHOSE
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Term, Words, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.web.page import desks_of, page, style_of
from matcher.web.route import get
from matcher.web.views.working import shown

MOST = 6  # colours that are laid side by side: of more nobody sees the pairs; a choice
TILES = 120  # lots that are offered at once, a choice
_PIXELS = 5.0  # of the picture from afar, for each mm of the fabric


@dataclass(frozen=True)
class Asked:
    """What she asks for: colours as (kind, text) in her order, a motif by its key, whose eyes decide."""

    colours: tuple[tuple[str, str], ...]
    motif: str
    eyes: str

    @classmethod
    def of(cls, request: Request, catalogue: Catalogue) -> Asked:
        """From the address; what is no motif of two colours and no eyes is left out."""
        given = request.query_params
        named = (one for one in given.multi_items() if one[0] in ("lot", "colour") and one[1].strip())
        colours = tuple(dict.fromkeys((kind, text.strip()) for kind, text in named))
        motif, eyes = given.get("motif", ""), given.get("eyes", "")
        return cls(colours, motif if motif in two_coloured(catalogue) else "", eyes if eyes in WHOSE else "")

    def address(self, *colours: tuple[str, str], to: str = "/colours") -> str:
        """Where some of them are shown in the same manner."""
        more = [(name, text) for name, text in (("motif", self.motif), ("eyes", self.eyes)) if text]
        return f"{to}?{urlencode([*colours, *more])}"

    def named(self, desk: Desk) -> list[NamedColour]:
        """The colours themselves. Raises NotFound, BadInput."""
        words = desk.catalogue.colour_words
        return [lot_colour(text, desk) if kind == "lot" else typed_colour(text, words) for kind, text in self.colours]


def two_coloured(catalogue: Catalogue) -> dict[str, str]:
    """Motifs in which two colours can be looked at, by key."""
    return {key: one.name for key, one in catalogue.motifs.items() if len(one.role_names) == 2}


def show(request: Request) -> Response:
    """Her lots as tiles; below two or more that were chosen, what becomes of them side by side."""
    desks = desks_of(request)
    with desks.shared() as desk:
        asked = Asked.of(request, desk.catalogue)
        tiles, of, only = _tiles(request, desk, asked)
        found, wrong = _found(request, desk, asked)
        sights = list(_sights(found, desk.catalogue)) if found else []
        motifs = sorted(two_coloured(desk.catalogue).items(), key=lambda one: one[1])
    typed = [text for kind, text in asked.colours if kind == "colour"]
    return page(
        request,
        "colours.html",
        "Colours side by side",
        200 if not wrong else 400,
        asked=asked,
        found=found,
        wrong=wrong,
        sights=sights,
        pairs=_pairs(found, asked) if found else [],
        tiles=tiles,
        of=of,
        only=only,
        typed=[*typed, "", ""][: max(2, len(typed))],
        motifs=motifs,
        eyes=[(one, Term(one)) for one in WHOSE],
    )


def _found(request: Request, desk: Desk, asked: Asked) -> tuple[Contrasts | None, str]:
    """Every pair; or why there is none that can be shown."""
    try:
        if len(asked.colours) > MOST:
            what = reason("{n} colours are too many to be laid side by side", n=len(asked.colours))
            raise BadInput(what, "", reason("choose {most} at most", most=MOST))
        named = asked.named(desk)
        if len(named) < 2:
            return None, ""
        return contrast(*named, bin=desk, motif=asked.motif or None, eyes=asked.eyes or None), ""
    except MatcherError as fault:
        return None, fault.shown(style_of(request))


def _tiles(request: Request, desk: Desk, asked: Asked) -> tuple[list[LotLine], int, dict[str, str]]:
    """Lots to choose among: those that are chosen first; of the others as many as a page can hold."""
    only = {name: request.query_params.get(f"only_{name}", "").strip() for name in ("colour", "class")}
    every = _lines(desk)
    try:
        narrows = any(only.values())
        offered = _lines(desk, colour=only["colour"] or None, weight_class=only["class"] or None) if narrows else every
    except MatcherError:  # what is no colour narrows nothing
        offered = every
    chosen = {text for kind, text in asked.colours if kind == "lot"}
    first = [one for one in every if one.lot.name in chosen]
    others = [one for one in offered if one.lot.name not in chosen]
    return [*first, *others[:TILES]], len(first) + len(others), only


def _lines(desk: Desk, **which: str | None) -> list[LotLine]:
    return [one for one in listing("lots", desk, sort="colour", **which).lines if isinstance(one, LotLine)]


def _sights(found: Contrasts, catalogue: Catalogue) -> Iterator[tuple[Words, list[NamedColour]]]:
    """The colours beside each other as each kind of eyes sees them."""
    seen = colours_as_seen({str(place): one.colour for place, one in enumerate(found.colours)}, catalogue.vision)
    for sight, looks in seen.items():
        yield CAPTIONS[sight], [NamedColour(one.name, looks[str(place)]) for place, one in enumerate(found.colours)]


@dataclass(frozen=True)
class _Shown:
    """One pair with what is said and drawn of it; figures: of each kind of eyes how far apart."""

    pair: Pair
    number: int
    afar: Words
    figures: tuple[tuple[Words, Number, Number], ...]
    alone: str
    sights: str
    distances: str


def _pairs(found: Contrasts, asked: Asked) -> list[_Shown]:
    """In the order in which they were asked for."""
    pairs = []
    for number, (pair, two) in enumerate(zip(found.pairs, combinations(asked.colours, 2), strict=True)):
        sights = pair.judged.sights.items()
        figures = tuple((CAPTIONS[sight], Number(e, 1), Number(light, 1)) for sight, (e, light) in sights)
        pictures = (asked.address(*two, to=f"/colours/{file}") for file in ("sights.svg", "afar.png"))
        pairs.append(_Shown(pair, number, afar_words(pair.afar), figures, asked.address(*two), *pictures))
    return pairs


def in_sights(request: Request) -> Response:
    """Two colours in a motif, as different eyes see it, as a picture."""
    a, b, motif, catalogue = _two(request)
    scene = pair_in_sights(a.colour, b.colour, motif, catalogue, style_of(request))
    return Response(svg(scene), media_type="image/svg+xml")


def from_afar(request: Request) -> Response:
    """The same from three distances."""
    a, b, motif, catalogue = _two(request)
    scene = pair_afar(a.colour, b.colour, motif, catalogue, style_of(request))
    return Response(png(scene, _PIXELS), media_type="image/png")


def _two(request: Request) -> tuple[NamedColour, NamedColour, Motif, Catalogue]:
    with desks_of(request).shared() as desk:
        asked = Asked.of(request, desk.catalogue)
        named = asked.named(desk)
        if len(named) != 2:
            raise BadInput(reason("a picture is of two colours"), "", reason("give two"))
        return named[0], named[1], looked_at_in(asked.motif or None, desk.catalogue), desk.catalogue


def together(request: Request) -> Response:
    """Which of all her colours read well together."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    eyes = request.query_params.get("eyes", "")
    eyes = eyes if eyes in WHOSE else ""
    job = request.app.state.jobs.of(
        ("palette", str(desks.given), desks.state(), eyes),
        reason("Holding your colours side by side"),
        lambda _: palette(desks.fresh(), eyes=eyes or None, top=20),
    )
    return shown(
        request,
        job,
        lambda found: page(
            request,
            "together.html",
            "Colours that read well together",
            found=found,
            verdict_of=verdict_of,
            eyes=[(one, Term(one)) for one in WHOSE],
            whose=eyes,
            groups=[("Two", found.pairs), ("Three", found.triples)],
            to=lambda one: f"/colours?{urlencode([('lot', pool.lots[0].name) for pool in one.pools])}",
        ),
    )


def alike(request: Request) -> Response:
    """Which lots the eye can't tell apart, and what can."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    job = request.app.state.jobs.of(
        ("lookalikes", str(desks.given), desks.state()),
        reason("Looking for lots that look alike"),
        lambda _: lookalikes(desks.fresh()),
    )
    return shown(request, job, lambda found: page(request, "alike.html", "Lots that look alike", found=found))


ROUTES = [
    get("/colours", show),
    get("/colours/sights.svg", in_sights),
    get("/colours/afar.png", from_afar),
    get("/colours/together", together),
    get("/colours/alike", alike),
]
