"""A motif that runs into a crown: which of its columns each round still shows.

The decreases stand where `shaping` spreads them, each at the end of a section: the last column of a section lies on top
and goes up to the crown, the one before it goes. So the motif stays whole between the lines of decreases.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.shaping import spread


def whole_crown(part: FittedPart) -> FittedPart:
    """A crown that shows a motif, each of its rows as wide as it is worked; any other part as it is."""
    if part.shape != "crown" or not part.rows or not part.decreases:
        return part
    columns, rows = list(range(part.first)), []
    for row, stitches in zip(part.rows, part.counts, strict=True):
        columns = kept(columns, stitches)
        worked = row[::-1]
        rows.append("".join(worked[column % len(worked)] for column in columns)[::-1])
    return replace(part, rows=tuple(rows))


def kept(columns: Sequence[int], stitches: int) -> list[int]:
    """The columns that so many stitches leave, in the order in which they are worked."""
    gone = {end - 2 for end in accumulate(spread(len(columns), len(columns) - stitches))}
    return [column for place, column in enumerate(columns) if place not in gone]
