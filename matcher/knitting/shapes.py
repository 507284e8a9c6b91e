"""Shapes: how many stitches and rows a zone has in a size and at a gauge.

Every zone is a simple solid whose rounds shrink or grow evenly, so the stitches are rows times the mean of
the first and the last round: tube and flat (both the same), crown (down to a few stitches), frustum (to
`around_end`), triangle (from a few stitches), piece (stitches given outright).
"""

from __future__ import annotations

from typing import NamedTuple

from matcher.knitting.accessory import Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import FabricConstants, Gauge, knittable, rows_for, stitches_for


class ZoneShape(NamedTuple):
    """Stitches in the first and the last round, rows, pieces alike, and the stitches of them all together."""

    first: int
    last: int
    rows: int
    pieces: int
    total: int
    around_cm: float | None
    height_cm: float | None


def zone_shape(zone: Zone, size: str, gauge: Gauge, sizes: Sizes, constants: FabricConstants) -> ZoneShape:
    """Stitches and rows of a zone, whole numbers as they are knitted; at least one of each.

    Raises KeyError when the size lacks a dimension that the zone uses.
    """
    structure = zone.structure
    around_cm = None
    if zone.stitches is not None:
        first = zone.stitches
    else:
        assert zone.around is not None, zone.name
        around_cm = zone.around.in_cm(sizes, size)
        first = knittable(stitches_for(structure, around_cm, gauge, constants))
    height_cm = None
    if zone.rows is not None:
        rows = zone.rows
    else:
        assert zone.height is not None, zone.name
        height_cm = zone.height.in_cm(sizes, size)
        rows = knittable(rows_for(structure, height_cm, gauge, constants))
    last = first
    if zone.shape == "crown":
        last = min(first, round(constants.crown_end_stitches))
    elif zone.shape == "frustum":
        assert zone.around_end is not None, zone.name
        last = knittable(stitches_for(structure, zone.around_end.in_cm(sizes, size), gauge, constants))
    elif zone.shape == "triangle":
        first, last = min(first, round(constants.triangle_end_stitches)), first
    total = round(zone.count * rows * (first + last) / 2.0)
    return ZoneShape(first, last, rows, zone.count, total, around_cm, height_cm)
