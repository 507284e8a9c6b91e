"""What is knitted flat: a piece as it is cast on, a strip on its side, flags on a string, flaps below a hat."""

from __future__ import annotations

from dataclasses import replace

from matcher.drawing.laid.column import centred, column
from matcher.drawing.laid.panel import Panel, Straight
from matcher.drawing.laid.rows import FLAT, rounds_of, rows_of
from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted, FittedPart

FLAP, FLAG = "flap", "flag"
_ROUND_THE_NECK = ("cowl", "neck")  # kinds that lie on their side when they are long
_FLAPS = 2


def piece(fitted: Fitted, part: FittedPart, constants: FabricConstants) -> Panel:
    """A part by itself: all of it where it lies open, else its front."""
    rows = rows_of(fitted, rounds_of(fitted, part), constants, whole=part.shape in FLAT)
    return Panel(tuple(centred(rows)))


def strip(kind: str, fitted: Fitted, constants: FabricConstants) -> list[Panel]:
    """A flat piece as it is used: round the neck on its side, and the front half of what is joined to a ring."""
    panel = piece(fitted, fitted.parts[0], constants)
    rows = panel.rows
    if kind not in _ROUND_THE_NECK or fitted.parts[0].shape != "flat" or rows[-1].top < rows[0].width:
        return [panel]
    if kind == "cowl":
        rows = rows[: (len(rows) + 1) // 2]
    return [Panel(rows, Straight(quarters=1))]


def earflaps(accessory: Accessory | None, fitted: Fitted, constants: FabricConstants) -> list[Panel]:
    """A hat with its two flaps, each folded along its middle where the side of the hat is, so that half of it is seen;
    nothing where it is no such thing."""
    flap = tuple(part for part, pieces in fitted.extra if pieces == _FLAPS and part.shape in FLAT)
    if not flap or len(flap) < len(fitted.extra) or fitted.pieces > 1:
        return []
    hat = column(accessory, fitted, constants)
    edge = hat[0].rows[0]
    # From its tip up, one part of it above the other.
    rows = rows_of(fitted, replace(fitted, parts=flap, extra=()).rounds(), constants)
    low = edge.bottom - rows[-1].top
    return [
        *hat,
        Panel(tuple(replace(row, left=edge.left, bottom=row.bottom + low) for row in rows), kind=FLAP),
        Panel(tuple(replace(row, left=edge.right - row.width, bottom=row.bottom + low) for row in rows), kind=FLAP),
    ]


def bunting(fitted: Fitted, constants: FabricConstants) -> list[Panel]:
    """Flags along a string, their tips down; nothing where it is no such thing."""
    parts = [*((part, fitted.pieces) for part in fitted.parts), *fitted.extra]
    if [part.shape for part, _ in parts] not in (["triangle", "flat"], ["flat", "triangle"]):
        return []
    (flag, number), (string, _) = sorted(parts, key=lambda one: one[0].shape, reverse=True)
    line, one = piece(fitted, string, constants), piece(fitted, flag, constants)
    wide, high = max(row.width for row in one.rows), one.rows[-1].top
    step = line.rows[0].width / number
    places = (step * (at + 0.5) - wide / 2 for at in range(number))
    return [
        line,
        *(
            Panel(tuple(replace(row, left=row.left + x, bottom=row.bottom - high) for row in one.rows), kind=FLAG)
            for x in places
        ),
    ]
