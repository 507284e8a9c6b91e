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
from matcher.errors import BadInput, MatcherError
from matcher.knitting.motifs.motif import OWN_TALLEST, OWN_WIDEST, TOP_DOWN, Motif
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Garment
from matcher.reasons.reason import Action, Words, counted, reason
from matcher.store.catalogue.folders import demo_folder
from matcher.store.files import write_out
from matcher.store.motifs.files import MARKS, ReadMotif, read_motif_bytes, write_motif_text
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
    """A motif while it is drawn. shown: the colours of the roles that have a lot or a painted colour."""

    counted: CountedMotif
    shown: Mapping[str, Colour]

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
    shown = {role: one.colour for role, one in colours.items()}
    if not shown:
        known = {lot.name: lot.colour for lot in desk.bin.lots}
        shown = {role: known[lots[role]] for role in roles if lots.get(role, "") in known}
    return Drawn(counted_motif(read, colours, gauge_or_usual(None, catalogue), catalogue), shown)


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


def marks_for_roles() -> str:
    """The marks that roles have in a text, in the order in which they are given out."""
    return MARKS


def too_many_words(motif: Motif, most: int) -> Words:
    """Why a grid is not drawn stitch by stitch."""
    one, many = "{n} stitch", "{n} stitches"
    size = counted(motif.size, one, many)
    said = "a grid of {size} is drawn as text only; up to {most} are drawn by tapping"
    return reason(said, size=size, most=most)
