"""A pattern as a page of plain text: facts, yarn, key, charts, steps and finishing, 80 columns wide.

So built that it can be read back: a title underlined with "=", as every piece is where there are several; sections
underlined with "-"; a step begins at the margin and goes on indented; rows of a chart are indented, their number at
the side where they begin.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Mapping

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.pattern.grids import grid_of, how_to_read, signs_key
from matcher.knitting.pattern.head import COUNTED, colours_of, facts_of, key_of
from matcher.knitting.pattern.minded import NOTHING, Minded
from matcher.knitting.pattern.pattern import Chart, Pattern, Piece
from matcher.knitting.pattern.words import lines_of
from matcher.reasons.quantities import Length
from matcher.reasons.reason import Term, Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.reasons.visible import visible

WIDE = 80
_INDENT = "    "
# A number stays with what it counts, a colour with its stitches, a round with its number.
_TOGETHER = re.compile(
    r"(?<=\d) (?=[A-Za-z])|(?<=\w) (?=(?:MC|CC\d+)\b)|(?<=ound) (?=\d)|(?<=ounds) (?=\d)"
    r"|(?<=row) (?=\d)|(?<=rows) (?=\d)"
)
_KEPT = "\N{NO-BREAK SPACE}"


def pattern_text(
    pattern: Pattern,
    constants: FabricConstants,
    yarns: Mapping[str, Words] | None = None,
    style: Style = PLAIN,
    mind: Minded = NOTHING,
) -> str:
    """The whole page. yarns: what each role is knitted with, in words; roles without are named alone."""
    lines = _titled(style.say(Term(pattern.accessory.name)), "=", style)
    for label, words in facts_of(pattern):
        lines += _wrapped(style.say(reason("{label}: {words}", label=label, words=words)))
    lines += [style.say(reason("Yarn")) + ":"]
    for colour in colours_of(pattern, constants):
        what: list[Words] = [Term(colour.role), *([(yarns or {})[colour.role]] if colour.role in (yarns or {}) else [])]
        said = reason(
            "{letter}: {what}, {metres}, give or take {sd}",
            letter=colour.letter,
            what=listed(what),
            metres=Length(colour.length_m),
            sd=Length(colour.sd_m),
        )
        lines += [f"  {line}" for line in _wrapped(style.say(said), WIDE - 2)]
    lines += _sentences((COUNTED,), style)
    for heading, words_of in mind.sections:
        lines += _headed(heading, style)
        lines += _sentences(words_of, style)
    lines += _headed(reason("Abbreviations"), style)
    for short, spelled in key_of(pattern):
        lines += _wrapped(style.say(reason("{short}: {spelled}", short=short, spelled=spelled)))
    if pattern.before:
        lines += _headed(reason("Before you begin"), style)
        lines += _sentences(pattern.before, style)
    if pattern.charts:
        lines += _headed(reason("Signs of the charts"), style)
        lines += _sentences(how_to_read(pattern), style)
        lines += [f"  {sign}  {style.say(words)}" for sign, words in signs_key(pattern)]
    for chart in pattern.charts:
        lines += _chart(chart, pattern, style)
    for piece in pattern.pieces:
        lines += _piece(piece, pattern, style)
    if pattern.finishing:
        lines += _headed(reason("Finishing"), style)
        lines += _sentences(pattern.finishing, style)
    return "\n".join(lines).strip("\n") + "\n"


def _piece(piece: Piece, pattern: Pattern, style: Style) -> Iterator[str]:
    if len(pattern.pieces) > 1 or piece.times > 1:
        yield from _titled(style.say(piece.name), "=", style)
        if piece.times > 1:
            yield style.sentence(counted(piece.times, "make {n}", "make {n}, all alike"))
    for section in lines_of(piece, pattern):
        yield from _headed(section.heading, style)
        yield from _sentences(tuple(line.words for line in section.lines), style)


def _chart(chart: Chart, pattern: Pattern, style: Style) -> Iterator[str]:
    wide, high = max(len(row) for row in chart.rows), len(chart.rows)
    yield from _headed(
        reason(
            "Chart {name}: {stitches}, {rows}",
            name=chart.name,
            stitches=counted(wide, "{n} stitch", "{n} stitches"),
            rows=counted(high, "{n} row", "{n} rows"),
        ),
        style,
    )
    rows = grid_of(chart, pattern)
    apart = " " if 2 * wide + 12 <= WIDE else ""
    numbers = len(str(high))
    yield ""
    for row in rows:
        signs = apart.join(row.signs)
        left, right = (str(row.number), "") if row.wrong_side else ("", str(row.number))
        yield f"{_INDENT}{left:>{numbers}} |{signs}| {right}".rstrip()


def _headed(heading: Words, style: Style) -> list[str]:
    return _titled(style.say(heading), "-", style)


def _titled(title: str, under: str, style: Style) -> list[str]:
    said = f"{title[:1].upper()}{title[1:]}"
    return ["", said, under * len(said)]


def _sentences(words: tuple[Words, ...], style: Style) -> Iterator[str]:
    for one in words:
        yield from _wrapped(style.sentence(one))


def _wrapped(text: str, wide: int = WIDE) -> list[str]:
    kept = _TOGETHER.sub(_KEPT, visible(text))
    lines = textwrap.wrap(kept, wide, subsequent_indent=_INDENT, break_long_words=False, break_on_hyphens=False)
    return [line.replace(_KEPT, " ") for line in lines]
