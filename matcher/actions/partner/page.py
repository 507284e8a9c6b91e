"""The pictures of a partner, and the page to print: what to cast on, what to take, what stays, what to mind."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.actions.partner.result import Partner
from matcher.actions.partner.words import fit_words, placed_words, way_words
from matcher.actions.roles import RoleYarn, lot_words
from matcher.errors import BadInput
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.motifs.parts import ground_of, with_plain_columns
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.pattern import Pattern, letter_of
from matcher.materials.blocking import care_of
from matcher.materials.colours.colour import Colour
from matcher.reasons.quantities import Chance, Length, Mass, Measure, Share
from matcher.reasons.reason import Field, Term, Words, counted, reason
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.files import write_out

if TYPE_CHECKING:
    from matcher.drawing.page import Page
    from matcher.drawing.scene import Scene


def write_partner(made: Partner, folder: Path, catalogue: Catalogue, style: Style, replace: bool) -> tuple[Path, ...]:
    """Write pictures and pages into a folder, all or nothing; over files of other content only with `replace`.

    Raises BadInput when the folder cannot be written to.
    """
    if folder.exists() and not folder.is_dir():
        raise _unusable(reason("{place} is a file", place=str(folder)))
    blocked = [path for name in _names(made.accessory.key) if (path := folder / name).is_dir()]
    if blocked:
        raise _unusable(reason("{place} is a folder", place=str(blocked[0])))
    contents = dict(zip(_names(made.accessory.key), _contents(made, catalogue, style), strict=True))
    return write_out({folder / name: data for name, data in contents.items()}, replace=replace)


def _unusable(what: Words) -> BadInput:
    return BadInput(what, Field("out"), reason("name another folder for the pictures"))


def _names(key: str) -> tuple[str, ...]:
    """The files of an accessory, in the order of `_contents`."""
    pictures = (f"{key}-{name}.{kind}" for name in ("motif", "flat", "sights") for kind in ("svg", "png"))
    return (*pictures, *(f"{key}-{paper}.html" for paper in ("a4", "letter")))


def _contents(made: Partner, catalogue: Catalogue, style: Style) -> list[bytes]:
    from matcher.drawing.page import page_html
    from matcher.drawing.scene import png, svg, usual_pixels

    flat, sights, distances = _pictures(made, catalogue, style)
    drawn = (motif_in_its_colours(made, style), flat, sights)
    found = [data for scene in drawn for data in (svg(scene).encode(), png(scene, usual_pixels(scene)))]
    page = page_of(made, _pattern(made, catalogue), (flat, sights, distances), style)
    return [*found, *(page_html(page, paper, style).encode() for paper in ("a4", "letter"))]


def partner_sheet(made: Partner, catalogue: Catalogue, style: Style, paper: str) -> str:
    """The page to print alone, as HTML."""
    from matcher.drawing.page import page_html

    page = page_of(made, _pattern(made, catalogue), _pictures(made, catalogue, style), style)
    return page_html(page, paper, style)


def motif_in_its_colours(made: Partner, style: Style) -> Scene:
    """The motif as it is knitted, in the colours of its lots, at the gauge of the piece."""
    from matcher.drawing.motif_picture import motif_scene

    colours, gauge, knitted = colours_of(made), made.fit.gauge, knitted_motif(made)
    names = {role.role: style.say(_takes(role)) for role in made.roles}
    of_motif = {role: colours[role] for role in knitted.role_names}
    return motif_scene(knitted, of_motif, gauge.stitches_10cm, gauge.rows_10cm, names=names, style=style)


def _pictures(made: Partner, catalogue: Catalogue, style: Style) -> tuple[Scene, Scene, Scene]:
    """The piece laid flat, its sights, and as it is seen from near and far."""
    from matcher.drawing.distances import accessory_distances
    from matcher.drawing.flat_picture import flat_scene, sights_scene

    colours = colours_of(made)
    return (
        flat_scene(made.fit, colours, catalogue.fabric, style, made.accessory),
        sights_scene(made.fit, colours, catalogue.vision, catalogue.fabric, style, made.accessory),
        accessory_distances(made.fit, colours, catalogue.spatial, style),
    )


def _pattern(made: Partner, catalogue: Catalogue) -> Pattern:
    return pattern_of(Making(made.accessory, made.fit, catalogue.fabric, _care(made, catalogue)))


def _care(made: Partner, catalogue: Catalogue) -> tuple[Words, ...]:
    """How the piece is blocked and washed; nothing as long as no yarn is chosen."""
    yarns = [lot.yarn for role in made.roles for lot in role.lots]
    if not yarns:
        return ()
    return care_of((yarn.blend for yarn in yarns), (yarn.wash for yarn in yarns), catalogue.blocking)


def colours_of(made: Partner) -> dict[str, Colour]:
    """The colour of each role; a role without yarn is left white."""
    white = Colour("solid", (((100.0, 0.0, 0.0), 1.0),))
    return {role.role: role.colour or white for role in made.roles}


def _takes(role: RoleYarn) -> Words:
    """What a role is knitted with, in a few words."""
    if not role.lots:
        return reason("no yarn yet")
    name = role.lots[0].name
    return reason("{name} (colour guessed)", name=name) if role.lots[0].colour.guessed else name


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


def page_of(made: Partner, pattern: Pattern, pictures: Sequence[Scene], style: Style) -> Page:
    """The page as values, in a style: the fit and the pattern, and how colours and yarn come out.

    pictures: the front, its sights, and as it is seen from near and far.
    """
    from matcher.drawing.page import Page, PageTable
    from matcher.drawing.pattern_chart import pattern_charts
    from matcher.drawing.pattern_page import head_of, steps_of

    fit, say, sentence = made.fit, style.say, style.sentence
    around = reason("{around} around", around=Measure(fit.around_cm))
    subtitle = reason(
        "to go with {garment}; {size}; {around}", garment=made.garment.name, size=made.worn.size, around=around
    )
    sits = " ".join(map(sentence, (*fit_words(fit), placed_words(fit, made.motif))))
    tables = (
        PageTable(
            say(reason("Yarn")),
            _said(style, "colour", "take", "needs", "weighs", "kept for mending", "left", "stitches"),
            tuple(_yarn(role, style) for role in made.roles),
            sentence(reason("chance that it is enough: {sure}", sure=Chance(made.sure))),
        ),
        PageTable(
            say(reason("Longest floats")),
            _said(style, "colour", "passes behind"),
            tuple(
                (say(_colour(role)), say(counted(passed, "{n} stitch", "{n} stitches")))
                for role, passed in fit.longest_floats.items()
            ),
        ),
    )
    lists: tuple[tuple[Words, tuple[Words, ...]], ...] = (
        (reason("How the colours read"), _reads(made)),
        (reason("To make it {sure} sure", sure=Chance(made.sure_at_least, 1)), _short(made)),
        (reason("Kept for mending {garment}", garment=made.garment.name), _stays(made)),
        (reason("Mind"), made.warnings),
        (reason("Care and cautions"), (made.care, *made.cautions)),
    )
    captions = (
        reason("laid flat, the front half"),
        reason("as it is seen"),
        reason("as it is seen from near and far, on white"),
    )
    return Page(
        title=sentence(made.accessory.name).rstrip("."),
        subtitle=say(subtitle),
        pictures=tuple(zip(map(say, captions), pictures, strict=True)),
        charts=pattern_charts(pattern, colours_of(made), style),
        tables=tuple(table for table in tables if table.rows),
        lists=tuple((say(heading), tuple(map(sentence, words))) for heading, words in lists),
        facts=(*head_of(pattern, style), (say(reason("Fit")), sits)),
        steps=steps_of(pattern, style),
    )


def _said(style: Style, *headings: str) -> tuple[str, ...]:
    return tuple(style.say(Term(heading)) for heading in headings)


def _colour(role: str) -> Words:
    """What the steps call a role, and the role."""
    return reason("{letter}, {role}", letter=letter_of(role), role=Term(role))


def _yarn(role: RoleYarn, style: Style) -> tuple[str, ...]:
    take = ", ".join(style.say(lot_words(lot.name, lot)) for lot in role.lots)
    return (
        style.say(_colour(role.role)),
        take or style.say(_takes(role)),
        f"{style.say(Length(role.need_m))} ±{style.say(Length(role.need_sd_m))}",
        style.say(Mass(role.need_g)) if role.lots else "",
        style.say(Length(role.reserve_m)),
        style.say(Length(role.left_m)),
        str(role.need.stitches),
    )


def _reads(made: Partner) -> tuple[Words, ...]:
    return tuple(
        reason(
            "{first} and {second}: {verdict} ({looks})",
            first=Term(a),
            second=Term(b),
            verdict=Term(one.judged.verdict),
            looks=one.judged.plainly,
        )
        for one, _ in made.contrasts
        for a, b in (one.roles,)
    )


def _short(made: Partner) -> tuple[Words, ...]:
    """The ways out, and what their contrast is measured against."""
    if made.enough or not made.exchanges:
        return ()
    whole = reason("contrast {whole}: every two colours that touch are clear beside each other", whole=Share(1.0))
    return (*map(way_words, made.exchanges), whole)


def _stays(made: Partner) -> tuple[Words, ...]:
    return tuple(
        reason("{yarn}: {reserve}; {because}", yarn=one.called, reserve=Length(one.reserve_m), because=one.because)
        for one in made.kept
    )
