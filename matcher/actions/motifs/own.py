"""Motifs of her own: drawn, looked at while they are drawn, and kept beside her bin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from matcher.actions.desk import Desk
from matcher.actions.keeping.done import Done
from matcher.actions.motifs.colours import colours_given, colours_painted
from matcher.actions.motifs.counting import CountedMotif, counted_motif
from matcher.actions.motifs.motif import gauge_or_usual, motif_of
from matcher.actions.names import find
from matcher.drawing.chart_marks import tints
from matcher.errors import BadInput, MatcherError
from matcher.knitting.motifs.motif import OWN_TALLEST, OWN_WIDEST, TOP_DOWN, Motif
from matcher.materials.colours.cielab import hex_from_lab
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Garment
from matcher.reasons.reason import Action, reason
from matcher.store.catalogue.folders import demo_folder
from matcher.store.files import write_out
from matcher.store.motifs.files import ReadMotif, read_motif_bytes, write_motif_text
from matcher.store.motifs.own import file_of, motif_files
from matcher.store.places import lies_in

CALLED = "the motif"


@dataclass(frozen=True)
class KnownMotif:
    """A motif that can be asked for by a short word. asked: the name of her file beside the bin, or a catalogue key."""

    asked: str
    motif: Motif
    own: bool


@dataclass(frozen=True)
class Drawn:
    """A motif while it is drawn. lots: what each role is to be shown in; shown: the colour of each role, a tint where
    none is known."""

    counted: CountedMotif
    lots: Mapping[str, str]
    shown: Mapping[str, Colour]

    @property
    def codes(self) -> dict[str, str]:
        """The code of each role's most frequent colour."""
        return {
            role: hex_from_lab(max(one.stitches(), key=lambda part: part[1])[0]) for role, one in self.shown.items()
        }

    @property
    def text(self) -> str:
        """As the text of a motif file, its top row first, as it looks."""
        return write_motif_text(self.counted.motif, TOP_DOWN)


def known_motifs(desk: Desk) -> tuple[KnownMotif, ...]:
    """Her own beside the bin, then those of the catalogue."""
    own = motif_files(desk.folder) if desk.folder is not None else {}
    held = sorted(desk.catalogue.motifs.items(), key=lambda one: one[1].name)
    return (
        *(KnownMotif(file, motif, own=True) for file, motif in own.items()),
        *(KnownMotif(key, motif, own=False) for key, motif in held),
    )


def known_motif(asked: str, desk: Desk) -> KnownMotif:
    """The one of that word, which is never taken for a path. Raises NotFound with the nearest."""
    known = {one.asked: one for one in reversed(known_motifs(desk))}
    return known[asked] if asked in known else known[find(asked, known, "motif")]


def worn_motif(garment: Garment, desk: Desk) -> Motif | None:
    """The motif that a garment's row names; None where it names none, or one that is no longer there."""
    if not garment.motif:
        return None
    try:
        return motif_of(garment, desk.catalogue, desk.folder)
    except MatcherError:
        return None


def plain_motif(stitches: int, rows: int) -> Motif:
    """A grid to begin with, all of it in main. Raises BadInput for one that is too large or has no stitch."""
    if not (1 <= stitches <= OWN_WIDEST and 1 <= rows <= OWN_TALLEST):
        what = reason("a grid of {stitches} by {rows} stitches can't be drawn", stitches=stitches, rows=rows)
        todo = reason("give 1 to {wide} stitches and 1 to {high} rows", wide=OWN_WIDEST, high=OWN_TALLEST)
        raise BadInput(what, "", todo)
    return Motif("", "my motif", ("." * stitches,) * rows, {".": "main"})


def drawn_motif(text: str, lots: Mapping[str, str], desk: Desk) -> Drawn:
    """Count what was drawn, and judge it where every role has a lot.

    text: of a motif file. lots: the lot or colour that a role is shown in; roles that it has not are let be.
    Raises BadInput with the line and stitch of a fault, NotFound for a lot.
    """
    return drawn_of(read_motif_bytes(text.encode("utf-8", "replace"), CALLED), lots, desk)


def drawn_of(read: ReadMotif, lots: Mapping[str, str], desk: Desk) -> Drawn:
    """The same of a motif that was read already."""
    catalogue, roles = desk.seen_by(None), read.motif.role_names
    given = [f"{role}={lots[role]}" for role in roles if lots.get(role)]
    colours = colours_painted(read, catalogue)
    if len(given) == len(roles):
        colours = colours_given(read.motif, given, True, desk)
    some = {} if colours else colours_given(read.motif, given, True, desk, whole=False)
    shown = tints(roles) | {role: one.colour for role, one in {**colours, **some}.items()}
    return Drawn(counted_motif(read, colours, gauge_or_usual(None, catalogue), catalogue), lots, shown)


def keep_motif(text: str, desk: Desk, *, replace: bool = False) -> Done:
    """Write a motif into a file beside the bin, whole or not at all, over another one of its name only with `replace`.

    Raises BadInput for a text that is no motif, a file that is there with other content, and where no bin is.
    """
    motif = read_motif_bytes(text.encode("utf-8", "replace"), CALLED).motif
    folder = desk.folder
    if folder is None or lies_in(folder, demo_folder()):
        todo = reason(
            "begin a bin of your own first, with {intake} or {add}", intake=Action("intake"), add=Action("add")
        )
        raise BadInput(reason("there is no bin of yours that a motif could lie beside"), "", todo)
    file = file_of(motif.name)
    write_out({folder / file: write_motif_text(motif).encode()}, replace=replace)
    said = reason('"{motif}" is kept as {file}, beside your bin.', motif=motif.name, file=file)
    return Done((said,), {"motif": motif.name, "file": file})
