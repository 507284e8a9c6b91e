"""A pair of mitts or mittens, backs up: at the inner side of each hand the gusset, and the thumb that grows from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from matcher.drawing.laid.column import centred
from matcher.drawing.laid.panel import Panel
from matcher.drawing.laid.rows import Row, rounds_of, rows_of
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.fit.hands import thumb_of

THUMB, GUSSET = "thumb", "gusset"
_LEAN = 0.32  # mm that a thumb leans outwards for each mm it is long; for the eye only
_APART = 8.0  # mm between the two thumbs


def mittens(fitted: Fitted, constants: FabricConstants) -> list[Panel]:
    """The left one at the left with its thumb to the right, and its mirror image, whose rounds read as those of a
    fitted accessory do; the left one alone where only one is knitted, and nothing where there is no thumb. Raises
    BadInput for a gusset that is higher than its hand."""
    found = thumb_of(fitted, constants)
    if found is None:
        return []
    gusset, thumb, start = found.gusset, found.thumb, found.start
    hand = _mirrored(centred(rows_of(fitted, fitted.rounds(), constants)))
    wedge = _beside(_mirrored(rows_of(fitted, rounds_of(fitted, gusset), constants)), hand, hand[start].bottom)
    above = _leaning(_mirrored(rows_of(fitted, rounds_of(fitted, thumb), constants)), wedge[-1])
    left = [Panel(hand), Panel(tuple(above), kind=THUMB), Panel(tuple(wedge), kind=GUSSET)]
    if fitted.pieces == 1:
        return left
    middle = max(row.right for row in (*hand, *above)) + _APART / 2
    return [*left, *(replace(panel, rows=_mirrored(panel.rows, middle)) for panel in left)]


def _beside(wedge: Sequence[Row], hand: Sequence[Row], bottom: float) -> list[Row]:
    """The rows of the gusset from a height up, each at the edge of the hand."""
    found = []
    for row in wedge:
        y = row.bottom + bottom
        edge = next((one.right for one in hand if one.top > y + 1e-6), hand[-1].right)
        found.append(replace(row, left=edge, bottom=y))
    return found


def _leaning(thumb: Sequence[Row], base: Row) -> list[Row]:
    """The rounds of the thumb on the last row of the gusset, their outer edges in one line."""
    full = thumb[0].width
    return [
        replace(row, left=base.right - (full + row.width) / 2 + _LEAN * row.bottom, bottom=row.bottom + base.top)
        for row in thumb
    ]


def _mirrored(rows: Sequence[Row], middle: float = 0.0) -> tuple[Row, ...]:
    """The mirror image of rows on the other side of a middle line."""
    return tuple(
        replace(
            row, roles=row.roles[::-1], widths=row.widths[::-1], purled=row.purled[::-1], left=2 * middle - row.right
        )
        for row in rows
    )
