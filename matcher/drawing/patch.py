"""A motif as a small patch, for a list or beside a name: plain boxes, one for each run of a colour in a row."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby

from matcher.drawing.chart_marks import tints
from matcher.drawing.scene import Scene, Shape, box
from matcher.drawing.stitches import code_of
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import reason
from matcher.reasons.style import PLAIN, Style

_WIDE, _HIGH = 1.3, 1.0  # of a stitch at a usual gauge
_OVER = 0.06  # that no ground shines through between two boxes
_MOST_ROWS, _MOST_STITCHES = 40, 48  # shown of a large motif, a choice


def patch_scene(
    motif: Motif,
    colours: Mapping[str, Colour] | None = None,
    repeats: int = 1,
    style: Style = PLAIN,
    *,
    up: int = 1,
) -> Scene:
    """The motif, so often side by side and up, of a large one its lower right corner.

    colours: of roles; those without have a tint. A variegated yarn's stitches have its most frequent colour.
    """
    worn = {**tints(motif.role_names), **(colours or {})}
    codes = {role: code_of(max(worn[role].stitches(), key=lambda part: part[1])[0]) for role in motif.role_names}
    rows = [(row * repeats)[-_MOST_STITCHES:] for row in (motif.grid * up)[:_MOST_ROWS]]
    shapes = []
    for place, row in enumerate(reversed(rows)):
        at = 0
        for mark, run in groupby(row):
            length = len(list(run))
            outline = box(at * _WIDE, place * _HIGH, length * _WIDE + _OVER, _HIGH + _OVER)
            shapes.append(Shape(outline, codes[motif.roles[mark]]))
            at += length
    title = style.say(reason("Motif: {motif}", motif=motif.name))
    return Scene(len(rows[0]) * _WIDE, len(rows) * _HIGH, tuple(shapes), title=title)
