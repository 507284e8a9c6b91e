"""The page of a pattern: the picture, the yarn and the charts on its first sheet, the steps on the next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from matcher.drawing.flat_picture import flat_scene
from matcher.drawing.page import Page, PageSteps, PageTable
from matcher.drawing.pattern_chart import pattern_charts
from matcher.drawing.scene import Scene
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.pattern.head import COUNTED, colours_of, facts_of, key_of
from matcher.knitting.pattern.minded import NOTHING, Minded
from matcher.knitting.pattern.pattern import Pattern, Piece
from matcher.knitting.pattern.words import lines_of
from matcher.materials.colours.colour import Colour
from matcher.reasons.quantities import Length
from matcher.reasons.reason import Term, Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style

_FEW = 5  # abbreviations that have room beside the picture; more stand before the steps
_ABBREVIATIONS = reason("Abbreviations")


def pattern_page(
    pattern: Pattern,
    constants: FabricConstants,
    colours: Mapping[str, Colour],
    yarns: Mapping[str, Words] | None = None,
    style: Style = PLAIN,
    mind: Minded = NOTHING,
) -> Page:
    """A whole pattern as a page, which `page_html` writes for a paper.

    colours: one for each role. yarns: what each role is knitted with, in words; roles without are named alone. Raises
    BadInput for a role without a colour.
    """
    return Page(
        title=style.sentence(Term(pattern.accessory.name)).rstrip("."),
        subtitle="",
        pictures=(("", pattern_scene(pattern, constants, colours, style)),),
        facts=head_of(pattern, style),
        charts=pattern_charts(pattern, colours, style),
        tables=(yarn_table(pattern, constants, yarns or {}, style),),
        steps=(*mind_of(mind, style), *steps_of(pattern, style)),
    )


def pattern_scene(
    pattern: Pattern, constants: FabricConstants, colours: Mapping[str, Colour], style: Style = PLAIN
) -> Scene:
    """The finished thing, laid flat. Raises BadInput for a role without a colour."""
    return flat_scene(pattern.fitted, colours, constants, style, pattern.accessory)


def head_of(pattern: Pattern, style: Style = PLAIN) -> tuple[tuple[str, str], ...]:
    """What stands beside the picture: size, gauge and needles, and a few abbreviations."""
    facts: list[tuple[Words, Words]] = [*facts_of(pattern)]
    if len(key_of(pattern)) <= _FEW:
        facts.append((_ABBREVIATIONS, listed(_key(pattern), between="; ")))
    return tuple((style.say(label), style.say(words)) for label, words in facts)


def _key(pattern: Pattern) -> tuple[Words, ...]:
    return tuple(reason("{short}: {spelled}", short=op, spelled=spelled) for op, spelled in key_of(pattern))


def mind_of(mind: Minded, style: Style = PLAIN) -> tuple[PageSteps, ...]:
    """What to mind of it: it stands before all that is done."""
    return tuple(PageSteps(style.say(heading), tuple(map(style.sentence, words))) for heading, words in mind.sections)


def steps_of(pattern: Pattern, style: Style = PLAIN) -> tuple[PageSteps, ...]:
    """From what to know first to the last end: what is read while knitting."""
    say = style.say
    found = []
    if len(key_of(pattern)) > _FEW:
        found.append(PageSteps(say(_ABBREVIATIONS), tuple(map(say, _key(pattern)))))
    if pattern.before:
        found.append(PageSteps(say(reason("Before you begin")), tuple(map(style.sentence, pattern.before))))
    for piece in pattern.pieces:
        found += _piece_steps(piece, pattern, style)
    if pattern.finishing:
        found.append(PageSteps(say(reason("Finishing")), tuple(map(style.sentence, pattern.finishing))))
    return tuple(found)


def _piece_steps(piece: Piece, pattern: Pattern, style: Style) -> Iterator[PageSteps]:
    name = ""
    if len(pattern.pieces) > 1 or piece.times > 1:
        alike = counted(piece.times, "{name}", "{name}: make {n}, all alike", name=piece.name)
        name = style.sentence(alike).rstrip(".")
    for number, section in enumerate(lines_of(piece, pattern)):
        heading = style.sentence(section.heading).rstrip(".")
        lines = tuple(style.sentence(line.words) for line in section.lines)
        yield PageSteps(heading, lines, "" if number else name)


def yarn_table(
    pattern: Pattern, constants: FabricConstants, yarns: Mapping[str, Words], style: Style = PLAIN
) -> PageTable:
    """What each colour is knitted with, and the metres that it takes. yarns: as `pattern_page` has them."""
    say = style.say
    rows = tuple(
        (one.letter, say(yarns.get(one.role, Term(one.role))), f"{say(Length(one.length_m))} ±{say(Length(one.sd_m))}")
        for one in colours_of(pattern, constants)
    )
    columns = tuple(say(Term(one)) for one in ("colour", "yarn", "needs"))
    return PageTable(say(reason("Yarn")), columns, rows, style.sentence(COUNTED))
