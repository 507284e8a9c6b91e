"""A sock from its side: the leg above, the heel at the right below it, the foot to the left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from matcher.drawing.laid.column import column
from matcher.drawing.laid.panel import Panel, Straight
from matcher.drawing.laid.rows import Row, rounds_of, rows_of
from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted

HEEL, FOOT = "heel", "foot"


def is_sock(fitted: Fitted) -> bool:
    """Whether it has a heel flap, a turned heel and gussets, and a foot."""
    return [part.shape for part, _ in fitted.extra] == ["flat", "triangle", "triangle"] and len(fitted.parts) > 1


def sock(accessory: Accessory | None, fitted: Fitted, constants: FabricConstants) -> list[Panel]:
    """The leg with its cuff, the flap and the turned heel, the foot with the gusset in its first rounds, the toe.

    Of every round one side is seen, of the flap half. Stitches of the gusset are pressed together, so that the sole is
    straight: the only ones that are not as high as they are knitted.
    """
    flap, turn, gusset = (rows_of(fitted, rounds_of(fitted, part), constants) for part, _ in fitted.extra)
    at = next(number for number, part in enumerate(fitted.parts) if part.shape == "frustum") - 1
    legs = column(accessory, replace(fitted, parts=fitted.parts[:at]), constants)
    foot = rows_of(fitted, replace(fitted, parts=fitted.parts[at:], extra=()).rounds(), constants)
    # Knitted from the cuff down: half a turn, so that right and left change sides as well.
    ankle = legs[0].rows[-1]
    for panel in legs:
        ankle = max(ankle, panel.rows[-1], key=lambda row: row.top)
    heel = _standing(flap, ankle.left, ankle.top)
    middle, sole = -(ankle.left + ankle.width / 2), heel[-1].top
    turned = [replace(row, left=-row.width) for row in turn]
    deep = sole - ankle.top + turned[-1].width
    forward = _narrowing(_with_gusset(foot, gusset, deep), foot[0].width)
    return [
        *(replace(panel, place=Straight(quarters=2)) for panel in legs),
        Panel(tuple(heel), Straight(quarters=2), HEEL),
        Panel(tuple(turned), Straight(middle + turned[-1].top, sole, 1), HEEL),
        Panel(tuple(forward), Straight(middle, ankle.top, 1), FOOT),
    ]


def _standing(rows: Sequence[Row], left: float, bottom: float) -> list[Row]:
    return [replace(row, left=left, bottom=row.bottom + bottom) for row in rows]


def _with_gusset(foot: Sequence[Row], gusset: Sequence[Row], deep: float) -> list[Row]:
    """The rounds of the foot with the stitches of the gusset at the sole: together so wide [mm] where they begin as the
    heel is deep, and at last as wide as the foot."""
    found = list(foot)
    for number, extra in enumerate(sorted(gusset, key=lambda row: -row.width)[: len(foot)]):
        row = foot[number]
        widths = (*extra.widths, *row.widths)
        room = deep + (row.width - deep) * number / len(gusset)
        found[number] = replace(
            row,
            roles=(*extra.roles, *row.roles),
            widths=tuple(width * room / sum(widths) for width in widths),
            purled=(*extra.purled, *row.purled),
        )
    return found


def _narrowing(rows: Sequence[Row], full: float) -> list[Row]:
    """Rounds hanging from the instep, and where they narrow to a toe in the middle of the foot."""
    return [replace(row, left=-row.width if row.width >= full else -(full + row.width) / 2) for row in rows]
