"""Counting on a grid of stitches, whatever stands for a colour in it: runs passed behind, and sides that touch."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

Edge = frozenset[str]


def longest_floats(row: Sequence[str]) -> dict[str, int]:
    """Longest run of other stitches between two of each colour, round the edge of the row, which repeats."""
    places: dict[str, list[int]] = {}
    for place, one in enumerate(row):
        places.setdefault(one, []).append(place)
    return {
        one: max(after - before - 1 for before, after in zip(own, [*own[1:], own[0] + len(row)], strict=True))
        for one, own in places.items()
    }


def longest_of_all(rows: Sequence[Sequence[str]]) -> dict[str, int]:
    """The same over several rows, each by itself."""
    longest: dict[str, int] = {}
    for row in rows:
        for one, run in longest_floats(row).items():
            longest[one] = max(longest.get(one, 0), run)
    return longest


def touching(rows: Sequence[Sequence[str]], stacked: bool) -> tuple[Counter[Edge], Counter[Edge]]:
    """Sides where two different colours meet: between neighbours of a row, which closes into a round, and upwards.

    stacked: whether the first row stands on the last one too. Rows of other widths, as where stitches are decreased,
    do not count upwards.
    """
    beside: Counter[Edge] = Counter()
    above: Counter[Edge] = Counter()
    for number, row in enumerate(rows):
        _meet(beside, zip(row, [*row[1:], *row[:1]], strict=True))
        upper = rows[(number + 1) % len(rows)] if stacked or number + 1 < len(rows) else ()
        if len(upper) == len(row):
            _meet(above, zip(row, upper, strict=True))
    return beside, above


def _meet(found: Counter[Edge], pairs: zip[tuple[str, str]]) -> None:
    for (a, b), count in Counter(pairs).items():
        if a != b:
            found[frozenset((a, b))] += count


def both(sides: tuple[Mapping[Edge, int], Mapping[Edge, int]]) -> dict[Edge, int]:
    """Beside and above together."""
    return dict(Counter(sides[0]) + Counter(sides[1]))
