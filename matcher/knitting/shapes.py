"""Shapes: how many stitches and rows a zone has in a size and at a gauge.

Every zone is a simple solid: tube and flat (all rounds the same), crown (down to a few stitches), frustum (to
`around_end`), triangle (from a few stitches), piece (stitches given outright). What stands in the rounds between is
what `shaping` knits.
"""

from __future__ import annotations

from typing import NamedTuple

from matcher.knitting.accessory import Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import RIB_REPEAT, FabricConstants, Gauge, knittable, rows_for, stitches_for
from matcher.knitting.shaping import by_round, crown_end, frustum_end, triangle_end


class ZoneShape(NamedTuple):
    """Stitches in the first and the last round, rows, pieces alike, and the stitches of them all together.

    first: of a crown or a frustum, those that it begins on.
    """

    first: int
    last: int
    rows: int
    pieces: int
    total: int
    around_cm: float | None
    height_cm: float | None


def zone_shape(zone: Zone, size: str, gauge: Gauge, sizes: Sizes, constants: FabricConstants) -> ZoneShape:
    """Stitches and rows of a zone, whole numbers as they are knitted; at least one of each, of garter two rows.

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
        rows = knitted_rows(structure, rows_for(structure, height_cm, gauge, constants), constants)
    if zone.shape == "triangle":
        first, last = triangle_ends(first, constants)
    else:
        last = end_of(zone, first, rows, size, gauge, sizes, constants)
    total = zone.count * sum(by_round(zone.shape, first, last, rows))
    return ZoneShape(first, last, rows, zone.count, total, around_cm, height_cm)


def knitted_rows(structure: str, rows: float, constants: FabricConstants) -> int:
    """Whole rows; of garter, whose ridges take two, an even number."""
    return 2 * knittable(rows / 2.0) if constants.structure(structure).purled == "rows" else knittable(rows)


def triangle_ends(wide: int, constants: FabricConstants) -> tuple[int, int]:
    """Stitches in the first and the last row of a triangle that is so wide."""
    first = min(wide, round(constants.triangle_end_stitches))
    return first, triangle_end(first, wide)


def end_of(zone: Zone, first: int, rows: int, size: str, gauge: Gauge, sizes: Sizes, constants: FabricConstants) -> int:
    """Stitches after the last round of a tube, a flat piece, a crown or a frustum that begins on `first`."""
    if zone.shape == "crown":
        sections = (constants.crown_end_stitches, constants.crown_least_sections, constants.crown_most_sections)
        return crown_end(first, rows, *map(round, sections), RIB_REPEAT if constants.ribbed(zone.structure) else 1)
    if zone.shape == "frustum":
        assert zone.around_end is not None, zone.name
        wanted = stitches_for(zone.structure, zone.around_end.in_cm(sizes, size), gauge, constants)
        return frustum_end(first, knittable(wanted))
    return first
