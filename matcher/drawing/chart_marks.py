"""What stands round a grid of stitches: numbers, the list of roles, and symbols that can be read without colour."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from matcher.drawing.scene import PAPER, Label, Points, Shape, box, width_of
from matcher.drawing.stitches import code_of
from matcher.errors import BadInput
from matcher.materials.colours.cielab import Lab, lab_from_linear, linear_from_lab
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Field, Term, listed, reason
from matcher.reasons.style import PLAIN, Style

NUMBERED = 10  # every so many stitches and rows have a number and a bold line
LINE, BOLD = "#9a9a9a", "#333333"


def _round(corners: int, radius: float, turned: float = 0.0) -> Points:
    angles = (2 * math.pi * (corner / corners + turned) for corner in range(corners))
    return tuple((radius * math.sin(angle), -radius * math.cos(angle)) for angle in angles)


def _quarter_turn(points: Points) -> Points:
    return tuple((-y, x) for x, y in points)


_UP = ((-0.4, 0.32), (0.0, -0.4), (0.4, 0.32))
_SLASH = ((-0.4, 0.25), (0.25, -0.4), (0.4, -0.25), (-0.25, 0.4))
_PLUS = tuple(
    (x / 10, y / 10)
    for x, y in (
        *((-1, -4), (1, -4), (1, -1), (4, -1), (4, 1), (1, 1)),
        *((1, 4), (-1, 4), (-1, 1), (-4, 1), (-4, -1), (-1, -1)),
    )
)
_TURN = math.sqrt(0.5)
_CROSS = tuple(((x - y) * _TURN, (x + y) * _TURN) for x, y in _PLUS)
_VEE = ((-0.42, -0.3), (-0.2, -0.3), (0.0, 0.06), (0.2, -0.3), (0.42, -0.3), (0.0, 0.4))
_GLASS = ((-0.36, -0.38), (0.36, -0.38), (0.05, 0.0), (0.36, 0.38), (-0.36, 0.38), (-0.05, 0.0))
# One for each role in turn, in a square of 1 round the middle of the cell; the first role has none.
SYMBOLS: tuple[Points, ...] = (
    (),
    _round(16, 0.28),
    _CROSS,
    _UP,
    box(-0.11, -0.42, 0.22, 0.84),
    _round(4, 0.4),
    _SLASH,
    _PLUS,
    box(-0.42, -0.11, 0.84, 0.22),
    tuple((x, -y) for x, y in _UP),
    tuple((-x, y) for x, y in _SLASH),
    box(-0.28, -0.28, 0.56, 0.56),
    _VEE,
    _GLASS,
    _quarter_turn(_VEE),
    _quarter_turn(_GLASS),
    _quarter_turn(_UP),
)


def tints(roles: Sequence[str]) -> dict[str, Colour]:
    """Neutral colours for roles that have none yet: from light to dark in even steps of lightness.

    Up to five roles are greys; more are tinted as well, since steps alone would come close to one another.
    """
    found = {}
    for place, role in enumerate(roles):
        lightness = 92.0 if len(roles) == 1 else 92.0 - 67.0 * place / (len(roles) - 1)
        chroma, hue = (20.0 if len(roles) > 5 and place else 0.0), math.radians(137.5 * place)
        # Through the colours that a screen shows and back, so that the code is exactly what is meant.
        wished = np.array([lightness, chroma * math.cos(hue), chroma * math.sin(hue)])
        lab = lab_from_linear(np.clip(linear_from_lab(wished), 0.0, 1.0)).tolist()
        found[role] = Colour("solid", (((lab[0], lab[1], lab[2]), 1.0),))
    return found


def all_coloured(roles: Sequence[str], colours: Mapping[str, Colour] | None) -> Mapping[str, Colour]:
    """The colours as given, or tints when there are none at all; raises BadInput for a role left out."""
    if colours is None:
        return tints(roles)
    missing = [role for role in roles if role not in colours]
    if missing:
        what = reason("no colour is given for {roles}", roles=listed(map(Term, missing), "and"))
        raise BadInput(what, Field("picture"), reason("give every role a lot or a colour"))
    return colours


def ink_on(lab: Lab) -> str:
    """Black or white, whichever reads better on a colour."""
    return "#000000" if lab[0] >= 55 else "#ffffff"


def symbol(place: int, x: float, y: float, size: float, ink: str) -> list[Shape]:
    """The symbol of the role at this place in the list of roles, its middle at (x, y); none for the first."""
    form = SYMBOLS[place % len(SYMBOLS)]
    if not form:
        return []
    return [Shape(tuple((x + size * dx, y + size * dy) for dx, dy in form), ink, kind="symbol")]


def numbered(count: int, apart: float) -> list[int]:
    """Which of so many rows or stitches have a number: the first, the last, and every ten.

    apart: how far numbers must be apart to be read; a ten that is nearer to the last one than that gives way.
    """
    tens = [place for place in range(NUMBERED, count, NUMBERED) if count - place >= apart]
    return sorted({1, *tens, count})


def numbers(
    columns: int, rows: int, width: float, height: float, left: float, top: float, size: float
) -> tuple[Label, ...]:
    """Row numbers to the right, from the bottom up; stitch numbers below, from the right to the left.

    width, height: of one stitch; left, top: where the grid begins; size: of the figures.
    """
    right, bottom = left + columns * width, top + rows * height
    at_rows = [
        Label(right + size * 0.5, bottom - (row - 0.5) * height + size * 0.36, str(row), size, fill="#444444")
        for row in numbered(rows, 0.85 * size / height)
    ]
    below = [
        Label(right - (place - 0.5) * width, bottom + size * 1.25, str(place), size, "middle", "#444444")
        for place in numbered(columns, width_of(str(columns), size) / width)
    ]
    return (*at_rows, *below)


def bold_lines(
    columns: int, rows: int, width: float, height: float, left: float, top: float, first: int = 1
) -> list[Shape]:
    """Round the grid, and every ten stitches from the right and rows from below; edged in white, to show on dark
    colours as well. width, height: of one stitch; left, top: where the grid begins; first: number of the lowest row."""
    wide, high = columns * width, rows * height
    at_x = [left + wide - place * width for place in (*range(0, columns, NUMBERED), columns)]
    tens = dict.fromkeys((0, *range(-(first - 1) % NUMBERED, rows, NUMBERED), rows))
    at_y = [top + high - row * height for row in tens]
    found = []
    for thick, code in ((0.22 * height, PAPER), (0.11 * height, BOLD)):
        upright = [box(x - thick / 2, top - thick / 2, thick, high + thick) for x in at_x]
        level = [box(left - thick / 2, y - thick / 2, wide + thick, thick) for y in at_y]
        found += [Shape(line, code, kind="line") for line in (*upright, *level)]
    return found


def legend(
    roles: Sequence[str],
    colours: Mapping[str, Colour],
    names: Mapping[str, str],
    left: float,
    top: float,
    size: float,
    symbols: bool,
    style: Style = PLAIN,
) -> tuple[list[Shape], list[Label], float, float]:
    """A patch of colour and a name for each role, one below the other; also the width and height that they take.

    names: what stands behind the role, such as the lot and its colour; a role without is named alone. Lots of
    several colours show them all, as broad as their shares.
    """
    shapes: list[Shape] = []
    labels: list[Label] = []
    patch, line, widest = 2.2 * size, 1.7 * size, 0.0
    for place, role in enumerate(roles):
        y = top + place * line
        x = left
        stitches = colours[role].stitches()
        for lab, share in stitches:
            shapes.append(Shape(box(x, y, patch * share, 1.3 * size), code_of(lab), kind="legend"))
            x += patch * share
        frame = box(left, y, patch, 1.3 * size)
        shapes.append(Shape(frame, "none", "#777777", 0.06 * size, "legend"))
        if symbols:
            largest = max(stitches, key=lambda one: one[1])[0]
            shapes += symbol(place, left + patch / 2, y + 0.65 * size, size, ink_on(largest))
        text = style.say(Term(role))
        if names.get(role):
            text = style.say(reason("{role}: {name}", role=Term(role), name=names[role]))
        labels.append(Label(left + patch + 0.7 * size, y + 1.02 * size, text, size))
        widest = max(widest, patch + 0.7 * size + width_of(text, size))
    return shapes, labels, widest, len(roles) * line
