"""Charts as grids of signs, a sign a stitch in its colour: what a page of plain text prints."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from matcher.knitting.fit.fitted import in_role_order
from matcher.knitting.pattern.pattern import Chart, Pattern, letter_of
from matcher.knitting.pattern.stitches import Stitch, changes, from_the_right_side
from matcher.reasons.reason import Term, Words, listed, reason

_COLOURS = ".#ox+*=%"  # knit stitches of the first role, the second ...
_SHAPING = {"p": "-", "k2tog": "/", "ssk": "\\", "s2kp": "^", "m1l": "<", "m1r": ">", "sl": "v"}
_MORE = "ABCDEFGHIJKLMNPQRSTUVWYZabcdefghijklmnpqrstuwyz"


@dataclass(frozen=True)
class GridRow:
    """A row of a chart as it is seen from the right side, left to right; one of the wrong side is knitted from the
    left, where its number stands."""

    number: int
    signs: str
    wrong_side: bool


def signs_of(pattern: Pattern) -> dict[Stitch, str]:
    """A sign for every stitch of the charts, as the stitch is seen from the right side; one key for all charts."""
    sides = _wrong_sides(pattern)
    seen = {stitch for chart in pattern.charts for row in _seen(chart, sides) for stitch in row}
    roles = sorted({role for _, role in seen}, key=in_role_order)
    first = {role: _COLOURS[place % len(_COLOURS)] for place, role in enumerate(roles)}
    found: dict[Stitch, str] = {}
    for stitch in sorted(seen, key=lambda one: (one.op != "k", in_role_order(one.role), one.op)):
        sign = first[stitch.role] if stitch.op == "k" else _SHAPING.get(stitch.op, "")
        if not sign or sign in found.values():
            sign = next(one for one in _MORE if one not in found.values())
        found[stitch] = sign
    return found


def signs_key(pattern: Pattern) -> tuple[tuple[str, Words], ...]:
    """Each sign of the charts and what it means."""
    knit = reason("knit on the right side, purl on the wrong side") if _wrong_sides(pattern) else Term("knit")
    purl = reason("purl on the right side, knit on the wrong side") if _wrong_sides(pattern) else Term("purl")
    found: list[tuple[str, Words]] = []
    for (op, role), sign in signs_of(pattern).items():
        work: Words = {"k": knit, "p": purl}.get(op, op)
        found.append((sign, listed((letter_of(role), work)) if role else work))
    return tuple(found)


def how_to_read(pattern: Pattern) -> tuple[Words, ...]:
    """Which way the charts are read."""
    first = reason("Read a chart from the bottom up, and each row from right to left, as it is knitted")
    if not _wrong_sides(pattern):
        return (first,)
    return first, reason("A row whose number stands at its left is of the wrong side: read it from left to right")


def grid_of(chart: Chart, pattern: Pattern) -> tuple[GridRow, ...]:
    """The rows of a chart from the top down, as they are printed.

    Narrower rows end at the right edge; where both ends of a row are shaped, as of a gusset or a tip, they stand in the
    middle.
    """
    sides, signs = _wrong_sides(pattern), signs_of(pattern)
    rows = ["".join(signs[stitch] for stitch in row) for row in _seen(chart, sides)]
    wide = max(len(row) for row in rows)
    amid = any(len(row) > 3 and changes(row[:2]) and changes(row[-2:]) for row in chart.rows)
    rows = [row.center(wide) if amid else row.rjust(wide) for row in rows]
    found = [GridRow(number, row, (chart.name, number) in sides) for number, row in enumerate(rows, start=1)]
    return tuple(reversed(found))


def _wrong_sides(pattern: Pattern) -> set[tuple[str, int]]:
    """Rows of charts that are knitted on the wrong side: the chart's name and the row."""
    return {
        (charted.chart, charted.row)
        for piece in pattern.pieces
        for course in piece.courses()
        if course.wrong_side
        for charted in course.charted
    }


def _seen(chart: Chart, sides: set[tuple[str, int]]) -> Iterator[tuple[Stitch, ...]]:
    """Every row from left to right, as the right side shows it."""
    for number, row in enumerate(chart.rows, start=1):
        yield from_the_right_side(row, (chart.name, number) in sides)
