"""Pictures of ranges of colours to look for in a shop: three lightnesses of each, and colours of it by their words."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from matcher.drawing.scene import Label, Scene, Shape, box
from matcher.materials.colours.cielab import Lab, hex_from_lab, shown_on_screens
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Words, reason
from matcher.reasons.style import PLAIN, Style

# Millimetres; all sizes are choices.
_WIDE, _EDGE, _HEAD, _ROW = 180.0, 4.0, 12.0, 58.0
_CELLS, _CELL, _APART = 5, 6.0, 4.0
_SLICES = 3
_WORD, _LINE = 3.0, 2.6  # sizes of letters
_GREY, _FRAME = "#555555", "#c9c9c9"
_TOLD = reason(
    "For each yarn three squares, light to dark: in each green to red from the left, blue to yellow from below. "
    "What no screen can show is left blank. Beside them colours of the range by their words."
)


@dataclass(frozen=True)
class Range:
    """One range: its heading and lines, the two corners of it in CIELAB, and colours within by their words."""

    heading: Words
    lines: tuple[Words, ...]
    low: Lab
    high: Lab
    examples: tuple[tuple[Words, Lab], ...]


def ranges_scene(ranges: Sequence[Range], title: Words, style: Style = PLAIN) -> Scene:
    """A row for each range, light to dark from the left; in each square green to red across and blue to yellow up."""
    shapes: list[Shape] = []
    labels = [Label(_EDGE, 8.0, style.say(title), 4.6, bold=True)]
    for place, one in enumerate(ranges):
        new, words = _row(one, _HEAD + _ROW * place, style)
        shapes += new
        labels += words
    height = _HEAD + _ROW * max(1, len(ranges)) + _EDGE
    return Scene(_WIDE, height, tuple(shapes), tuple(labels), style.say(title), style.say(_TOLD))


def range_scene(one: Range, style: Style = PLAIN) -> Scene:
    """A row by itself, for a page that is as wide: its words stay as large as those around them."""
    shapes, labels = _row(one, 0.0, style)
    return Scene(_WIDE, _ROW, tuple(shapes), tuple(labels), style.say(one.heading), style.say(_TOLD))


def _row(one: Range, top: float, style: Style) -> tuple[list[Shape], list[Label]]:
    shapes: list[Shape] = []
    labels = [Label(_EDGE, top + 5.0, style.say(one.heading), 3.6, bold=True)]
    for line, text in enumerate(style.say(said) for said in one.lines):
        labels.append(Label(_EDGE, top + 9.6 + 4.0 * line, _short(text), _LINE, fill=_GREY))
    below = top + 8.5 + 4.0 * len(one.lines)
    for number in range(_SLICES):
        left = _EDGE + number * (_CELLS * _CELL + _APART)
        lightness = one.high[0] + (one.low[0] - one.high[0]) * (number + 0.5) / _SLICES
        shapes += _slice(one, lightness, left, below)
        said = style.say(reason("lightness {l}", l=Number(lightness)))
        labels.append(Label(left, below + _CELLS * _CELL + 3.4, said, _LINE, fill=_GREY))
    left = _EDGE + _SLICES * (_CELLS * _CELL + _APART) + 2.0
    for number, (word, lab) in enumerate(one.examples):
        y = below + number * _CELL
        shapes.append(Shape(box(left, y, 2 * _CELL, _CELL - 0.6), hex_from_lab(lab), _FRAME, 0.15, "example"))
        labels.append(Label(left + 2 * _CELL + 2.0, y + 3.9, style.say(word), _WORD))
    return shapes, labels


def _slice(one: Range, lightness: float, left: float, top: float) -> list[Shape]:
    """Colours of one lightness, a* across and b* upwards, in the middle of equal parts of the range."""
    shapes = [Shape(box(left, top, _CELLS * _CELL, _CELLS * _CELL), "#ffffff", _FRAME, 0.2, "frame")]
    for across in range(_CELLS):
        for up in range(_CELLS):
            a, b = (
                one.low[axis] + (one.high[axis] - one.low[axis]) * (step + 0.5) / _CELLS
                for axis, step in ((1, across), (2, up))
            )
            lab = (lightness, a, b)
            if shown_on_screens(lab):
                at = box(left + across * _CELL, top + (_CELLS - 1 - up) * _CELL, _CELL, _CELL)
                shapes.append(Shape(at, hex_from_lab(lab), kind="colour"))
    return shapes


def _short(text: str) -> str:
    return textwrap.shorten(text, int((_WIDE - 2 * _EDGE) / (0.5 * _LINE)), placeholder=" ...")
