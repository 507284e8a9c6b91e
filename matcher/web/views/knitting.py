"""How she knits: what her finished pieces and swatches say of the figures; a swatch written down; figures to share."""

from __future__ import annotations

from typing import TypeVar

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response

from matcher.actions.keeping.done import Done
from matcher.actions.learning.calibration import calibration, label_of, ratio_of, spread_of
from matcher.actions.learning.share import shared_rows, shared_text
from matcher.actions.learning.swatch import swatch
from matcher.errors import BadInput
from matcher.reasons.quantities import GaugeFigures, Length, Share
from matcher.reasons.reason import Field, Term, reason
from matcher.web import figures
from matcher.web.changes import change, text, typed_before
from matcher.web.files import to_keep
from matcher.web.page import desks_of, page, style_of
from matcher.web.route import get, post

_T = TypeVar("_T")
_SHOWN = 200  # of what was noted, the newest first; a choice


def show(request: Request) -> Response:
    """What to expect next, the plot, and what was noted."""
    desks = desks_of(request)
    with desks.shared() as desk:
        found = calibration(desk)
        lots = [lot.name for lot in desk.bin.lots] if desks.there else []
        structures = [(one.name, Term(one.words)) for one in desk.catalogue.fabric.structures.values()]
    history, prior = found.history, found.calibration.prior
    return page(
        request,
        "knitting.html",
        "How you knit",
        found=found,
        scene=found.scene(style_of(request)) if history.noted else None,
        expected=[
            (one.words, _signed(ratio_of(one.now)), Share(spread_of(one.now)), Share(prior.shared_sd(one.structure)))
            for one in found.next
        ],
        noted=[
            (label_of(one), one, Length(one.used_m), Length(one.predicted_m), _signed(one.ratio), history.counts(one))
            for one in reversed(history.noted[-_SHOWN:])
        ],
        shared=shared_text(shared_rows(found)) if history.counted else "",
        lots=lots,
        structures=structures,
        typed=typed_before(request),
    )


def _signed(ratio: float) -> Share:
    return Share(ratio - 1.0, signed=True)


def weigh_swatch(request: Request, form: FormData) -> Response:
    """Note a swatch, so that every need follows her loop."""
    bin = desks_of(request).given

    def act() -> Done:
        found = swatch(
            text(form, "lot") or None,
            stitches=_needed(figures.whole(text(form, "stitches"), "stitches"), "stitches"),
            rows=_needed(figures.whole(text(form, "rows"), "rows"), "rows"),
            grams=_needed(figures.grams(text(form, "grams"), "grams"), "grams"),
            structure=text(form, "structure") or "stocking",
            tex=figures.number(text(form, "tex"), "tex"),
            size=text(form, "size") or None,
            note=text(form, "note"),
            bin=bin,
        )
        gauge = found.gauge
        measured = () if gauge is None else (GaugeFigures(gauge.stitches_10cm, gauge.rows_10cm),)
        of_gauge = tuple(reason("Your gauge: {gauge}.", gauge=one) for one in measured)
        return Done((*found.words, found.took, *of_gauge), found.as_dict())

    return change(request, form, (), act, "/knitting")


def _needed(value: _T | None, field: str) -> _T:
    if value is None:
        raise BadInput(reason("nothing is written there"), Field(field), reason("fill it in"))
    return value


def figures_to_share(request: Request) -> Response:
    """The bare figures as a file, the same that the page shows."""
    found = calibration(desks_of(request).fresh())
    return to_keep(shared_text(shared_rows(found)).encode(), "figures.csv")


def plot(request: Request) -> Response:
    """The plot as a picture to keep."""
    from matcher.drawing.scene import png, svg

    scene, kind = calibration(desks_of(request).fresh()).scene(style_of(request)), request.path_params["kind"]
    return to_keep(png(scene, 2.0), "knitting.png") if kind == "png" else to_keep(svg(scene).encode(), "knitting.svg")


ROUTES = [
    get("/knitting", show),
    post("/knitting/swatch", weigh_swatch),
    get("/knitting/figures.csv", figures_to_share),
    get("/knitting/plot.{kind:str}", plot),
]
