"""Lots as bars, to scale, each cut by what takes of it, with a key.

No stretch is told by its colour alone: what a thing takes carries the thing's number, what is kept back is hatched,
what works on the needles hold is dotted, and what is left is blank. Between two stretches there is a gap, which counts
for nothing. Sizes are mm on paper.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor, log10
from statistics import median
from typing import Literal

from matcher.drawing.scene import INK, PAPER, Label, Scene, Shape, box, width_of
from matcher.materials.colours.colour import Colour
from matcher.reasons.quantities import YD_M, Amount, Length
from matcher.reasons.reason import Words, reason
from matcher.reasons.style import PLAIN, Style

# All sizes are choices: so that paper holds a lot's name beside its bar, in letters that can be read.
WIDE = 180.0
_NAMES, _HIGH, _GAP, _BETWEEN = 44.0, 5.6, 0.9, 1.4
_NAME, _LINE, _NUMBER, _BELOW = 3.1, 2.6, 3.1, 4.2
_GREY, _FAINT, _EDGE = "#555555", "#9a9a9a", 0.2
_LEAN, _LINE_MM, _STEP, _DOT = 2.2, 0.3, 1.6, 1.0  # of hatching and dots
_SAMPLE, _SAMPLE_LONG = 9.0, 30.0  # in the key
_NOTHING = 1e-6  # m
# A row holds so many times what the middle lot has, if no lot has less than that; a lot with much more goes on in
# further rows, of which there are at most so many.
_TIMES_MIDDLE, _ROWS_EACH, _ROWS_MORE = 3.0, 2, 6
_KEY_COLOUR = Colour("solid", (((65.0, 0.0, 0.0), 1.0),))

Takes = Literal["used", "kept", "needles", "left"]
_SAID: dict[Takes, str] = {
    "used": "{number}: {amount}",
    "kept": "{amount} kept",
    "needles": "{amount} on the needles",
    "left": "{amount} left",
}


@dataclass(frozen=True)
class Stretch:
    """So many metres of a lot, above 0, and what becomes of them. number: of the thing that takes them, else 0."""

    takes: Takes
    metres: float
    number: int = 0


@dataclass(frozen=True)
class Bar:
    """One lot: its stretches come to what is on hand, and are drawn in their order. tex: grams in 1000 m."""

    name: Words
    colour: Colour
    tex: float
    stretches: tuple[Stretch, ...]

    @property
    def on_hand_m(self) -> float:
        return sum(one.metres for one in self.stretches)

    @property
    def told(self) -> tuple[Words, ...]:
        """Each stretch in words, each figure as it stands wherever else this is said."""
        return tuple(
            reason(_SAID[one.takes], number=one.number, amount=Amount(one.metres, self.tex)) for one in self.stretches
        )


def bars_scenes(bars: Sequence[Bar], style: Style = PLAIN) -> list[Scene]:
    """The key, then each lot, in pictures that are `WIDE` and go below one another.

    All have one scale, so that lengths can be compared. A bar that is longer than a row goes on in the next.
    """
    row_m = _row_m(bars)
    room = WIDE - _NAMES - _GAP * max((len(bar.stretches) for bar in bars), default=0)
    mm = room / row_m
    return [_key(bars, mm, style), *(_bar(bar, row_m, mm, style) for bar in bars)]


def _row_m(bars: Sequence[Bar]) -> float:
    """Metres that a row holds."""
    lengths = [bar.on_hand_m for bar in bars] or [1.0]
    row_m = min(max(lengths), _TIMES_MIDDLE * median(lengths))
    while sum(-(-one // row_m) for one in lengths) > _ROWS_EACH * len(lengths) + _ROWS_MORE:
        row_m *= 1.1
    return row_m


@dataclass(frozen=True)
class _Piece:
    """A part of a stretch that lies in one row. x, wide [mm]; widest: no other part of the stretch is wider."""

    stretch: Stretch
    x: float
    wide: float
    widest: bool


def _rows(bar: Bar, row_m: float, mm: float) -> list[list[_Piece]]:
    rows: list[list[_Piece]] = [[]]
    room, x = row_m, _NAMES
    for stretch in bar.stretches:
        parts: list[tuple[int, float, float]] = []
        missing = stretch.metres
        while missing > _NOTHING:
            if room <= _NOTHING:
                rows.append([])
                room, x = row_m, _NAMES
            metres = min(missing, room)
            parts.append((len(rows) - 1, x, metres * mm))
            missing, room, x = missing - metres, room - metres, x + metres * mm
        x += _GAP
        widest = max((wide for _, _, wide in parts), default=0.0)
        for row, start, wide in parts:
            rows[row].append(_Piece(stretch, start, wide, wide == widest))
    return rows


def _bar(bar: Bar, row_m: float, mm: float, style: Style) -> Scene:
    """One lot: its name and what is on hand at the left; the bar, and below it its stretches in words."""
    shapes: list[Shape] = []
    labels: list[Label] = []
    at = _NAME
    for line in _lines(style.say(bar.name), _NAMES - 2.0, _NAME):
        labels.append(Label(0.0, at, line, _NAME, bold=True))
        at += 1.3 * _NAME
    on_hand = style.say(reason("{amount} on hand", amount=Amount(bar.on_hand_m, bar.tex)))
    labels.append(Label(0.0, at, on_hand, _LINE, fill=_GREY))
    below = 0.0
    for row in _rows(bar, row_m, mm):
        for one in row:
            shapes += _drawn(one.stretch.takes, bar.colour, one.x, below, one.wide)
        new, words = _numbers(row, below, style)
        shapes, labels = shapes + new, labels + words
        below += _HIGH + (_BELOW if new and any(shape.kind == "leader" for shape in new) else _BETWEEN)
    # No line ends between a figure and its unit.
    said = " · ".join(style.say(one).replace(" ", "\u00a0") for one in bar.told)
    for line in _lines(said, WIDE - _NAMES, _LINE, 9):
        below += 1.3 * _LINE
        labels.append(Label(_NAMES, below - 0.3 * _LINE, line, _LINE, fill=_GREY))
    return Scene(WIDE, max(at, below), tuple(shapes), tuple(labels), style.say(bar.name), said)


def _lines(text: str, room: float, size: float, most: int = 2) -> list[str]:
    letters = int(room / width_of("x", size))
    return textwrap.wrap(text, letters, max_lines=most, placeholder=" ...", break_on_hyphens=False)


def _drawn(takes: Takes, colour: Colour, x: float, y: float, wide: float) -> Iterator[Shape]:
    """A piece in its colours, one above the other by their shares; a piece of what is left is paper."""
    if takes != "left":
        top = y
        for code, share in colour.patches():
            yield Shape(box(x, top, wide, _HIGH * share), code, kind="yarn")
            top += _HIGH * share
    # Dark beside white, so that it shows on every yarn.
    if takes == "kept":
        lean = max(0.0, min(_LEAN, wide - 2 * _LINE_MM))
        for place in _places(wide - lean, 2 * _LINE_MM):
            for side, code in enumerate((INK, PAPER)):
                low = x + place + side * _LINE_MM
                corners = ((low, y + _HIGH), (low + _LINE_MM, y + _HIGH), (low + _LINE_MM + lean, y), (low + lean, y))
                yield Shape(corners, code, kind="hatch")
    if takes == "needles":
        for place in _places(wide, _DOT):
            for down in (0.25, 0.75):
                middle = y + down * _HIGH
                yield Shape(box(x + place, middle - _DOT / 2, _DOT, _DOT), PAPER, kind="dot")
                yield Shape(box(x + place + _DOT / 4, middle - _DOT / 4, _DOT / 2, _DOT / 2), INK, kind="dot")
    looks = ("none", INK) if takes != "left" else (PAPER, _FAINT)
    yield Shape(box(x, y, wide, _HIGH), *looks, _EDGE, takes)


def _places(room: float, wide: float) -> Iterator[float]:
    """Where marks of a width begin, in the middle of the room; none where there is no room for one."""
    number = int((room - wide) / _STEP) + 1 if room >= wide else 0
    first = (room - wide - (number - 1) * _STEP) / 2
    return (first + place * _STEP for place in range(number))


def _numbers(row: Sequence[_Piece], y: float, style: Style) -> tuple[list[Shape], list[Label]]:
    """The number of each thing on its piece, on a white plate; below it, with a line, where there is no room; and the
    metres of what is left."""
    shapes: list[Shape] = []
    labels: list[Label] = []
    outside: list[tuple[float, str]] = []
    for one in row:
        middle = one.x + one.wide / 2
        if one.stretch.takes == "left":
            text, size = style.say(Length(one.stretch.metres)), _LINE
        else:
            text, size = str(one.stretch.number or ""), _NUMBER
        plate = width_of(text, size) + 1.0
        if text and one.wide >= plate + 0.6 and (one.widest or one.stretch.number):
            if one.stretch.number:
                shapes.append(Shape(box(middle - plate / 2, y + 0.9, plate, _HIGH - 1.8), PAPER, INK, _EDGE, "plate"))
            labels.append(Label(middle, y + _HIGH / 2 + 0.36 * size, text, size, "middle", bold=size == _NUMBER))
        elif one.stretch.number and one.widest:
            outside.append((middle, text))
    for (middle, text), x in zip(
        outside, _spread([(at, width_of(text, _NUMBER) + 1.0) for at, text in outside]), strict=True
    ):
        shapes.append(Shape(((middle, y + _HIGH), (x, y + _HIGH + 1.2)), "none", INK, _EDGE, "leader"))
        labels.append(Label(x, y + _HIGH + 1.2 + 0.8 * _NUMBER, text, _NUMBER, "middle", bold=True))
    return shapes, labels


def _spread(wanted: Sequence[tuple[float, float]]) -> list[float]:
    """Middles of words side by side, from where they are wanted: (middle, width) in order, none over another."""
    found: list[float] = []
    free = _NAMES
    for middle, wide in wanted:
        found.append(max(middle, free + wide / 2))
        free = found[-1] + wide / 2
    free = WIDE
    for place in range(len(found) - 1, -1, -1):
        wide = wanted[place][1]
        found[place] = min(found[place], free - wide / 2)
        free = found[place] - wide / 2
    return found


def _key(bars: Sequence[Bar], mm: float, style: Style) -> Scene:
    """What the marks mean, and how long a round number of metres or yards is."""
    met = {one.takes for bar in bars for one in bar.stretches}
    words: dict[Takes, Words] = {
        "used": reason("for the thing of that number"),
        "kept": reason("kept back"),
        "needles": reason("on the needles"),
        "left": reason("left"),
    }
    shapes: list[Shape] = []
    labels: list[Label] = []
    x = 0.0
    for takes in (one for one in words if one in met):
        shapes += _drawn(takes, _KEY_COLOUR, x, 0.0, _SAMPLE)
        if takes == "used":
            new, numbers = _numbers([_Piece(Stretch("used", 1.0, 1), x, _SAMPLE, True)], 0.0, style)
            shapes, labels = shapes + new, labels + numbers
        said = style.say(words[takes])
        labels.append(Label(x + _SAMPLE + 1.5, _HIGH / 2 + 0.36 * _LINE, said, _LINE))
        x += _SAMPLE + 1.5 + width_of(said, _LINE) + 4.0
    unit = YD_M if style.inches else 1.0
    power = 10.0 ** floor(log10(_SAMPLE_LONG / mm / unit))
    round_m = max(step * power for step in (1, 2, 5) if step * power * unit * mm <= _SAMPLE_LONG) * unit
    right = WIDE - round_m * mm
    middle = _HIGH / 2
    shapes.append(Shape(box(right, middle + 0.9, round_m * mm, 0.3), INK, kind="scale"))
    shapes += [Shape(box(x, middle + 0.2, 0.3, 1.7), INK, kind="scale") for x in (right, WIDE - 0.3)]
    labels.append(Label((right + WIDE) / 2, middle, style.say(Length(round_m)), _LINE, "middle"))
    return Scene(WIDE, _HIGH + 0.2, tuple(shapes), tuple(labels), style.say(reason("What the marks mean")))
