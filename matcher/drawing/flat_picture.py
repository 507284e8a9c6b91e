"""A fitted accessory as it lies on a table: the side that is seen, stitch by stitch, or small for a list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from matcher.drawing.laid.lying import panels_of
from matcher.drawing.laid.panel import Panel
from matcher.drawing.scene import Label, Scene, moved, side_by_side, width_of
from matcher.drawing.sights import CAPTIONS, colours_as_seen
from matcher.drawing.stitches import Shown
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.vision import Floats
from matcher.reasons.reason import Field, reason
from matcher.reasons.style import PLAIN, Style

MARGIN = 14.0  # mm of paper round the knitting
_EDGE = 0.8  # mm of shadow round the knitting
_SMALL_EDGE = 0.007  # of the longer side of a small picture: a thinner edge would be lost in a list
_WORDS = 6.0  # size of the words below it, mm of the fabric
_MOST_STITCHES = 60_000
_TITLE = reason("The accessory laid flat")
_DESCRIPTION = reason(
    "Laid flat, the side that is seen: of each round the first half of its stitches. "
    "Stitches have the width and height that the gauge gives them."
)


def flat_scene(
    fitted: Fitted,
    colours: Mapping[str, Colour],
    constants: FabricConstants,
    style: Style = PLAIN,
    accessory: Accessory | None = None,
) -> Scene:
    """An accessory laid flat, its front seen; user units are mm of the fabric, sizes of a stitch as in the gauge.

    Of pieces alike one is drawn, of mittens the pair; what else is knitted lies beside it. colours: one for each role
    of the accessory. constants: each structure's size of stitch, and which of its stitches show as purls. style: of
    the words below. accessory: says how it is worn and what of it is turned over. Raises BadInput for a role without a
    colour and for more stitches than a picture can show.
    """
    panels, said = panels_of(accessory, fitted, constants)
    scene = _scene(panels, colours, style)
    words = [style.sentence(one) for one in said]
    if not words:
        return scene
    return replace(
        scene,
        width=max(scene.width, *(width_of(line, _WORDS) + 2 * MARGIN for line in words)),
        height=scene.height + len(words) * _WORDS * 1.4,
        labels=tuple(
            Label(MARGIN, scene.height + number * _WORDS * 1.4, line, _WORDS, fill="#555555")
            for number, line in enumerate(words)
        ),
    )


def small_scene(
    fitted: Fitted,
    colours: Mapping[str, Colour],
    constants: FabricConstants,
    accessory: Accessory | None = None,
) -> Scene:
    """The same without words, to be shown small: neighbours of one colour are one shape."""
    panels, _ = panels_of(accessory, fitted, constants)
    return _scene(panels, colours, PLAIN, small=True)


def _scene(panels: list[Panel], colours: Mapping[str, Colour], style: Style, small: bool = False) -> Scene:
    if sum(len(row.roles) for panel in panels for row in panel.rows) > _MOST_STITCHES:
        what = reason("the accessory has too many stitches to draw")
        raise BadInput(what, Field("picture"), reason("at most {most} are shown at once", most=_MOST_STITCHES))
    xs, ys = zip(*(corner for panel in panels for corner in panel.corners()), strict=True)
    shown = Shown(colours)
    placed = [replace(one, place=one.place.moved(MARGIN - min(xs), MARGIN - min(ys))) for one in panels]
    edge = _SMALL_EDGE * max(max(xs) - min(xs), max(ys) - min(ys)) if small else _EDGE
    shapes = [panel.shadow(edge) for panel in placed if not panel.over]
    for panel in placed:
        shapes += [panel.shadow(edge)] if panel.over else []
        shapes += panel.shapes(shown, small)
    return Scene(
        max(xs) - min(xs) + 2 * MARGIN,
        max(ys) - min(ys) + 2 * MARGIN,
        tuple(shapes),
        title=style.say(_TITLE),
        description=style.say(_DESCRIPTION),
    )


def sights_scene(
    fitted: Fitted,
    colours: Mapping[str, Colour],
    matrices: Mapping[str, Floats],
    constants: FabricConstants,
    style: Style = PLAIN,
    accessory: Accessory | None = None,
) -> Scene:
    """The accessory in daylight, in grey and for each deficiency of colour vision, side by side with captions.

    matrices: a matrix (3, 3) for each deficiency, Machado and others 2009. Raises BadInput as `flat_scene`.
    """
    return captioned(
        [
            (style.say(CAPTIONS[sight]), flat_scene(fitted, as_it_looks, constants, style, accessory))
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
