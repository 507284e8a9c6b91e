"""The plot of a knitter's history: a row for what is expected and for what was noted, on one scale of percent."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from matcher.drawing.scene import Label, Points, Scene, Shape, box
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Share
from matcher.reasons.reason import Words, listed, reason
from matcher.reasons.style import PLAIN, Style

# Places on the sheet, in its own units; a row is 22 high, letters 12.
_LEFT, _WIDE, _RIGHT, _ROW, _TOP, _LETTERS = 270.0, 400.0, 80.0, 22.0, 74.0, 12.0
_LEAST, _MOST = math.log(0.6), math.log(1.6)
_TICKS = (-40, -30, -20, -10, 0, 10, 20, 40, 60)
_GRID, _DARK = "#d8d8d8", "#222222"
# Light, middle and dark enough to be told apart in grey as well.
_FILLS = {"before": "#c9c9c9", "now": "#7fa3c7", "noted": "#1f3a5f", "left out": "#ffffff"}


@dataclass(frozen=True)
class PlotRow:
    """One row: its words, the logarithm of used over predicted, and its kind (before, now, noted, left out)."""

    words: Words
    told: Estimate
    kind: str


def calibration_scene(rows: Sequence[PlotRow], words: Words, style: Style = PLAIN) -> Scene:
    """Bands of one standard deviation for what is expected, dots with their own spread for what was noted.

    The scale runs from 40 % less than the figures to 60 % more, by the logarithm; what lies beyond sits at its edge.
    """
    height = _TOP + _ROW * len(rows) + 30.0
    shapes: list[Shape] = []
    title = style.say(reason("Yarn used, against the estimates"))
    labels = [
        Label(12.0, 22.0, title, 15.0, bold=True),
        Label(12.0, 42.0, style.say(words), _LETTERS),
    ]
    for tick in _TICKS:
        x = _x(math.log1p(tick / 100.0))
        wide = 1.6 if tick == 0 else 0.8
        fill = _DARK if tick == 0 else _GRID
        shapes.append(Shape(box(x - wide / 2, _TOP - 6.0, wide, _ROW * len(rows) + 10.0), fill, kind="scale"))
        text = "0" if tick == 0 else style.say(Share(tick / 100.0, signed=True))
        labels.append(Label(x, height - 10.0, text, 10.0, "middle"))
    for place, row in enumerate(rows):
        y = _TOP + _ROW * (place + 0.5)
        low, middle, high = (_x(row.told.mean + step * row.told.sd) for step in (-1, 0, 1))
        band = row.kind in ("before", "now")
        thick = 12.0 if band else 1.6
        fill = _FILLS[row.kind] if band else _FILLS["noted"]
        shapes.append(Shape(box(low, y - thick / 2, max(high - low, 0.5), thick), fill, kind=row.kind))
        if band:
            shapes.append(Shape(box(middle - 1.2, y - 8.0, 2.4, 16.0), _DARK, kind="mean"))
        else:
            shapes.append(Shape(_dot(middle, y, 4.5), _FILLS[row.kind], _FILLS["noted"], 1.2, row.kind))
        labels.append(Label(12.0, y + 4.0, _short(style.say(row.words), 40), _LETTERS))
        change = style.say(Share(math.expm1(row.told.mean), signed=True))
        if row.kind == "before":
            change = f"± {style.say(Share(row.told.sd))}"
        labels.append(Label(_LEFT + _WIDE + _RIGHT - 10.0, y + 4.0, change, _LETTERS, "end"))
    told: list[Words] = [
        words,
        reason("Bands are one standard deviation either way; each dot is one colour of a finished piece, or a swatch."),
    ]
    if any(row.kind == "left out" for row in rows):
        told.append(reason("A hollow dot is so far off that it was left out."))
    said = style.say(listed(told, between=" "))
    return Scene(_LEFT + _WIDE + _RIGHT, height, tuple(shapes), tuple(labels), title, said)


def _x(logarithm: float) -> float:
    kept = min(max(logarithm, _LEAST), _MOST)
    return _LEFT + _WIDE * (kept - _LEAST) / (_MOST - _LEAST)


def _dot(x: float, y: float, radius: float) -> Points:
    turns = (math.tau * step / 12 for step in range(12))
    return tuple((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns)


def _short(words: str, most: int) -> str:
    return words if len(words) <= most else f"{words[: most - 1].rstrip()}…"
