"""Drawing a motif: begun anew, or from the catalogue, a garment, a picture; counted as it is drawn; kept by her bin."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any, cast

from markupsafe import Markup
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.desk import Desk
from matcher.actions.keeping.done import Done
from matcher.actions.motifs.own import (
    Drawn,
    drawn_motif,
    drawn_of,
    keep_motif,
    known_motif,
    known_motifs,
    plain_motif,
)
from matcher.actions.motifs.words import (
    apart_words,
    light_words,
    look_words,
    pair_words,
    row_words,
    size_words,
    touch_words,
)
from matcher.actions.partner.sweaters import sweaters
from matcher.drawing.motif_picture import motif_scene
from matcher.drawing.patch import patch_scene
from matcher.drawing.scene import Scene, svg
from matcher.errors import BadInput, MatcherError, NotFound
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Bin
from matcher.reasons.reason import Field, counted, reason
from matcher.store.motifs.files import MARKS, ReadMotif, read_motif_bytes
from matcher.web import figures
from matcher.web.changes import change, text, typed, typed_before
from matcher.web.page import desks_of, drawing, page, part, session_of, style_of
from matcher.web.route import get, post

MOST_TAPPED = 4800  # stitches that are drawn by tapping; a larger grid is drawn as text. A choice: 60 by 80
_DRAFTS, _KNITTED = 12, 800  # drawings that a browser keeps, and stitches that are drawn as knitted; both choices
_LARGEST_PICTURE = 4_000_000  # bytes
_SHOWN_IN = "in "  # what the name of a role's lot begins with
_STITCHES, _ROWS = 12, 12
Draft = tuple[str, dict[str, str]]


def choose(request: Request) -> Response:
    """What to begin with."""
    desks = desks_of(request)
    with _desk(request) as desk:
        known = known_motifs(desk)
        worn = [one for one in sweaters(desk) if one.motif is not None] if desks.there else []
    return page(
        request,
        "motifs.html",
        "Draw a motif",
        own=[one for one in known if one.own],
        held=[one for one in known if not one.own],
        worn=worn,
        patch=_patch,
        stitches=_STITCHES,
        rows=_ROWS,
        file=request.query_params.get("said", ""),
    )


def draw(request: Request) -> Response:
    """One that is there already, to be drawn on, or an empty grid."""
    query = request.query_params
    of, garment = query.get("of", ""), query.get("garment", "")
    lots: dict[str, str] = {}
    with _desk(request) as desk:
        if of:
            motif = known_motif(of, desk).motif
        elif garment:
            worn = next((one for one in sweaters(desk) if one.garment.name == garment), None)
            if worn is None or worn.motif is None:
                raise NotFound(reason('no motif of a garment "{name}" is there', name=garment))
            motif, lots = worn.motif, {role: pool.name for role, pool in worn.pools.items()}
        else:
            stitches = figures.whole(query.get("stitches", ""), "stitches")
            rows = figures.whole(query.get("rows", ""), "rows")
            motif = plain_motif(_STITCHES if stitches is None else stitches, _ROWS if rows is None else rows)
        drawn = drawn_of(ReadMotif(motif, {}), lots, desk)
    return _editor(request, drawn.text, lots, drawn)


def draft(request: Request) -> Response:
    """A drawing that this browser keeps until it is closed."""
    name = request.path_params["name"]
    words, lots = _kept(request, name)
    return _editor(request, words, lots, *_counted(request, words, lots), draft=name)


def small(request: Request) -> Response:
    """The small picture of a motif in greys, as a file of its own, so that a page of many stays light."""
    with _desk(request) as desk:
        motif = known_motif(request.path_params["of"], desk).motif
    scene = patch_scene(motif, None, _across(motif, 24), style_of(request))
    return Response(svg(scene), media_type="image/svg+xml")


def look(request: Request, form: FormData) -> Response:
    """Without a script: the text as it is typed, counted and shown."""
    return RedirectResponse(_address(_keep_draft(request, text(form, "text"), _lots(form), text(form, "draft"))), 303)


def count(request: Request, form: FormData) -> Response:
    """While it is drawn: what is counted on it, and its picture; it is kept for this browser meanwhile."""
    words, lots = text(form, "text"), _lots(form)
    drawn, wrong = _counted(request, words, lots)
    kept = _keep_draft(request, words, lots, text(form, "draft"))
    return part(request, "motif_counts.html", draft=kept, **_values(request, drawn, wrong))


def picture(request: Request, form: FormData) -> Response:
    """From a picture of one pixel a stitch, or a text grid: read, and opened as a drawing."""
    given = form.get("picture")
    if not isinstance(given, UploadFile) or not given.filename:
        raise BadInput(reason("no picture is chosen"), Field("picture"), reason("choose a PNG, a GIF or a text grid"))
    data = given.file.read(_LARGEST_PICTURE + 1)
    if len(data) > _LARGEST_PICTURE:
        raise BadInput(
            reason("the picture is larger than {n} MB, which no motif is", n=_LARGEST_PICTURE // 1_000_000),
            Field("picture"),
            reason("give one pixel a stitch"),
        )
    read = read_motif_bytes(data, given.filename)
    with _desk(request) as desk:
        words = drawn_of(read, {}, desk).text
    return RedirectResponse(_address(_keep_draft(request, words, dict(read.colours))), 303)


def keep(request: Request, form: FormData) -> Response:
    """Write it into a file beside her bin, over another one only where she says so."""
    words = text(form, "text")
    to = _address(_keep_draft(request, words, _lots(form), text(form, "draft")))
    with _desk(request) as desk:
        beside = desk

    def act() -> Done:
        return keep_motif(words, beside, replace=bool(text(form, "replace")))

    return change(request, form, (), act, to)


@contextmanager
def _desk(request: Request) -> Iterator[Desk]:
    """Her desk, or an empty one before she has a bin: a motif can be drawn without any yarn."""
    desks = desks_of(request)
    if not desks.there:
        yield Desk(Bin(()), desks.catalogue)
        return
    with desks.shared() as desk:
        yield desk


def _editor(
    request: Request, words: str, lots: dict[str, str], drawn: Drawn | None, wrong: str = "", draft: str = ""
) -> Response:
    desks = desks_of(request)
    with _desk(request) as desk:
        names = [lot.name for lot in desk.bin.lots] if desks.there else []
        files = {one.asked: one.motif for one in known_motifs(desk) if one.own}
    motif = drawn.counted.motif if drawn else None
    same = [file for file, one in files.items() if motif is not None and _same(one, motif)]
    return page(
        request,
        "motif.html",
        motif.name if motif else "A motif",
        text=words,
        typed=typed_before(request),
        lots=lots,
        names=names,
        marks=MARKS,
        most=MOST_TAPPED,
        kept_as=same[0] if same else "",
        there=desks.there,
        draft=draft,
        **_values(request, drawn, wrong),
    )


def _same(one: Motif, other: Motif) -> bool:
    return (one.name, one.grid, one.roles) == (other.name, other.grid, other.roles)


def _values(request: Request, drawn: Drawn | None, wrong: str) -> dict[str, Any]:
    """What stands beside a drawing; drawn: None where the text is no motif, and `wrong` says why."""
    if drawn is None:
        return {"drawn": None, "wrong": wrong}
    found, style = drawn.counted, style_of(request)
    motif = found.motif
    return {
        "drawn": drawn,
        "wrong": "",
        "motif": motif,
        "counted": found,
        "size": size_words(motif),
        "told": (row_words(found), *light_words(found), *touch_words(found), *apart_words(found)),
        "pairs": [(pair_words(found, one), look_words(one)) for one in found.meetings],
        "picture": _picture(drawn, style_of(request)),
        "stitches": lambda n: style.say(counted(n, "{n} stitch", "{n} stitches")),
        "grid": {
            "name": motif.name,
            "roles": [[mark, role] for mark, role in motif.roles.items()],
            "rows": list(motif.grid) if motif.size <= MOST_TAPPED else [],
            "codes": drawn.codes,
            "floats": [max(row.longest_floats.values()) for row in found.rows],
            "heads": {"source": motif.source, "how_obtained": motif.how_obtained, "licence": motif.licence},
        },
    }


def _picture(drawn: Drawn, style: Any) -> Scene:
    """Several repeats beside and above one another: as knitted, or of a large one plainly."""
    motif = drawn.counted.motif
    across, up = _across(motif), max(1, min(3, 24 // motif.height))
    if motif.size * across * up > _KNITTED:
        return patch_scene(motif, drawn.shown, across, style, up=up)
    return motif_scene(motif, drawn.shown, repeats=(across, up), style=style)


def _across(motif: Motif, most: int = 36) -> int:
    """How often a motif is shown side by side, so that it is seen how it repeats."""
    return max(1, min(4, most // motif.width))


def _patch(motif: Motif, names: str, colours: Mapping[str, Colour]) -> Markup:
    """The small picture of a motif in its colours, in a list."""
    return drawing(patch_scene(motif, colours, _across(motif, 24)), names)


def _counted(request: Request, words: str, lots: dict[str, str]) -> tuple[Drawn | None, str]:
    """A drawing counted, or why it can't be."""
    with _desk(request) as desk:
        try:
            return drawn_motif(words, lots, desk), ""
        except MatcherError as error:
            return None, error.shown(style_of(request))


def _lots(form: FormData) -> dict[str, str]:
    given = typed(form).items()
    return {name.removeprefix(_SHOWN_IN): value.strip() for name, value in given if name.startswith(_SHOWN_IN)}


def _drafts(request: Request) -> OrderedDict[str, Draft]:
    found = session_of(request).kept.setdefault("motifs", OrderedDict())
    return cast("OrderedDict[str, Draft]", found)


def _keep_draft(request: Request, words: str, lots: dict[str, str], name: str = "") -> str:
    """Keep a drawing for this browser, in place of the one of that name if there is one; what it is called."""
    drafts = _drafts(request)
    name = name if name in drafts else secrets.token_urlsafe(6)
    drafts[name] = (words, lots)
    drafts.move_to_end(name)
    while len(drafts) > _DRAFTS:
        drafts.popitem(last=False)
    return name


def _address(name: str) -> str:
    return f"/motif/draft/{name}"


def _kept(request: Request, name: str) -> Draft:
    drafts = _drafts(request)
    if name not in drafts:
        raise NotFound(reason("that drawing is no longer kept"), todo=reason("begin it again, or open one you kept"))
    return drafts[name]


ROUTES = [
    get("/motifs", choose),
    get("/motif", draw),
    get("/motif/draft/{name}", draft),
    get("/motif/patch/{of}", small),
    post("/motif/look", look),
    post("/motif/count", count),
    post("/motif/picture", picture),
    post("/motif/keep", keep),
]
