"""Rows of stitches at their places, straight, turned or bent, as shapes: stitch by stitch, or small, run by run."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import groupby, pairwise
from typing import Protocol

from matcher.drawing.laid.rows import Row
from matcher.drawing.scene import Points, Shape, box
from matcher.drawing.stitches import Shown, between, outline_of

SHADOW = "#8f8a84"  # dark enough that white knitting is seen on white paper
_STRAIGHT = 0.06  # radians that a bent edge goes on straight
_LEAST_STEP = 0.01
_UNDER = 0.2  # of a slope's height and width, so far it goes on under its neighbours
_STEEP = 2.5  # a slope is at most so many times as high as it is wide


class Place(Protocol):
    """From the places of a panel (x to the right, y up) to those of the picture (y down)."""

    def at(self, x: float, y: float) -> tuple[float, float]:
        """One place [mm]."""
        ...

    def outline(self, points: Points) -> Points:
        """A polygon."""
        ...

    def box(self, x: float, y: float, width: float, height: float) -> Points:
        """The corners of a rectangle whose lower left corner is at (x, y)."""
        ...

    def stitch(self, x: float, y: float, width: float, height: float, purled: bool) -> Points:
        """The outline of a stitch whose lower left corner is at (x, y)."""
        ...

    def moved(self, across: float, down: float) -> Place:
        """The same elsewhere in the picture."""
        ...


@dataclass(frozen=True)
class Straight:
    """Moved, and turned by so many quarters against the clock: after one, what was up lies to the left."""

    x: float = 0.0
    y: float = 0.0
    quarters: int = 0

    def at(self, x: float, y: float) -> tuple[float, float]:
        across, down = _turned(x, -y, self.quarters)
        return self.x + across, self.y + down

    def outline(self, points: Points) -> Points:
        return tuple(self.at(x, y) for x, y in points)

    def box(self, x: float, y: float, width: float, height: float) -> Points:
        return self.outline(box(x, y, width, height))

    def stitch(self, x: float, y: float, width: float, height: float, purled: bool) -> Points:
        across, down = self.at(x, y + height)
        return tuple([(across + dx, down + dy) for dx, dy in _form(width, height, purled, self.quarters)])

    def moved(self, across: float, down: float) -> Straight:
        return replace(self, x=self.x + across, y=self.y + down)


@dataclass(frozen=True)
class Fan:
    """Bent round a middle: x is the angle from straight down [radians], y goes inwards from the radius."""

    radius: float
    x: float = 0.0
    y: float = 0.0

    def at(self, x: float, y: float) -> tuple[float, float]:
        radius = self.radius - y
        return self.x + radius * math.sin(x), self.y + radius * math.cos(x)

    def outline(self, points: Points) -> Points:
        found = []
        for (x, y), (to_x, to_y) in pairwise((*points, points[0])):
            steps = max(1, math.ceil(abs(to_x - x) / _STRAIGHT))
            found += [self.at(x + (to_x - x) * at / steps, y + (to_y - y) * at / steps) for at in range(steps)]
        return tuple(found)

    def box(self, x: float, y: float, width: float, height: float) -> Points:
        steps = max(1, math.ceil(width / _STRAIGHT))
        turns = [x + width * at / steps for at in range(steps + 1)]
        ways = [(math.sin(turn), math.cos(turn)) for turn in turns]
        outer, inner = self.radius - y, self.radius - y - height
        return (
            *((self.x + outer * sin, self.y + outer * cos) for sin, cos in ways),
            *((self.x + inner * sin, self.y + inner * cos) for sin, cos in reversed(ways)),
        )

    def stitch(self, x: float, y: float, width: float, height: float, purled: bool) -> Points:
        form = _BENT_PURL if purled else _BENT_KNIT
        return tuple([self.at(x + dx * width, y + dy * height) for dx, dy in form])

    def moved(self, across: float, down: float) -> Fan:
        return replace(self, x=self.x + across, y=self.y + down)


# Plainer forms where no two stitches are alike, in a cell of 1 by 1 from its lower left corner.
_BENT_KNIT = ((0.5, -0.15), (0.97, 0.3), (0.97, 1.0), (0.5, 0.7), (0.03, 1.0), (0.03, 0.3))
_BENT_PURL = ((0.02, 0.44), (0.3, 0.16), (0.7, 0.16), (0.98, 0.44), (0.7, 0.84), (0.3, 0.84))


def _turned(x: float, y: float, quarters: int) -> tuple[float, float]:
    """Quarter turns against the clock, y down."""
    for _ in range(quarters % 4):
        x, y = y, -x
    return x, y


@lru_cache(maxsize=512)
def _form(width: float, height: float, purled: bool, quarters: int) -> Points:
    return tuple(_turned(x, y, quarters) for x, y in outline_of(width, height, purled))


@dataclass(frozen=True)
class Panel:
    """Rows of one piece, bottom first. kind: of its shadow, such as "thumb", so that parts can be told from each other.

    over: lies on what was drawn before it, with its shadow."""

    rows: tuple[Row, ...]
    place: Place = Straight()
    kind: str = "shadow"
    over: bool = False

    def corners(self) -> Iterator[tuple[float, float]]:
        """Places of the picture that the rows reach."""
        for row in self.rows:
            for part in range(9):
                x = row.left + row.width * part / 8
                yield self.place.at(x, row.bottom)
                yield self.place.at(x, row.top)

    def shadow(self, beyond: float) -> Shape:
        """What lies under its rows, so many mm larger all round."""
        return Shape(self.place.outline(_around(self.rows)), SHADOW, SHADOW, 2 * beyond, self.kind)

    def shapes(self, shown: Shown, small: bool) -> list[Shape]:
        """Its stitches, each as a shape; small: neighbours of one colour together, in plain boxes."""
        codes = [shown.row(row.roles) for row in self.rows]
        found = [
            Shape(self.place.outline(slope.filled), codes[slope.row][-slope.right], kind="ground")
            for slope in _slopes(self.rows)
        ]
        if small:
            return [*found, *self._runs(codes)]
        for row, here in zip(self.rows, codes, strict=True):
            for x, width, code in _runs(row, here):
                found.append(self._box(x, row.bottom, width, row.height, between(code), "ground"))
        for row, here in zip(self.rows, codes, strict=True):
            x = row.left
            for width, purled, code in zip(row.widths, row.purled, here, strict=True):
                found.append(Shape(self.place.stitch(x, row.bottom, width, row.height, purled), code, kind="stitch"))
                x += width
        return found

    def _runs(self, codes: Sequence[Sequence[str]]) -> Iterator[Shape]:
        """Alike rows together in their most frequent colour, and on it what has another; purls a little darker."""
        at = 0
        for (*_, here), group in groupby(zip(self.rows, codes, strict=True), key=lambda one: _look(*one)):
            rows = [row for row, _ in group]
            row, height = rows[0], rows[-1].top - rows[0].bottom
            most, _ = Counter(here).most_common(1)[0]
            at += len(rows)
            above = self.rows[at] if at < len(self.rows) else None
            if above is not None and (above.left > row.left or above.right < row.right):
                # Somewhat under the rows above, so that no hair of paper shows between them; never beside those.
                yield Shape(self.place.outline(_stepped(row, height, above)), most, kind="run")
            else:
                under = 0.4 * row.height if above is not None else 0.0
                yield self._box(row.left, row.bottom, row.width, height + under, most, "run")
            marks = [between(code) if purled else code for code, purled in zip(here, row.purled, strict=True)]
            for x, width, mark in _runs(row, marks):
                if mark != most:
                    yield self._box(x, row.bottom, width, height, mark, "run")

    def _box(self, x: float, y: float, width: float, height: float, code: str, kind: str) -> Shape:
        return Shape(self.place.box(x, y, width, height), code, kind=kind)


def _stepped(row: Row, height: float, above: Row) -> Points:
    """Alike rows of a height, and a part of a row more where another stands on them."""
    under = row.bottom + height, row.bottom + height + 0.4 * row.height
    left, right = max(row.left, above.left), min(row.right, above.right)
    corners = [(row.left, row.bottom), (row.right, row.bottom), (row.right, under[0]), (right, under[0])]
    corners += [(right, under[1]), (left, under[1]), (left, under[0]), (row.left, under[0])]
    return tuple(dict.fromkeys(corners))


def _look(row: Row, codes: Sequence[str]) -> tuple[float, float, tuple[bool, ...], tuple[str, ...]]:
    """What alike rows have in common."""
    return round(row.left, 3), round(row.width, 3), row.purled, tuple(codes)


def _runs(row: Row, marks: Sequence[str]) -> Iterator[tuple[float, float, str]]:
    """Where each run of one mark begins, how wide it is, and the mark."""
    x, at = row.left, 0
    for mark, run in groupby(marks):
        count = sum(1 for _ in run)
        width = sum(row.widths[at : at + count])
        yield x, width, mark
        x, at = x + width, at + count


@dataclass(frozen=True)
class _Slope:
    """Where the edge steps to another place: the corners of what makes a slope of it, in the colour of the last stitch
    of a row at that side (`right` 1) or of its first (0)."""

    corners: Points
    row: int
    right: int

    @property
    def filled(self) -> Points:
        """What is drawn of it: somewhat under the rows on both its sides, so that no hair of the edge shows there."""
        (outer, y), (inner, _), (_, tip) = self.corners
        under, within = (y - tip) * _UNDER, (inner - outer) * _UNDER + inner
        return (outer, y), (outer, y + under), (within, y + under), (within, tip), (inner, tip)


def _slopes(rows: Sequence[Row]) -> list[_Slope]:
    """Slopes instead of steps, at either side: as high as the rows that stay alike, but never steeper than need be."""
    found = []
    for right in (0, 1):
        edges = [row.right if right else -row.left for row in rows]
        steps = [0, *(at for at in range(1, len(rows)) if abs(edges[at] - edges[at - 1]) > _LEAST_STEP), len(rows)]
        for below, here, after in zip(steps, steps[1:], steps[2:], strict=False):
            inner, outer, y = edges[here], edges[here - 1], rows[here].bottom
            if inner < outer:
                high, row = min(rows[after - 1].top - y, _STEEP * (outer - inner)), here
            else:
                inner, outer = outer, inner
                high, row = -min(y - rows[below].bottom, _STEEP * (outer - inner)), here - 1
            signed = ((x if right else -x, to) for x, to in ((outer, y), (inner, y), (inner, y + high)))
            found.append(_Slope(tuple(signed), row, right))
    return found


def _around(rows: Sequence[Row]) -> Points:
    """The outline of the rows, sloped where they step."""
    first, last = rows[0], rows[-1]
    sides: tuple[list[tuple[float, float]], list[tuple[float, float]]] = ([], [])
    for slope in _slopes(rows):
        outer, _, inner = slope.corners
        sides[slope.right].extend((outer, inner) if inner[1] > outer[1] else (inner, outer))
    left, right = sides
    return (
        (first.left, first.bottom),
        (first.right, first.bottom),
        *right,
        (last.right, last.top),
        (last.left, last.top),
        *reversed(left),
    )
