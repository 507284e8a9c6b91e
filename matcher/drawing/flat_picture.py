"""A fitted accessory as it lies on a table: the half that is seen, stitch by stitch."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from matcher.drawing.scene import Label, Points, Scene, Shape, moved, side_by_side, width_of
from matcher.drawing.sights import CAPTIONS, colours_as_seen
from matcher.drawing.stitches import Cell, Shown, row_of_stitches
from matcher.errors import BadInput
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.vision import Floats
from matcher.reasons.reason import Field, Words, reason
from matcher.reasons.style import PLAIN, Style

MARGIN = 14.0  # mm of paper round the knitting
_WORDS = 6.0  # size of the words below it, mm of the fabric
_SHADOW = "#e6e1da"
_RIB = 4  # knit two, purl two
_PURL_WIDTH = 0.8  # a purl column of rib lies back between the knit ones; for the eye only, a choice
_EASED = 5  # rounds over which rib widens to the fabric next to it; for the eye only
_LEAST_STEP = 0.01
_MOST_STITCHES = 60_000
# Which stitches show as purls, by round and place, for each look that `structures.csv` names.
_PURLED: dict[str, Callable[[int, int], bool]] = {
    "no": lambda number, place: False,
    "rows": lambda number, place: number % 2 == 1,
    "columns": lambda number, place: place % _RIB >= _RIB // 2,
}
_TITLE = reason("The accessory laid flat")
_DESCRIPTION = reason(
    "The front half, laid flat: of each round the first half of its stitches. "
    "Stitches have the width and height that the gauge gives them."
)


@dataclass(frozen=True)
class _Edge:
    """Where a row ends at its four sides."""

    left: float
    right: float
    top: float
    bottom: float


def seen(stitches: int) -> int:
    """Stitches of a round that the front shows: half of it, and of an odd number the one in the middle too."""
    return (stitches + 1) // 2


def flat_scene(
    fitted: Fitted, colours: Mapping[str, Colour], constants: FabricConstants, style: Style = PLAIN
) -> Scene:
    """The front half of an accessory laid flat; user units are mm of the fabric, sizes of a stitch as in the gauge.

    Of a pair one is drawn; each thumb or other extra part once, beside it. colours: one for each role of the
    accessory. constants: each structure's size of stitch, and which of its stitches show as purls. style: of the words
    below. Raises BadInput for a role without a colour and for more stitches than a picture can show.
    """
    shown = Shown(colours)
    main = _tube(fitted, fitted.rounds(), shown, constants)
    beside = [_tube(fitted, _rounds_of(fitted, part), shown, constants) for part, _ in fitted.extra]
    scene = side_by_side([main, *beside], 0.0) if beside else main
    words = [style.sentence(one) for one in _said_below(fitted)]
    scene = replace(scene, title=style.say(_TITLE), description=style.say(_DESCRIPTION))
    if not words:
        return scene
    return Scene(
        max(scene.width, *(width_of(line, _WORDS) + 2 * MARGIN for line in words)),
        scene.height + len(words) * _WORDS * 1.4,
        scene.shapes,
        tuple(
            Label(MARGIN, scene.height + number * _WORDS * 1.4, line, _WORDS, fill="#555555")
            for number, line in enumerate(words)
        ),
        scene.title,
        scene.description,
    )


def sights_scene(
    fitted: Fitted,
    colours: Mapping[str, Colour],
    matrices: Mapping[str, Floats],
    constants: FabricConstants,
    style: Style = PLAIN,
) -> Scene:
    """The accessory in daylight, in grey and for each deficiency of colour vision, side by side with captions.

    matrices: a matrix (3, 3) for each deficiency, Machado and others 2009. Raises BadInput as `flat_scene`.
    """
    return captioned(
        [
            (style.say(CAPTIONS[sight]), flat_scene(fitted, as_it_looks, constants, style))
            for sight, as_it_looks in colours_as_seen(colours, matrices).items()
        ]
    )


def captioned(pictures: list[tuple[str, Scene]]) -> Scene:
    """Pictures side by side, each with its caption in the middle below it."""
    # Five in a row on a page of paper are small: large enough letters to be read there.
    size = max(_WORDS, 0.08 * max(scene.width for _, scene in pictures))
    most = max(caption.count("\n") for caption, _ in pictures) + 1
    panels = []
    for caption, scene in pictures:
        lines = caption.split("\n")
        width = max(scene.width, *(width_of(line, size) for line in lines))
        across = (width - scene.width) / 2
        panels.append(
            Scene(
                width,
                scene.height + most * 1.35 * size + size / 2,
                tuple(replace(one, points=moved(one.points, across, 0)) for one in scene.shapes),
                (
                    *(replace(one, x=one.x + across) for one in scene.labels),
                    *(
                        Label(width / 2, scene.height + (number + 0.8) * 1.35 * size, line, size, "middle")
                        for number, line in enumerate(lines)
                    ),
                ),
                scene.title,
                scene.description,
            )
        )
    return side_by_side(panels, size / 2)


def _said_below(fitted: Fitted) -> list[Words]:
    lines: list[Words] = [reason("two alike; one is shown")] if fitted.pieces == 2 else []
    if fitted.pieces > 2:
        lines.append(reason("{pieces} alike; one is shown", pieces=fitted.pieces))
    for part, pieces in fitted.extra:
        if pieces == fitted.pieces:
            lines.append(reason("beside it: {part}", part=part.part))
        else:
            lines.append(reason("beside it: {part}, {pieces} in all", part=part.part, pieces=pieces))
    return lines


def _rounds_of(fitted: Fitted, part: FittedPart) -> tuple[tuple[FittedPart, tuple[str, ...]], ...]:
    """The rounds of an extra part by itself, as `Fitted.rounds` gives those of the main ones."""
    return replace(fitted, parts=(part,), extra=()).rounds()


def _tube(
    fitted: Fitted,
    rounds: tuple[tuple[FittedPart, tuple[str, ...]], ...],
    shown: Shown,
    constants: FabricConstants,
) -> Scene:
    if sum(seen(len(row)) for _, row in rounds) > _MOST_STITCHES:
        what = reason("the accessory has too many stitches to draw")
        raise BadInput(what, Field("picture"), reason("at most {most} are shown at once", most=_MOST_STITCHES))
    rows = _sizes(fitted, rounds, constants)
    plain = 100 / fitted.gauge.stitches_10cm
    widest = max(sum(row.widths) for row in rows)
    tall = sum(row.height for row in rows)
    ground: list[Shape] = []
    stitches: list[Shape] = []
    edge: list[_Edge] = []
    bottom = MARGIN + tall
    for row, (_, roles) in zip(rows, rounds, strict=True):
        indent = (widest - sum(row.widths)) / 2
        if all(width == plain for width in row.widths):
            # Whole stitches in from the edge, so that columns stand on columns where a crown narrows.
            indent = plain * math.floor(indent / plain + 1e-9)
        x = left = MARGIN + indent
        cells = []
        for width, purl in zip(row.widths, row.purled, strict=True):
            cells.append(Cell(x, bottom - row.height, width, row.height, purl))
            x += width
        # The round as a chart shows it: the first stitch of the repeat at its left.
        codes = [shown.next(role) for role in roles[: len(cells)]]
        under, over = row_of_stitches(cells, codes)
        edge.append(_Edge(left, x, bottom - row.height, bottom))
        if len(edge) > 1:
            ground += _turned(edge[-2], edge[-1], codes)
        ground += under
        stitches += over
        bottom -= row.height
    shadow = Shape(_around(edge, 1.2), _SHADOW, _SHADOW, 2.4, "shadow")
    return Scene(
        widest + 2 * MARGIN,
        tall + 2 * MARGIN,
        (shadow, *ground, *stitches),
    )


def _turned(below: _Edge, here: _Edge, codes: list[str]) -> list[Shape]:
    """Where a round is narrower or wider than the one below it: a slope instead of a step, at either side."""
    found = []
    for from_below, from_here, outwards, code in (
        (below.left, here.left, -1, codes[0]),
        (below.right, here.right, 1, codes[-1]),
    ):
        wider = (from_here - from_below) * outwards
        if wider < -_LEAST_STEP:
            slope = ((from_below, here.bottom), (from_here, here.bottom), (from_here, here.top))
        elif wider > _LEAST_STEP:
            slope = ((from_below, below.bottom), (from_below, below.top), (from_here, below.top))
        else:
            continue
        found.append(Shape(slope, code, kind="ground"))
    return found


@dataclass(frozen=True)
class _Row:
    """Widths of the stitches that are seen, their height [mm], and which are purled."""

    widths: list[float]
    height: float
    purled: list[bool]


def _sizes(
    fitted: Fitted,
    rounds: tuple[tuple[FittedPart, tuple[str, ...]], ...],
    constants: FabricConstants,
) -> list[_Row]:
    """The stitches of each round. Rib is drawn in, and eases towards other fabric over its rounds next to it."""
    wide, high = 100 / fitted.gauge.stitches_10cm, 100 / fitted.gauge.rows_10cm
    blocks = [list(of_part) for _, of_part in groupby(rounds, key=lambda one: one[0].structure)]
    rows = []
    for place, block in enumerate(blocks):
        structure = block[0][0].structure
        width, height = wide / constants.wales(structure), high / constants.courses(structure)
        look = constants.structure(structure).purled
        for number, (_, roles) in enumerate(block):
            purled = [_PURLED[look](number, stitch) for stitch in range(seen(len(roles)))]
            to_other = min(
                number if place > 0 else len(block), len(block) - 1 - number if place + 1 < len(blocks) else len(block)
            )
            drawn_in = (1 - _PURL_WIDTH) * min(1.0, (to_other + 0.5) / _EASED) if look == "columns" else 0.0
            rows.append(_Row([width * (1 - drawn_in if purl else 1.0) for purl in purled], height, purled))
    return rows


def _around(edge: list[_Edge], beyond: float) -> Points:
    """The outline of the rows, bottom row first, a little larger; sloped where they step."""
    first, last = edge[0], edge[-1]
    steps = list(pairwise(edge))
    right = [(max(below.right, row.right) + beyond, row.bottom) for below, row in steps]
    left = [(min(below.left, row.left) - beyond, row.bottom) for below, row in reversed(steps)]
    return (
        (first.right + beyond, first.bottom + beyond),
        *right,
        (last.right + beyond, last.top - beyond),
        (last.left - beyond, last.top - beyond),
        *left,
        (first.left - beyond, first.bottom + beyond),
    )
