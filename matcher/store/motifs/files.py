"""A knitter's own motif files: text grids and pictures of one pixel a stitch, read and written.

Whatever the file's name ends in, its content decides what it is. A picture is turned into the text of a motif file
and read as that, so that both kinds obey the same rules. The top row of a picture is the top of the knitting.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from matcher.errors import BadInput, CatalogueError, NotFound
from matcher.knitting.motifs.motif import BOTTOM_UP, OWN_TALLEST, OWN_WIDEST, Motif, parse_motif
from matcher.materials.reading.names import LONGEST_NAME
from matcher.reasons.reason import Words, reason
from matcher.reasons.visible import visible
from matcher.store.files import read_file
from matcher.store.motifs.pixels import MOST_ROLES, Pixels, is_picture, pixels_png, read_pixels

# Far above what the largest grid takes (a choice); beyond it the file is not even read.
_MOST_BYTES = 4_000_000
# One for each role of a picture that brings no marks of its own.
MARKS = ".xo+*#=%@/v^sz&n"
_AS_UTF8 = reason("save it as UTF-8")
_PICTURE_NAMES = (".png", ".gif")


@dataclass(frozen=True)
class ReadMotif:
    """A motif with what its file says besides. colours: a code for each role of a picture that was painted; empty
    for a text, and for a picture that `motif_pixels` wrote in greys. how: in words, how colours became roles."""

    motif: Motif
    colours: Mapping[str, str]
    how: Words = ""


def read_motif(path: Path) -> Motif:
    """Read a text grid, or a PNG or GIF of one pixel a stitch. Raises as `read_motif_file`."""
    return read_motif_file(path).motif


def read_motif_file(path: Path) -> ReadMotif:
    """Read a motif file and what it says besides.

    Colours become roles (main, contrast 1 ...) in the order of the palette where the picture has one; else the
    colour with most stitches comes first, and of two with as many the one that is knitted first (bottom row, from
    the right). A picture that `motif_pixels` wrote names its roles itself.

    Raises NotFound for no such file, BadInput with file, row and stitch for anything that is no motif.
    """
    return read_motif_bytes(motif_bytes(path), path.name)


def read_motif_bytes(data: bytes, name: str) -> ReadMotif:
    """The same of a file's content. name: what the file is called; nothing of that name is opened."""
    path = Path(name)
    if not data.strip():
        raise BadInput(reason("the file is empty"), path.name, reason("give a text grid, a PNG or a GIF"))
    if is_picture(data):
        return _from_picture(read_pixels(data, path.name), path)
    text = _text(data, path)
    return ReadMotif(_parsed(text, path), {})


def _from_picture(pixels: Pixels, path: Path) -> ReadMotif:
    colours = pixels.colours
    heads, marks = pixels.head, pixels.marks
    if not heads:
        marks = tuple(MARKS[: len(colours)])
        roles = ["main", *(f"contrast {number}" for number in range(1, len(colours)))]
        named = ", ".join(f"{mark} {role}" for mark, role in zip(marks, roles, strict=True))
        name = visible(" ".join(path.stem.split()))[:LONGEST_NAME] or "picture"
        heads = f"name: {name}\nroles: {named}\nrows: bottom to top"
    rows = ["".join(marks[place] for place in row) for row in pixels.rows]
    motif = _parsed("\n".join([heads, "", *rows, ""]), path)
    if pixels.head:
        return ReadMotif(motif, {}, reason("the roles are the ones that the picture names"))
    how = reason("colours became roles in the order of their stitches, most first")
    if pixels.palette:
        how = reason("colours became roles in the order they stand in the picture's palette")
    return ReadMotif(motif, dict(zip(motif.role_names, colours, strict=True)), how)


def _parsed(text: str, path: Path) -> Motif:
    """A motif file's text, within the limits for her own grids, its faults told as those of her own file."""
    try:
        motif = parse_motif(text, path.name, path.stem, (OWN_WIDEST, OWN_TALLEST))
    except CatalogueError as fault:
        what = reason("the motif can't be used: {why}", why=fault.reason)
        raise BadInput(what, f"{fault.file}, {fault.key}", reason("mend it there and try again")) from None
    if len(motif.roles) > MOST_ROLES:
        what, todo = reason("{n} roles in one motif", n=len(motif.roles)), reason("name at most {n}", n=MOST_ROLES)
        raise BadInput(what, f"{path.name}, roles", todo)
    return motif


def motif_bytes(path: Path) -> bytes:
    """What a file holds, within what a motif may take. Raises as `read_motif_file`."""
    try:
        if path.is_dir():
            raise BadInput(reason("this is a folder"), str(path), reason("name the file with the grid"))
        if path.stat().st_size > _MOST_BYTES:
            what = reason("the file is larger than {n} MB, which no motif is", n=_MOST_BYTES // 1_000_000)
            said = "give a grid of at most {wide} by {high} stitches, one pixel or one character a stitch"
            raise BadInput(what, path.name, reason(said, wide=OWN_WIDEST, high=OWN_TALLEST))
        data = read_file(path, _MOST_BYTES)
    except (FileNotFoundError, NotADirectoryError):
        raise NotFound(reason("there is no file {file}", file=str(path))) from None
    except (OSError, ValueError) as fault:
        why = fault.strerror if isinstance(fault, OSError) and fault.strerror else "not a name of a file"
        what = reason("the file can't be read ({why})", why=why)
        raise BadInput(what, str(path), reason("check the file")) from None
    return data


def _text(data: bytes, path: Path) -> str:
    if path.suffix.lower() in _PICTURE_NAMES:
        todo = reason("name a text grid .txt, or save the picture as PNG or GIF")
        raise BadInput(reason("this isn't a picture, whatever its name says"), path.name, todo)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise BadInput(reason("this is text, but not UTF-8"), path.name, _AS_UTF8)
    if b"\0" in data:
        todo = reason("save the grid as text, or as PNG or GIF")
        raise BadInput(reason("this isn't text, a PNG or a GIF"), path.name, todo)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        raise BadInput(reason("the motif isn't UTF-8 text"), f"{path.name}, line {line}", _AS_UTF8) from None


def write_motif_text(motif: Motif, order: str = BOTTOM_UP) -> str:
    """The motif as the text of a motif file; `read_motif` gives the same motif back. order: TOP_DOWN as it looks."""
    rows = motif.grid if order == BOTTOM_UP else reversed(motif.grid)
    return "\n".join([*_heads(motif, order), "", *rows, ""])


def motif_pixels(motif: Motif) -> bytes:
    """The motif as a PNG of one pixel a stitch, in greys from light (the first role) to dark.

    Name, roles, source and licence go with it as a comment, so that `read_motif` gives the same motif back.
    """
    marks = list(motif.roles)
    place = {mark: number for number, mark in enumerate(marks)}
    rows = [[place[mark] for mark in row] for row in motif.grid]
    return pixels_png(rows, len(marks), "\n".join(_heads(motif)), "".join(marks))


def _heads(motif: Motif, order: str = BOTTOM_UP) -> list[str]:
    values = {
        "name": motif.name,
        "roles": ", ".join(f"{mark} {role}" for mark, role in motif.roles.items()),
        "source": motif.source,
        "how_obtained": motif.how_obtained,
        "licence": motif.licence,
        "rows": order,
    }
    return [f"{word}: {' '.join(value.split())}" for word, value in values.items() if value]
