"""What goes out of the page: tags to cut out, all colours on a sheet, the whole bin as workbook or sheets."""

from __future__ import annotations

import io
import tempfile
import zipfile
from pathlib import Path

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.colours.palette import WAYS, Palette, palette
from matcher.actions.keeping.export import export
from matcher.actions.keeping.tags import tagged_lots
from matcher.drawing.papers import PAPERS
from matcher.errors import BadInput
from matcher.matching.contrast import verdict_of
from matcher.reasons.reason import Field, Term, listed, reason
from matcher.web.files import on_paper, to_keep
from matcher.web.page import desks_of, page, style_of
from matcher.web.route import get

WRITTEN = ("xlsx", "ods", "csv")
_PIXELS_A_UNIT = 2.0  # of a picture to keep; a choice


def show(request: Request) -> Response:
    """What there is to print and to keep."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    with desks.shared() as desk:
        lots = sorted(desk.bin.lots, key=lambda one: one.name)
    return page(request, "print.html", "Tags and sheets", lots=lots, papers=tuple(PAPERS), ways=WAYS)


def tags(request: Request) -> Response:
    """Tags of the lots that are ticked, of all where none is, on a sheet of its own."""
    from matcher.drawing.tags import tags_html

    asked, style = request.query_params, style_of(request)
    with desks_of(request).shared() as desk:
        tagged = tagged_lots(desk, lot=asked.getlist("lot"), bags=bool(asked.get("bags")))
    html = tags_html([one.tag for one in tagged], asked.get("paper", "a4"), style)
    return to_keep(html.encode("utf-8", "replace"), "tags.html") if asked.get("keep") else on_paper(html)


def colours(request: Request) -> Response:
    """All colours laid out, and those that read well together."""
    found = _palette(request)
    scene = found.scene(style_of(request))
    together = (("Pairs", found.pairs), ("Three at a time", found.triples))
    title, verdict = "All your colours", verdict_of
    return page(request, "palette.html", title, found=found, scene=scene, ways=WAYS, together=together, verdict=verdict)


def _palette(request: Request) -> Palette:
    with desks_of(request).shared() as desk:
        return palette(desk, by=request.query_params.get("by", WAYS[0]))


def picture(request: Request) -> Response:
    """The same as a picture to keep."""
    from matcher.drawing.scene import png, svg

    scene = _palette(request).scene(style_of(request))
    if request.path_params["kind"] == "svg":
        return to_keep(svg(scene).encode(), "colours.svg")
    return to_keep(png(scene, _PIXELS_A_UNIT), "colours.png")


def written_out(request: Request) -> Response:
    """The whole bin as a workbook, or as sheets in one archive; `intake` reads each of them back."""
    kind, bin = request.query_params.get("kind", "xlsx"), desks_of(request).given
    if kind not in WRITTEN:
        todo = reason("take {kinds}", kinds=listed(map(Term, WRITTEN), "or"))
        raise BadInput(reason('"{kind}" isn\'t a kind of file', kind=kind), Field("kind"), todo)
    with tempfile.TemporaryDirectory(prefix="matcher-out-") as folder:
        to = Path(folder) / ("sheets" if kind == "csv" else f"yarn.{kind}")
        found = export(to, bin, as_written=bool(request.query_params.get("as-written")))
        if kind != "csv":
            return to_keep(to.read_bytes(), f"yarn.{kind}")
        archive = io.BytesIO()
        with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as packed:
            for path in found.written:
                packed.write(path, path.name)
        return to_keep(archive.getvalue(), "yarn.zip")


ROUTES = [
    get("/print", show),
    get("/print/tags", tags),
    get("/print/colours", colours),
    get("/print/colours.{kind:str}", picture),
    get("/print/yarn", written_out),
]
