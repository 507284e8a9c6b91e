"""A picture as plain values, and the same picture written as SVG and as PNG.

A scene is measured in user units of its own (a picture of knitting: mm of the fabric), x to the right and y down,
on white paper. Shapes lie in the order in which they stand, labels on top of all.
"""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from html import escape
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.drawing.lettering import font_of, written
from matcher.errors import BadInput
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Field, reason
from matcher.reasons.visible import visible

if TYPE_CHECKING:
    from PIL import ImageDraw

Points = tuple[tuple[float, float], ...]

PAPER = "#ffffff"
INK = "#222222"
FONTS = "system-ui, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif"

# Each pixel is the mean of so many drawn ones each way, so that edges and letters come out soft; of fewer where the
# picture has more pixels than this, and is looked at from further away.
_FINE, _FINE_LARGE, _LARGE = 3, 2, 1_500_000
_MOST_PIXELS = 40_000_000
_LONGEST_SIDE, _MOST_A_UNIT = 2400, 10  # of a picture to keep, in pixels; both choices
# Stands in a template where the name of an outline begins; no word of a picture can hold it.
NAMES = "\0"


@dataclass(frozen=True)
class Shape:
    """A filled polygon. fill and stroke are codes such as "#6b7f4a"; no stroke when it is empty or has no width.

    kind becomes the SVG class, such as "stitch": one shape of that kind for each stitch.
    """

    points: Points
    fill: str
    stroke: str = ""
    stroke_width: float = 0.0
    kind: str = ""


@dataclass(frozen=True)
class Label:
    """Words at a place: y is the baseline, anchor says whether x is their start, middle or end."""

    x: float
    y: float
    text: str
    size: float
    anchor: str = "start"
    fill: str = INK
    bold: bool = False


@dataclass(frozen=True)
class Scene:
    """Shapes and labels on a sheet of width by height; title and description are read aloud, not drawn."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    labels: tuple[Label, ...] = ()
    title: str = ""
    description: str = ""

    @cached_property
    def svg_template(self) -> str:
        """What `svg` writes, with NAMES where a name begins; kept, since one picture goes into several files."""
        return _template(self)


def box(x: float, y: float, width: float, height: float) -> Points:
    """The corners of a rectangle."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def moved(points: Iterable[tuple[float, float]], across: float, down: float) -> Points:
    """The same outline elsewhere."""
    if not (across or down):
        return tuple(points)
    return tuple((x + across, y + down) for x, y in points)


def scaled(scene: Scene, by: float, across: float, down: float) -> tuple[list[Shape], list[Label]]:
    """What a scene shows, larger or smaller, and moved by so much in the new units."""
    # Built anew and not by `replace`, which takes four times as long: a picture has thousands of shapes.
    shapes = [
        Shape(
            tuple((x * by + across, y * by + down) for x, y in one.points),
            one.fill,
            one.stroke,
            one.stroke_width * by,
            one.kind,
        )
        for one in scene.shapes
    ]
    labels = [replace(one, x=one.x * by + across, y=one.y * by + down, size=one.size * by) for one in scene.labels]
    return shapes, labels


def width_of(text: str, size: float) -> float:
    """About how wide words come out, never much less: a mean letter is a little over half as wide as it is high."""
    return 0.56 * size * len(text)


def side_by_side(scenes: Sequence[Scene], gap: float) -> Scene:
    """Scenes from left to right, `gap` between them, all standing on the same line; one title, all descriptions."""
    if not scenes:
        raise ValueError("found no scene, expected at least one")
    height = max(scene.height for scene in scenes)
    shapes: list[Shape] = []
    labels: list[Label] = []
    left = 0.0
    for scene in scenes:
        top = height - scene.height
        shapes += [replace(shape, points=moved(shape.points, left, top)) for shape in scene.shapes]
        labels += [replace(label, x=label.x + left, y=label.y + top) for label in scene.labels]
        left += scene.width + gap
    return Scene(
        left - gap,
        height,
        tuple(shapes),
        tuple(labels),
        ", ".join(dict.fromkeys(scene.title for scene in scenes if scene.title)),
        " ".join(dict.fromkeys(scene.description for scene in scenes if scene.description)),
    )


def svg(scene: Scene, names: str = "o") -> str:
    """A whole SVG document, to stand by itself or inside a page; nothing in it comes from elsewhere.

    An outline that returns (a stitch) is written once and used many times. Its name is made of its form, so
    that two pictures on one page never mean different things by one name; `names` is what the names begin with.
    """
    return scene.svg_template.replace(NAMES, names)


def _template(scene: Scene) -> str:
    outlines = [_outline(shape.points) for shape in scene.shapes]
    times = Counter(outlines)
    kept = [outline for outline, count in times.items() if count > 1]
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(scene.width)} {_n(scene.height)}" '
        f'role="img" font-family={_quoted(FONTS)}>'
    ]
    if scene.title:
        lines.append(f"<title>{_words(scene.title)}</title>")
    if scene.description:
        lines.append(f"<desc>{_words(scene.description)}</desc>")
    if kept:
        lines.append("<defs>")
        lines += [f'<path id="{NAMES}{_name(outline)}" d="m0,0{outline}z"/>' for outline in kept]
        lines.append("</defs>")
    lines.append(f'<rect width="{_n(scene.width)}" height="{_n(scene.height)}" fill="{PAPER}"/>')
    for shape, outline in zip(scene.shapes, outlines, strict=True):
        x, y = shape.points[0]
        looks = f"fill={_quoted(shape.fill)}"
        if shape.stroke and shape.stroke_width > 0:
            looks += f' stroke={_quoted(shape.stroke)} stroke-width="{_n(shape.stroke_width)}"'
            looks += ' stroke-linejoin="round"'
        named = f"class={_quoted(shape.kind)} " if shape.kind else ""
        if times[outline] > 1:
            lines.append(f'<use {named}href="#{NAMES}{_name(outline)}" x="{_n(x)}" y="{_n(y)}" {looks}/>')
        else:
            lines.append(f'<path {named}d="m{_n(x)},{_n(y)}{outline}z" {looks}/>')
    for label in scene.labels:
        weight = ' font-weight="600"' if label.bold else ""
        lines.append(
            f'<text x="{_n(label.x)}" y="{_n(label.y)}" font-size="{_n(label.size)}" '
            f"text-anchor={_quoted(label.anchor)} fill={_quoted(label.fill)}{weight}>{_words(label.text)}</text>"
        )
    lines.append("</svg>")
    return "\n".join(lines) + "\n"


@lru_cache(maxsize=1024)
def _quoted(value: str) -> str:
    return '"' + escape(value, quote=False).replace('"', "&quot;") + '"'


def _n(value: float) -> str:
    """A number as short as a hundredth of a unit allows."""
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short


def _outline(points: Points) -> str:
    """Steps from each corner to the next; rounded places, not steps, so that no error adds up.

    The millionth keeps one form one form: without it, what lies between two hundredths goes up here and down there.
    """
    x0, y0 = points[0]
    return _steps(tuple((round(100 * (x - x0) + 1e-6), round(100 * (y - y0) + 1e-6)) for x, y in points))


@lru_cache(maxsize=4096)
def _steps(places: tuple[tuple[int, int], ...]) -> str:
    """Written once for all stitches of one form."""
    steps = ((ax - bx, ay - by) for (bx, by), (ax, ay) in pairwise(places))
    return "l" + " ".join(f"{_hundredths(x)},{_hundredths(y)}" for x, y in steps)


@lru_cache(maxsize=8192)
def _hundredths(steps: int) -> str:
    """Written once for all steps alike."""
    return _n(steps / 100)


def _name(outline: str) -> str:
    return f"{zlib.crc32(outline.encode()):08x}"


def _words(text: str) -> str:
    return escape(visible(text), quote=False)


def png(scene: Scene, pixels_per_unit: float) -> bytes:
    """The same picture in pixels: place (x, y) of the scene is pixel (int(x * p), int(y * p)).

    Away from edges, by half a pixel or more, a pixel has exactly the code of its shape. Letters that the font
    lacks are drawn as `lettering` says. Raises BadInput when the picture would be too large to hold.
    """
    from PIL import Image, ImageDraw

    if not pixels_per_unit > 0:
        what = reason("found {pixels} pixels a unit", pixels=Number(float(pixels_per_unit), 3))
        raise BadInput(what, Field("picture"), reason("give a number above 0"))
    width, height = (max(1, round(side * pixels_per_unit)) for side in (scene.width, scene.height))
    if width * height > _MOST_PIXELS:
        raise BadInput(
            reason("a picture of {width} x {height} pixels is too large to draw", width=width, height=height),
            Field("picture"),
            reason("take fewer pixels a unit; at most {most} million pixels are drawn", most=_MOST_PIXELS // 1_000_000),
        )
    fine = _FINE if width * height <= _LARGE else _FINE_LARGE
    scale = pixels_per_unit * fine
    image = Image.new("RGB", (width * fine, height * fine), PAPER)
    pen = ImageDraw.Draw(image)
    for shape in scene.shapes:
        # Pillow paints the pixel on the edge as well: half a pixel back keeps neighbours alike in width.
        places = [(x * scale - 0.5, y * scale - 0.5) for x, y in shape.points]
        if shape.fill and shape.fill != "none":
            pen.polygon(places, fill=shape.fill)
        if shape.stroke and shape.stroke_width > 0:
            around = [*places, *places[:2]]
            pen.line(around, fill=shape.stroke, width=max(1, round(shape.stroke_width * scale)), joint="curve")
    for label in scene.labels:
        _draw_words(pen, label, scale)
    file = BytesIO()
    image.reduce(fine).save(file, format="PNG", compress_level=6)
    return file.getvalue()


def drawn_as(path: Path, scene: Scene) -> bytes:
    """The scene as SVG or as PNG, as the name of its file says."""
    return svg(scene).encode() if path.suffix.casefold() == ".svg" else png(scene, usual_pixels(scene))


def usual_pixels(scene: Scene) -> float:
    """Pixels a unit for a picture that is to be kept: its longer side as long as is usual, nothing blown up."""
    return min(_MOST_A_UNIT, _LONGEST_SIDE / max(scene.width, scene.height))


def _draw_words(pen: ImageDraw.ImageDraw, label: Label, scale: float) -> None:
    stroke = label.size * scale * 0.025 if label.bold else 0
    side = {"start": "l", "middle": "m", "end": "r"}[label.anchor]
    pen.text(
        (label.x * scale, label.y * scale),
        written(label.text),
        font=font_of(max(1.0, label.size * scale)),
        fill=label.fill,
        anchor=f"{side}s",
        stroke_width=stroke,
    )
