"""A motif looked at before it is knitted: its grid counted, its colours judged, its pictures written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.motifs.colours import RoleColour, colours_given, colours_painted
from matcher.actions.names import near_names
from matcher.actions.needs import gauge_of_swatch
from matcher.actions.targets import target
from matcher.errors import BadInput, NotFound
from matcher.knitting.motifs.counts import (
    Balance,
    RowCount,
    SharedEdges,
    balance,
    count_rows,
    shared_edges,
    smallest_repeat,
)
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Garment
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.files import write_out
from matcher.store.motifs.files import ReadMotif, motif_pixels, read_motif_file, write_motif_text
from matcher.store.places import expanded, lies_in

if TYPE_CHECKING:
    import pandas as pd

    from matcher.matching.afar import Afar
    from matcher.matching.contrast import Judgement


@dataclass(frozen=True)
class Meeting:
    """Two roles that touch, judged in their colours."""

    shared: SharedEdges
    judged: Judgement
    afar: tuple[Afar, ...]  # in the hand, across a table, across a room


@dataclass(frozen=True)
class CountedMotif:
    """A motif and all that is counted on it. `colours` is empty, and `balance` None, where no colours are known."""

    motif: Motif
    how: Words
    rows: tuple[RowCount, ...]
    shared: tuple[SharedEdges, ...]
    repeat: tuple[int, int]
    many_coloured: tuple[int, ...]  # rows with three colours or more, counted from 1 at the bottom
    colours: Mapping[str, RoleColour]
    balance: Balance | None
    meetings: tuple[Meeting, ...]
    warnings: tuple[Words, ...]
    cautions: tuple[Words, ...]
    files: tuple[Path, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON. The keys inside `roles` and `longest_floats` are names of roles."""
        motif, light = self.motif, self.balance
        return {
            "name": motif.name,
            "width": motif.width,
            "height": motif.height,
            "roles": dict(motif.stitches),
            "rows": [
                {
                    "row": row.row,
                    "colours": row.colours,
                    "roles": dict(row.stitches),
                    "longest_floats": dict(row.longest_floats),
                }
                for row in self.rows
            ],
            "longest_floats": dict(motif.longest_float),
            "shared_edges": [
                {"roles": list(one.roles), "edges": one.edges, "beside": one.beside, "above": one.above}
                for one in self.shared
            ],
            "many_coloured_rows": list(self.many_coloured),
            "repeat": {"width": self.repeat[0], "height": self.repeat[1]},
            "balance": light
            and {
                "mean_l": round(light.mean_l, 2),
                "lighter_share": round(light.lighter_share, 4),
                "apart_l": round(light.apart_l, 2),
            },
            "colours": [
                {
                    "role": role,
                    "name": one.name,
                    "colour": one.colour.words(),
                    "colour_guessed": one.colour.guessed,
                    "lot": one.lot,
                }
                for role, one in self.colours.items()
            ],
            "contrasts": [
                {
                    "roles": list(one.shared.roles),
                    "edges": one.shared.edges,
                    "delta_e": round(one.judged.delta_e, 2),
                    "delta_l": round(one.judged.delta_l, 2),
                    "least_seen": one.judged.least_seen,
                    "verdict": one.judged.verdict,
                    "verdicts": dict(one.judged.verdicts),
                    "chances": one.judged.rounded_chances,
                    "reason": one.judged.reason,
                    "distances": [afar.as_dict() for afar in one.afar],
                }
                for one in self.meetings
            ],
            "warnings": [*self.warnings, *self.cautions],
            "files": [str(path) for path in self.files],
        }

    def frame(self) -> pd.DataFrame:
        """One row for each row of the grid and role in it, as a pandas frame."""
        import pandas as pd

        return pd.DataFrame(
            [
                {"row": row.row, "role": role, "stitches": count, "longest_float": row.longest_floats[role]}
                for row in self.rows
                for role, count in row.stitches.items()
            ]
        )


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
    rows, shared = count_rows(drawn), shared_edges(drawn)
    plain = {role: one.colour for role, one in colours.items()}
    repeat = smallest_repeat(drawn)
    long = max(drawn.longest_float.values()) > catalogue.fabric.long_float
    found = CountedMotif(
        motif=drawn,
        how=read.how,
        rows=rows,
        shared=shared,
        repeat=repeat,
        many_coloured=tuple(row.row for row in rows if row.colours >= catalogue.fabric.many_colours),
        colours=colours,
        balance=balance(drawn, plain) if plain else None,
        meetings=_meetings(drawn, shared, plain, gauge, catalogue) if plain else (),
        warnings=(
            *_long_floats(drawn, rows, catalogue.fabric.long_float),
            *_smaller(drawn, repeat),
            *_guesses(colours),
        ),
        cautions=(catalogue.cautions["floats"],) if long else (),
        files=tuple(targets.values()),
    )
    write_out(dict(_contents(targets, drawn, colours, gauge, catalogue, style)), replace=replace)
    return found


def gauge_or_usual(swatch: str | None, catalogue: Catalogue) -> tuple[float, float]:
    """Stitches and rows in 10 cm of a swatch, or the usual ones. Raises BadInput."""
    from matcher.matching.afar import USUAL_GAUGE

    if swatch is None:
        return USUAL_GAUGE
    gauge = gauge_of_swatch(swatch, catalogue)
    return gauge.stitches_10cm, gauge.rows_10cm


def _meetings(
    motif: Motif,
    shared: Sequence[SharedEdges],
    colours: Mapping[str, Colour],
    gauge: tuple[float, float],
    catalogue: Catalogue,
) -> tuple[Meeting, ...]:
    from matcher.matching.afar import FromAfar
    from matcher.matching.contrast import judge
    from matcher.matching.kept import hue_kept

    kept = hue_kept(motif, gauge, catalogue.spatial)
    looked_at = FromAfar(motif, gauge, catalogue.spatial, catalogue.contrast, catalogue.colour_words)
    return tuple(
        Meeting(
            one,
            judge(
                colours[one.roles[0]],
                colours[one.roles[1]],
                catalogue.vision,
                catalogue.contrast.in_motif(kept[frozenset(one.roles)]),
                "readable",
            ),
            looked_at.of(*one.roles, colours),
        )
        for one in shared
    )


def _long_floats(motif: Motif, rows: Sequence[RowCount], long: float) -> list[Words]:
    found: list[Words] = []
    said = "the longest float of {role} passes {stitches} stitches (row {row}): catch it on the way"
    for role, passed in motif.longest_float.items():
        if passed > long:
            first = next(row.row for row in rows if row.longest_floats.get(role) == passed)
            found.append(reason(said, role=Term(role), stitches=passed, row=first))
    return found


def _guesses(colours: Mapping[str, RoleColour]) -> list[Words]:
    from matcher.matching.guessed import tell_for_sure

    told = tell_for_sure(one.name for one in colours.values() if one.colour.guessed)
    return [told] if told else []


def _smaller(motif: Motif, repeat: tuple[int, int]) -> list[Words]:
    across, up = motif.width // repeat[0], motif.height // repeat[1]
    times = [reason("{n} times across", n=across)] if across > 1 else []
    times += [reason("{n} times up", n=up)] if up > 1 else []
    if not times:
        return []
    said = "the grid shows the same repeat {times}: {stitches} stitches by {rows} rows are enough"
    return [reason(said, times=listed(times, "and"), stitches=repeat[0], rows=repeat[1])]


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
