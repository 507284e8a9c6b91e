"""A body that was measured: one measure of hers, the others taken from the nearest size in proportion."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
    nearest = nearest_size(sizes, dimension, cm, among)
    body = {**sizes.table[nearest], **_scaled(sizes, nearest, dimension, cm)}
    return with_body(sizes, MEASURED, body, nearest), nearest


def measured_body(
    sizes: Sizes, size: str, measures: Mapping[str, float], among: Sequence[str]
) -> tuple[dict[str, float], str]:
    """A body of which several measures were taken [cm], and the size that it is most like.

    size : hers, "" where it is not known: then nothing is in the body but what was measured and what grows with it.
    among : sizes whose proportions a measure may follow. Raises KeyError when none has a measure that was taken.
    """
    body = dict(sizes.table.get(size, {}))
    likes = []
    for dimension, cm in measures.items():
        like = size if sizes.has(size, dimension) else nearest_size(sizes, dimension, cm, among)
        body |= _scaled(sizes, like, dimension, cm)
        likes.append(like)
    return body, size or likes[0]


def nearest_size(sizes: Sizes, dimension: str, cm: float, among: Sequence[str]) -> str:
    """The size whose dimension is nearest; raises KeyError when none has it."""
    known = [size for size in among if sizes.has(size, dimension)]
    if not known:
        raise KeyError(f"no size gives {dimension}")
    return min(known, key=lambda size: abs(sizes.dimension(size, dimension) - cm))


def _scaled(sizes: Sizes, size: str, dimension: str, cm: float) -> dict[str, float]:
    """The measures of a size that grow with one, as they are when that one is so many centimetres."""
    scale, table = cm / sizes.dimension(size, dimension), sizes.table[size]
    return {name: table[name] * scale for name in FOLLOW[dimension] if name in table}


def with_body(sizes: Sizes, name: str, body: Mapping[str, float], like: str) -> Sizes:
    """The table with a body added, which is worn by whoever wears the size that it is like."""
    figures = (*sizes.figures, *(replace(one, size=name) for one in sizes.figures if one.size == like))
    return replace(sizes, names=(*sizes.names, name), table={**sizes.table, name: body}, figures=figures)
