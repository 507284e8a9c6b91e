"""One stitch as an outline, and the colours that the stitches of a lot show one after the other."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from matcher.drawing.scene import Points, Shape, box, moved
from matcher.errors import BadInput
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Field, Term, reason

# Half a knit stitch in its cell (0 to 1, y down), from the notch at its top out and down to its tip. The legs reach
# above the cell and the tip below it, as stitches do that hang in one another; the middle of the cell is covered.
_LEG = ((0.5, 0.27), (0.29, 0.03), (0.17, -0.13), (0.07, -0.16), (0.03, -0.06), (0.03, 0.5), (0.1, 0.68))
_LEG_END = ((0.3, 0.9), (0.44, 1.1), (0.5, 1.15))
_KNIT = (*_LEG, *_LEG_END, *((1 - x, y) for x, y in reversed((*_LEG[1:], *_LEG_END[:-1]))))
# A purl stitch: a bump as wide as its cell.
_BUMP = ((0.5, 0.14), (0.22, 0.18), (0.04, 0.36), (0.02, 0.56), (0.14, 0.74), (0.34, 0.86))
_PURL = (*_BUMP, (0.5, 0.88), *((1 - x, y) for x, y in reversed(_BUMP[1:])))

STRETCH = (2, 5)  # stitches that a variegated yarn shows of one colour before the next; a choice


@dataclass(frozen=True)
class Cell:
    """Where one stitch lies: the corner at its upper left, its width and height, and whether it is purled."""

    x: float
    y: float
    width: float
    height: float
    purled: bool = False

    @property
    def middle(self) -> tuple[float, float]:
        """The place that always has exactly the colour of the stitch."""
        return self.x + self.width / 2, self.y + self.height / 2


@lru_cache(maxsize=256)
def outline_of(width: float, height: float, purled: bool) -> Points:
    """The outline of a stitch in a cell of this size, from the corner at its upper left, y down."""
    return tuple((x * width, y * height) for x, y in (_PURL if purled else _KNIT))


def stitch(cell: Cell, code: str) -> Shape:
    """The one shape of kind "stitch" that stands for a stitch, in the colour `code`."""
    return Shape(moved(outline_of(cell.width, cell.height, cell.purled), cell.x, cell.y), code, kind="stitch")


def row_of_stitches(cells: list[Cell], codes: list[str]) -> tuple[list[Shape], list[Shape]]:
    """A row from left to right: what is seen between the stitches (one shape a run of one colour), and the stitches."""
    ground: list[Shape] = []
    begun = 0
    for place in range(1, len(cells) + 1):
        if place == len(cells) or codes[place] != codes[begun]:
            left, right = cells[begun], cells[place - 1]
            run = box(left.x, left.y, right.x + right.width - left.x, left.height)
            ground.append(Shape(run, between(codes[begun]), kind="ground"))
            begun = place
    return ground, [stitch(cell, code) for cell, code in zip(cells, codes, strict=True)]


@lru_cache(maxsize=1024)
def between(code: str) -> str:
    """What is seen of a colour between its stitches: darker, but of a dark colour lighter, so that it shows."""
    parts = [int(code[place : place + 2], 16) for place in (1, 3, 5)]
    to, share = (255, 0.12) if max(parts) < 110 else (0, 0.28)
    return "#" + "".join(f"{round(part + (to - part) * share):02x}" for part in parts)


@lru_cache(maxsize=1024)
def code_of(lab: Lab) -> str:
    """The code of a colour, such as "#6b7f4a"."""
    return Colour("solid", ((lab, 1.0),)).codes()[0]


@dataclass
class Shown:
    """Hands out the colours of the next stitches of each role, the same ones in the same order every time.

    A heather's stitch has its mean colour. A variegated yarn shows short stretches of its colours, each as often as
    its share says; where they fall is drawn by lot, from the role's name alone.
    """

    colours: Mapping[str, Colour]
    _threads: dict[str, Iterator[str]] = field(default_factory=dict)
    _solid: dict[str, str] = field(default_factory=dict)

    def row(self, roles: Sequence[str]) -> list[str]:
        """The codes of the next stitches, from left to right. Raises BadInput for a role that has no colour."""
        for role in dict.fromkeys(roles):
            if role not in self._threads:
                self._begin(role)
        solid, threads = self._solid, self._threads
        return [solid[role] if role in solid else next(threads[role]) for role in roles]

    def _begin(self, role: str) -> None:
        if role not in self.colours:
            what = reason("no colour is given for {role}", role=Term(role))
            raise BadInput(what, Field("picture"), reason("give every role a lot or a colour"))
        self._threads[role] = _thread(role, self.colours[role])
        parts = self.colours[role].stitches()
        if len(parts) == 1:
            self._solid[role] = code_of(parts[0][0])


def _thread(role: str, colour: Colour) -> Iterator[str]:
    parts = colour.stitches()
    codes, shares = [code_of(lab) for lab, _ in parts], [share for _, share in parts]
    drawn = random.Random(role)
    while True:
        code = drawn.choices(codes, shares)[0]
        for _ in range(drawn.randint(*STRETCH)):
            yield code
