"""A body that was measured: one measure of hers, the others taken from the nearest size in proportion."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from matcher.knitting.bodies import Sizes

MEASURED = "measured"
# Measures that grow together: the one that is taken with a tape, and those that follow it.
FOLLOW = {
    "head": ("head", "head_arc"),
    "hand": ("hand", "wrist", "palm_length", "hand_length", "thumb"),
    "neck": ("neck", "neck_base"),
    "foot": ("foot", "foot_length", "ankle", "calf"),
    "chest": ("chest", "shoulders"),
}
# Beyond every published size; a slip of the tape or of the unit.
LIMITS_CM = {
    "head": (30.0, 70.0),
    "hand": (10.0, 30.0),
    "neck": (20.0, 60.0),
    "foot": (8.0, 35.0),
    "chest": (30.0, 180.0),
}


def with_measured(sizes: Sizes, dimension: str, cm: float, among: Sequence[str]) -> tuple[Sizes, str]:
    """The table with the size "measured" added, and the size whose other figures it takes in proportion.

    among: the sizes to choose the nearest of; each must have the dimension. Raises KeyError when none has.
    """
    known = [size for size in among if sizes.has(size, dimension)]
    if not known:
        raise KeyError(f"no size gives {dimension}")
    nearest = min(known, key=lambda size: abs(sizes.dimension(size, dimension) - cm))
    scale = cm / sizes.dimension(nearest, dimension)
    body = {name: value * scale if name in FOLLOW[dimension] else value for name, value in sizes.table[nearest].items()}
    return replace(sizes, names=(*sizes.names, MEASURED), table={**sizes.table, MEASURED: body}), nearest
