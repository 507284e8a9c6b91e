"""A motif looked at before it is knitted: its grid counted, its colours judged, its pictures written."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.motifs.colours import RoleColour, colours_given, colours_painted
from matcher.actions.motifs.counting import CountedMotif, counted_motif
from matcher.actions.names import near_names
from matcher.actions.needs import gauge_of_swatch
from matcher.actions.targets import target
from matcher.errors import BadInput, NotFound
from matcher.knitting.motifs.motif import Motif
from matcher.materials.lots import Garment
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Field, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.files import write_out
from matcher.store.motifs.files import ReadMotif, motif_pixels, read_motif_file, write_motif_text
from matcher.store.places import expanded, lies_in


def motif_asked(name: str, catalogue: Catalogue, beside: Path | None = None) -> Motif:
    """A motif that she asks for: by its file, which may lie `beside` the bin, else by its key or name in the catalogue.

    Raises NotFound with the names nearest to it, or BadInput for a file that holds no motif.
    """
    return _read(name, catalogue, beside).motif


def motif_of(garment: Garment, catalogue: Catalogue, beside: Path | None) -> Motif:
    """The motif that a garment's row names: a file in the bin's folder `beside`, else one of the catalogue.

    Raises NotFound, or BadInput for a file that holds no motif or lies outside of that folder: a bin from elsewhere
    shows nothing of what lies around it.
    """
    name = garment.motif
    if beside is not None and _is_file(path := beside / name):
        if lies_in(path, beside):
            return read_motif_file(path).motif
        todo = reason("put a copy into that folder, or name it with {field}", field=Field("motif"))
        raise BadInput(reason('the motif "{name}" lies outside the folder of the bin', name=name), str(beside), todo)
    known = _of_catalogue(name, catalogue)
    if known is None:
        raise _unknown(name, catalogue)
    return known


def _of_catalogue(name: str, catalogue: Catalogue) -> Motif | None:
    known = {fold(one.name): one for one in catalogue.motifs.values()}
    known |= {fold(key): one for key, one in catalogue.motifs.items()}
    return known.get(fold(name))


def _read(name: str, catalogue: Catalogue, beside: Path | None = None) -> ReadMotif:
    for path in (expanded(name), *([beside / name] if beside is not None else [])):
        if _is_file(path):
            return read_motif_file(path)
    known = _of_catalogue(name, catalogue)
    if known is not None:
        return ReadMotif(known, {})
    path = expanded(name)
    if path.suffix.lower() in (".txt", ".png", ".gif") or path.name != name or not name.strip():
        return read_motif_file(path)  # says what is wrong with it
    raise _unknown(name, catalogue)


def _unknown(name: str, catalogue: Catalogue) -> NotFound:
    near = near_names(name, [*catalogue.motifs, *(one.name for one in catalogue.motifs.values())])
    said = 'there is no motif "{name}", neither a file nor in the catalogue'
    return NotFound(reason(said, name=name), near=near)


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # too long a name, or one with a character that no file name has
        return False


def motif(
    file: str | Path,
    *,
    lots: Sequence[str] = (),
    bin: DeskLike = None,
    svg: Path | str | None = None,
    png: Path | str | None = None,
    grid: Path | str | None = None,
    distances: Path | str | None = None,
    swatch: str | None = None,
    eyes: str | None = None,
    replace: bool = False,
    catalog: Path | str | None = None,
    style: Style = PLAIN,
) -> CountedMotif:
    """Read a motif, count it, judge it in colours, and write its pictures.

    Parameters
    ----------
    file : a text grid, a PNG or GIF of one pixel a stitch, or the key or name of a motif of the catalogue.
    lots : one for each role, "ROLE=LOT" or in the order of the roles: lots of the bin, else colours.
    style : of the words in a drawing.
    svg, png : where to draw it as knitted. grid : where to write the grid, as text or as PNG by its suffix.
    distances : where to draw it as seen in the hand, across a table and across a room (.svg or .png); needs colours.
    swatch : "22 st x 30 rows" in 10 cm, the gauge that it is looked at and drawn in; a usual one if left out.
    eyes : whose decide besides ordinary ones: "ordinary" (none), "red", "green", "blue" (blind) or "any" of these.
    replace : write over files of other content.

    Raises
    ------
    BadInput, NotFound, BadSheets
    """
    desk = desk_of(bin, catalog)
    catalogue = desk.seen_by(eyes)
    read = _read(str(file), catalogue)
    drawn = read.motif
    targets = _targets(file, svg, png, grid, distances)
    colours = colours_given(drawn, lots, bin is not None, desk) if lots else colours_painted(read, catalogue)
    gauge = gauge_or_usual(swatch, catalogue)
    if distances is not None and not colours:
        what = reason("a view from afar needs colours")
        raise BadInput(
            what, Field("distances"), reason("give a lot or a colour for each role with {lots}", lots=Field("lots"))
        )
    found = counted_motif(read, colours, gauge, catalogue)
    write_out(dict(_contents(targets, drawn, colours, gauge, catalogue, style)), replace=replace)
    return dataclasses.replace(found, files=tuple(targets.values()))


def gauge_or_usual(swatch: str | None, catalogue: Catalogue) -> tuple[float, float]:
    """Stitches and rows in 10 cm of a swatch, or the usual ones. Raises BadInput."""
    from matcher.matching.afar import USUAL_GAUGE

    if swatch is None:
        return USUAL_GAUGE
    gauge = gauge_of_swatch(swatch, catalogue)
    return gauge.stitches_10cm, gauge.rows_10cm


def _targets(
    file: str | Path,
    svg: Path | str | None,
    png: Path | str | None,
    grid: Path | str | None,
    distances: Path | str | None,
) -> dict[str, Path]:
    """Where each kind of file goes; refused before anything is written."""
    asked = {"svg": (svg, (".svg",)), "png": (png, (".png",)), "grid": (grid, (".txt", ".png"))}
    asked["distances"] = (distances, (".svg", ".png"))
    source = file if _is_file(Path(file)) else None
    found = {
        kind: target(path, endings, Field(kind), source) for kind, (path, endings) in asked.items() if path is not None
    }
    if len({path.resolve() for path in found.values()}) < len(found):
        raise BadInput(reason("two files have one name"), listed(map(Field, found)), reason("give each its own"))
    return found


def _contents(
    targets: Mapping[str, Path],
    motif: Motif,
    colours: Mapping[str, RoleColour],
    gauge: tuple[float, float],
    catalogue: Catalogue,
    style: Style,
) -> Iterator[tuple[Path, bytes]]:
    """What goes into each file."""
    if "grid" in targets:
        path = targets["grid"]
        yield path, motif_pixels(motif) if path.suffix.lower() == ".png" else write_motif_text(motif).encode()
    if not targets.keys() & {"svg", "png", "distances"}:
        return
    from matcher.drawing.distances import distances_scene
    from matcher.drawing.motif_picture import motif_scene
    from matcher.drawing.scene import drawn_as, png, svg, usual_pixels

    plain = {role: one.colour for role, one in colours.items()}
    if "distances" in targets:
        path = targets["distances"]
        yield path, drawn_as(path, distances_scene(motif, plain, gauge, catalogue.spatial, style))
    if not targets.keys() & {"svg", "png"}:
        return
    names = {role: style.say(one.called) for role, one in colours.items()}
    scene = motif_scene(motif, plain or None, *gauge, names=names, style=style)
    if "svg" in targets:
        yield targets["svg"], svg(scene).encode()
    if "png" in targets:
        yield targets["png"], png(scene, usual_pixels(scene))
