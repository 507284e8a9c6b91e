"""A motif, or a whole accessory, as the eye sees it in the hand, across a table and across a room, side by side.

The picture is blurred as the eye would blur it from there, so that it can be looked at from near.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

import numpy as np

from matcher.drawing.flat_picture import captioned
from matcher.drawing.laid.rows import seen as seen_of
from matcher.drawing.scene import Scene, Shape, box
from matcher.errors import BadInput
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.motifs.motif import Motif
from matcher.matching.kept import grid_of
from matcher.materials.colours.cielab import hex_from_lab
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.distance import seen
from matcher.materials.colours.eye import DISTANCES, SpatialRules
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Field, Term, reason
from matcher.reasons.style import PLAIN, Style

# Choices: so many stitches and rows are shown at least; so many points a side of a stitch at best, while a panel holds
# no more than so many; and so many stitches at most.
_LEAST, _FINEST, _POINTS, _MOST = 24, 4, 3_000, 60_000
_PAPER, _WHITE = 6, (100.0, 0.0, 0.0)  # stitches of paper round an accessory, so that its edges blur into it
_TITLE = reason("As it is seen in the hand, across a table and across a room")


def distances_scene(
    motif: Motif,
    colours: Mapping[str, Colour],
    gauge: tuple[float, float],
    spatial: SpatialRules,
    style: Style = PLAIN,
) -> Scene:
    """Three panels, user units mm of the fabric. A yarn of several colours counts as their mean.

    colours: one for each role. gauge: stitches and rows in 10 cm. Raises BadInput for too large a motif.
    """
    grid, roles = grid_of(motif)
    times = (math.ceil(_LEAST / motif.height), math.ceil(_LEAST / motif.width))
    shown = grid.size * times[0] * times[1]
    if shown > _MOST:
        what = reason("the motif has too many stitches to be shown from afar")
        raise BadInput(what, Field("distances"), reason("at most {most} are shown at once", most=_MOST))
    samples = max(1, min(_FINEST, math.isqrt(_POINTS // shown)))
    labs = np.array([colours[role].mean() for role in roles])

    def codes(metres: float) -> list[list[str]]:
        # Bottom row first, as it is knitted; a picture begins at its top.
        repeat = seen(grid, labs, (10 / gauge[0], 10 / gauge[1]), metres, spatial, samples)[::-1]
        return [[hex_from_lab(lab) for lab in row] * times[1] for row in repeat.tolist()] * times[0]

    return _panels(codes, (100 / gauge[0] / samples, 100 / gauge[1] / samples), spatial, style)


def accessory_distances(
    fitted: Fitted, colours: Mapping[str, Colour], spatial: SpatialRules, style: Style = PLAIN
) -> Scene:
    """The same for the front half of an accessory laid on white paper, one point a stitch; each thumb is left out.

    colours: one for each role. Raises BadInput for more stitches than a picture can show.
    """
    rounds = [roles[: seen_of(len(roles))] for _, roles in fitted.rounds()]
    across = max(map(len, rounds)) + 2 * _PAPER
    if across * (len(rounds) + 2 * _PAPER) > _MOST:
        what = reason("the accessory has too many stitches to be shown from afar")
        raise BadInput(what, Field("out"), reason("at most {most} are shown at once", most=_MOST))
    names = list(dict.fromkeys(role for row in rounds for role in row))
    grid = np.zeros((len(rounds) + 2 * _PAPER, across), dtype=np.intp)  # 0 is the paper
    for up, row in enumerate(rounds, _PAPER):
        left = (across - len(row)) // 2
        grid[up, left : left + len(row)] = [1 + names.index(role) for role in row]
    labs = np.array([_WHITE, *(colours[role].mean() for role in names)])
    stitch_cm = (10.0 / fitted.gauge.stitches_10cm, 10.0 / fitted.gauge.rows_10cm)

    def codes(metres: float) -> list[list[str]]:
        looks = seen(grid, labs, stitch_cm, metres, spatial)[::-1].tolist()
        return [
            [hex_from_lab(lab) if knitted else "" for lab, knitted in zip(row, here, strict=True)]
            for row, here in zip(looks, grid[::-1] > 0, strict=True)
        ]

    return _panels(codes, (10.0 * stitch_cm[0], 10.0 * stitch_cm[1]), spatial, style)


def _panels(
    codes: Callable[[float], Sequence[Sequence[str]]], point: tuple[float, float], spatial: SpatialRules, style: Style
) -> Scene:
    """A panel a distance [m], of rows of codes from the top down, "" for bare paper; `point` is their size [mm]."""
    width, height = point
    panels = []
    for distance, metres in zip(DISTANCES, spatial.distances_m, strict=True):
        rows = codes(metres)
        points = tuple(
            Shape(box(left * width, down * height, number * width, height), code, code, 0.05, "point")
            for down, row in enumerate(rows)
            for left, number, code in _runs(row)
            if code
        )
        caption = reason("{distance}\n({cm})", distance=Term(distance), cm=Measure(100 * metres))
        panels.append((style.say(caption), Scene(len(rows[0]) * width, len(rows) * height, points)))
    return replace(captioned(panels), title=style.say(_TITLE))


def _runs(row: Sequence[str]) -> Iterator[tuple[int, int, str]]:
    """Where each run of one code begins, how long it is, and the code."""
    left = 0
    for code, run in groupby(row):
        number = len(list(run))
        yield left, number, code
        left += number
