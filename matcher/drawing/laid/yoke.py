"""The front of a yoke, bent as it lies round the neck: its outer edge is the round that joins body and sleeves."""

from __future__ import annotations

import math
from dataclasses import replace

from matcher.drawing.laid.panel import Fan, Panel
from matcher.drawing.laid.rows import Row, rows_of
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted

_WIDEST = 1.1 * math.pi  # radians; a front that would go further round lies flat no more


def yoke(fitted: Fitted, constants: FabricConstants) -> list[Panel]:
    """The front half as a part of a ring, as wide at its outer and its inner edge as it is knitted; straight where it
    does not narrow. Stitches of a band are a little wider at its outer side than at its inner."""
    rows = rows_of(fitted, fitted.rounds(), constants)
    narrower = rows[0].width - rows[-1].width
    angle = min(_WIDEST, narrower / rows[-1].top)
    if angle <= 0:
        return [Panel(tuple(rows))]
    fan = Fan(rows[0].width / angle)
    return [Panel(tuple(_bent(row, angle) for row in rows), fan)]


def _bent(row: Row, angle: float) -> Row:
    """A row whose widths are angles, the middle of it straight down."""
    by = angle / row.width
    return replace(row, left=-angle / 2, widths=tuple(width * by for width in row.widths))
