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
from matcher.web.jobs import Job
from matcher.web.page import desks_of, how_said, page, style_of
from matcher.web.route import get
from matcher.web.views.working import shown

WRITTEN = ("xlsx", "ods", "csv")
_PIXELS_A_UNIT = 2.0  # of a picture to keep; a choice
_FEW = 150  # lots that are shown each with its patch of colour; of more, a list stays small without


def show(request: Request) -> Response:
    """What there is to print and to keep."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    with desks.shared() as desk:
        lots = sorted(desk.bin.lots, key=lambda one: one.name)
    return page(
        request, "print.html", "Tags and sheets", lots=lots, papers=tuple(PAPERS), ways=WAYS, few=len(lots) <= _FEW
    )


def tags(request: Request) -> Response:
    """Tags of the lots that are ticked, of all where none is, on a sheet of its own."""
    asked, desks, style = request.query_params, desks_of(request), style_of(request)
    lots, bags, paper = tuple(asked.getlist("lot")), bool(asked.get("bags")), asked.get("paper", "a4")

    def work(job: Job) -> str:
        from matcher.drawing.tags import tags_html

        tagged = tagged_lots(desks.fresh(), lot=lots, bags=bags)
        return tags_html([one.tag for one in tagged], paper, style, job.progress)

    key = ("tags", str(desks.given), desks.state(), lots, bags, paper, how_said(request).cookie())
    job = request.app.state.jobs.of(key, reason("drawing tags"), work)
    if asked.get("keep"):
        return shown(request, job, lambda html: to_keep(html.encode("utf-8", "replace"), "tags.html"))
    return shown(request, job, on_paper)


def colours(request: Request) -> Response:
    """All colours laid out, and those that read well together."""

    def laid(found: Palette) -> Response:
        return page(
            request,
            "palette.html",
            "All your colours",
            found=found,
            ways=WAYS,
            together=(("Pairs", found.pairs), ("Three at a time", found.triples)),
            verdict=verdict_of,
            few=sum(len(lots) for _, _, lots in found.classes) <= _FEW,
        )

    return shown(request, _palette(request), laid)


def _palette(request: Request) -> Job:
    desks, by = desks_of(request), request.query_params.get("by", WAYS[0])
    key = ("colours", str(desks.given), desks.state(), by)
    job: Job = request.app.state.jobs.of(key, reason("laying out the colours"), lambda _: palette(desks.fresh(), by=by))
    return job


def picture(request: Request) -> Response:
    """The same as a picture: to be looked at on that page, or kept."""
    from matcher.drawing.scene import png, svg

    def drawn(found: Palette) -> Response:
        scene, name = found.scene(style_of(request)), request.path_params["kind"]
        if name == "png":
            return to_keep(png(scene, _PIXELS_A_UNIT), "colours.png")
        return to_keep(svg(scene).encode(), "colours.svg")

    return shown(request, _palette(request), drawn)


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
                packed.write(path, path.relative_to(to))
        return to_keep(archive.getvalue(), "yarn.zip")


ROUTES = [
    get("/print", show),
    get("/print/tags", tags),
    get("/print/colours", colours),
    get("/print/colours.{kind:str}", picture),
    get("/print/yarn", written_out),
]
