"""The pictures of a partner, and the page to print: what to cast on, what to take, what stays, what to mind."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from matcher.actions.partner.words import chart_words, fit_words, part_words, placed_words, way_words
from matcher.errors import BadInput
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.motifs.parts import ground_of, with_plain_columns
from matcher.materials.colours.colour import Colour
from matcher.materials.reading.units import in_her_units, show_cm, show_gauge, show_length, show_mass
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.files import write_files

if TYPE_CHECKING:
    from matcher.actions.partner.result import Partner
    from matcher.drawing.scene import Scene
    from matcher.drawing.sheet import Sheet


def write_partner(made: Partner, folder: Path, catalogue: Catalogue, units: str) -> tuple[Path, ...]:
    """Write pictures and pages into a folder, all or nothing; files of the same names are written anew.

    Raises BadInput when the folder cannot be written to.
    """
    if folder.exists() and not folder.is_dir():
        raise BadInput(f"{folder} is a file", "--out", "name a folder for the pictures")
    blocked = [path for name in _names(made.accessory.key) if (path := folder / name).is_dir()]
    if blocked:
        raise BadInput(f"{blocked[0]} is a folder", "--out", "name another folder, or move it away")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise BadInput(f"{folder} cannot be made ({fault.strerror})", "--out", "name another folder") from None
    contents = dict(zip(_names(made.accessory.key), _contents(made, catalogue, units), strict=True))
    write_files({folder / name: data for name, data in contents.items()})
    return tuple(folder / name for name in contents)


def _names(key: str) -> tuple[str, ...]:
    """The files of an accessory, in the order of `_contents`."""
    pictures = (f"{key}-{name}.{kind}" for name in ("motif", "flat", "sights") for kind in ("svg", "png"))
    return (*pictures, *(f"{key}-{paper}.html" for paper in ("a4", "letter")))


def _contents(made: Partner, catalogue: Catalogue, units: str) -> list[bytes]:
    from matcher.drawing.flat_picture import flat_scene, sights_scene
    from matcher.drawing.motif_picture import chart_scene, motif_scene
    from matcher.drawing.scene import png, svg, usual_pixels
    from matcher.drawing.sheet import sheet_html

    colours, names = colours_of(made), names_of(made)
    gauge = made.fit.gauge
    knitted = knitted_motif(made)
    look = (gauge.stitches_10cm, gauge.rows_10cm)
    of_motif = {role: colours[role] for role in knitted.role_names}
    motif = motif_scene(knitted, of_motif, *look, names=names)
    flat = flat_scene(made.fit, colours, catalogue.fabric)
    sights = sights_scene(made.fit, colours, catalogue.vision, catalogue.fabric)
    found = [data for scene in (motif, flat, sights) for data in (svg(scene).encode(), png(scene, usual_pixels(scene)))]
    chart = chart_scene(knitted, of_motif, *look, names=names)
    page = sheet_of(made, flat, sights, chart, units)
    return [*found, *(sheet_html(page, paper).encode() for paper in ("a4", "letter"))]


def colours_of(made: Partner) -> dict[str, Colour]:
    """The colour of each role; a role without yarn is left white."""
    white = Colour("solid", (((100.0, 0.0, 0.0), 1.0),))
    return {role.role: role.colour or white for role in made.roles}


def names_of(made: Partner) -> dict[str, str]:
    """What each role is knitted with, in a few words."""
    return {role.role: role.lots[0].name if role.lots else "no yarn yet" for role in made.roles}


def knitted_motif(made: Partner) -> Motif:
    """The rows of the motif that are knitted, one repeat wide with its plain columns, and one repeat high."""
    ground = ground_of(made.motif)
    rows = with_plain_columns(made.motif.grid, made.fit.plain_columns, ground)
    if made.fit.placed != "whole":
        rows = _rows_of(made.fit)
    used = {mark: role for mark, role in made.motif.roles.items() if any(mark in row for row in rows)}
    return Motif(made.motif.key, made.motif.name, rows, used, made.motif.source, licence=made.motif.licence)


def _rows_of(fitted: Fitted) -> tuple[str, ...]:
    """The rows of the part that shows most of the motif."""
    return max((part.rows for part in fitted.parts), key=len)


def sheet_of(made: Partner, flat: Scene, sights: Scene, chart: Scene, units: str) -> Sheet:
    """The page as values."""
    from matcher.drawing.sheet import Sheet, SheetTable

    fit, gauge = made.fit, made.fit.gauge
    stitches = SheetTable(
        "To knit, from the cast-on up",
        ("part", "stitches", "rounds", "in"),
        tuple(
            (part.part, _across(part.first, part.last), str(part.rounds), part.role or f"motif, {made.motif.name}")
            for part in fit.parts
        )
        + tuple(
            (f"{part.part}, {pieces} in all", _across(part.first, part.last), str(part.rounds), part.role or "motif")
            for part, pieces in fit.extra
        ),
        " ".join(fit_words(fit, units)),
    )
    yarn = SheetTable(
        "Yarn",
        ("role", "take", "needs", "weighs", "kept for mending", "left", "stitches"),
        tuple(
            (
                role.role,
                ", ".join(f"{lot.name} ({lot.place})" if lot.place else lot.name for lot in role.lots) or "no yarn yet",
                f"{show_length(role.need_m, units)} ±{show_length(role.need_sd_m, units)}",
                show_mass(role.need_g, units) if role.lots else "",
                show_length(role.reserve_m, units),
                show_length(role.left_m, units),
                str(role.need.stitches),
            )
            for role in made.roles
        ),
        f"Sure to be enough: {min(99, int(100 * made.sure + 1e-9))} in 100.",
    )
    floats = SheetTable(
        "Longest floats",
        ("role", "passes behind"),
        tuple((role, f"{passed} stitches") for role, passed in fit.longest_floats.items()),
    )
    reads = tuple(f"{one.roles[0]} and {one.roles[1]}: {one.judged.reason}." for one, _ in made.contrasts)
    stays = tuple(
        f"{one.called}: {show_length(one.reserve_m, units)}; {in_her_units(one.because, units)}." for one in made.kept
    )
    short = () if made.enough else tuple(_sentence(in_her_units(way_words(one), units)) for one in made.exchanges)
    short += ("Reads 1 of 1: every two colours that touch are clear beside each other.",) if short else ()
    about = f"{made.worn.said(units)}; {show_gauge(gauge.stitches_10cm, gauge.rows_10cm, units)}"
    return Sheet(
        title=f"{made.accessory.name[:1].upper()}{made.accessory.name[1:]}",
        subtitle=f"to go with {made.garment.name}; {about}; {show_cm(fit.around_cm, units)} around",
        pictures=(("laid flat, the front half", flat), ("as it is seen", sights)),
        chart=chart,
        tables=tuple(table for table in (stitches, yarn, floats) if table.rows),
        lists=(
            ("How to", (*part_words(fit), placed_words(fit, made.motif), chart_words(fit))),
            ("How the colours read", reads),
            (f"What is short ({min(99, int(100 * made.sure_at_least + 1e-9))} in 100 sure was asked)", short),
            (f"What stays for mending {made.garment.name}", stays),
            ("Mind", tuple(_sentence(in_her_units(one, units)) for one in made.warnings)),
            ("Care and cautions", (_sentence(made.care), *made.cautions)),
        ),
    )


def _across(first: int, last: int) -> str:
    return str(first) if first == last else f"{first} to {last}"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:].rstrip('.')}."
