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

    Of every round one side is seen, of the flap half. Stitches of the gusset are pressed together, and those of the
    turned heel stretched, so that the sole is even: the only ones that are not as large as they are knitted.
    """
    flap, turn, gusset = (rows_of(fitted, rounds_of(fitted, part), constants) for part, _ in fitted.extra)
    toe = next(number for number, part in enumerate(fitted.parts) if part.shape == "frustum")
    at = next(number for number, part in enumerate(fitted.parts) if part.part == fitted.parts[toe - 1].part)
    legs = column(accessory, replace(fitted, parts=fitted.parts[:at]), constants)
    foot = rows_of(fitted, replace(fitted, parts=fitted.parts[at:], extra=()).rounds(), constants)
    # Knitted from the cuff down: half a turn, so that right and left change sides as well.
    ankle = max((panel.rows[-1] for panel in legs), key=lambda row: row.top)
    half = ankle.width / 2
    heel = [_as_wide(row, half, ankle.left, row.bottom + ankle.top) for row in flap]
    middle, sole = -(ankle.left + half), heel[-1].top
    # The turned heel is a cup: seen from its side it reaches as far back as the flap.
    across = half / turn[-1].top
    widening = zip(turn, sorted(turn, key=lambda row: row.width), strict=True)
    turned = [
        replace(row, left=-row.width, bottom=under.bottom * across, height=under.height * across)
        for under, row in widening
    ]
    deep = sole - ankle.top + turned[-1].width
    forward = _with_gusset(_hanging(foot), gusset, deep)
    return [
        *(replace(panel, place=Straight(quarters=2)) for panel in legs),
        Panel(tuple(heel), Straight(quarters=2), HEEL),
        Panel(tuple(turned), Straight(middle + turned[-1].top, sole, 1), HEEL),
        Panel(tuple(forward), Straight(middle, ankle.top, 1), FOOT),
    ]


def _as_wide(row: Row, wide: float, left: float, bottom: float) -> Row:
    """A row elsewhere, its stitches as wide together as there is room."""
    by = wide / row.width
    return replace(row, widths=tuple(width * by for width in row.widths), left=left, bottom=bottom)


def _hanging(foot: Sequence[Row]) -> list[Row]:
    """Rounds that hang from the instep; where they narrow to a toe, in the middle of the foot."""
    full = foot[0].width
    return [replace(row, left=-(full + row.width) / 2) for row in foot]


def _with_gusset(foot: Sequence[Row], gusset: Sequence[Row], deep: float) -> list[Row]:
    """The rounds of the foot with the stitches of the gusset at the sole: together so wide [mm] where they begin as the
    heel is deep, and at last as wide as the foot."""
    found = list(foot)
    for number, extra in enumerate(sorted(gusset, key=lambda row: -row.width)[: len(foot)]):
        row = foot[number]
        widths = (*extra.widths, *row.widths)
        room = deep + (row.width - deep) * number / len(gusset)
        by = room / sum(widths)
        found[number] = replace(
            row,
            roles=(*extra.roles, *row.roles),
            widths=tuple(width * by for width in widths),
            purled=(*extra.purled, *row.purled),
            left=-room,
        )
    return found
