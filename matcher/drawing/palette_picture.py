"""Pictures of a palette: lots in order, each with its grey beside it; or as a map of a* and b*; one panel a class."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from matcher.drawing.scene import INK, Label, Points, Scene, Shape, box, moved, side_by_side
from matcher.materials.colours.cielab import Lab, hex_from_lab
from matcher.reasons.reason import Term, Words, reason
from matcher.reasons.style import PLAIN, Style

_ROW, _BAR, _GREY, _WIDE, _HEAD = 20.0, 64.0, 20.0, 280.0, 44.0
_GAP = 3.0  # between rows, so that a row of several colours does not run into its neighbours
_LETTERS, _SMALL = 12.0, 10.0
_MAP, _EDGE, _DOT = 360.0, 18.0, 9.0
_LINE, _FRAME = "#c9c9c9", "#8a8a8a"
_LEAST_REACH = 40.0
_ACROSS = 3  # panels in a row, so that the picture prints on a page
_TRIES = 400
_MOST_MOVED = 150  # with more dots in a panel there is no free place to move to


@dataclass(frozen=True)
class Swatch:
    """One lot: its name, its codes with their shares, the mean colour that orders it, whether that is guessed."""

    name: str
    codes: tuple[tuple[str, float], ...]
    lab: Lab
    guessed: bool = False

    @property
    def called(self) -> str:
        """The name as far as there is room, with a question mark for a guess."""
        return f"{_short(self.name, 22)} ?" if self.guessed else _short(self.name, 24)

    @property
    def grey(self) -> str:
        """The code of a grey as light as its mean."""
        return hex_from_lab((self.lab[0], 0.0, 0.0))


@dataclass(frozen=True)
class Panel:
    """Lots of one weight class, in the order in which they are to stand."""

    heading: str
    swatches: tuple[Swatch, ...]


def strips_scene(panels: Sequence[Panel], title: Words, style: Style = PLAIN) -> Scene:
    """A column a class; a row a lot: its colours by their shares, the grey as light beside them, L* and name."""
    told = reason(
        "Lots in order from top to bottom; beside each the grey that is as light, and how light it is. "
        "A question mark: the colour is guessed from a word."
    )
    return _laid_out([_strip(panel, style) for panel in panels], 8.0, style.say(title), style.say(told), style)


def _laid_out(scenes: Sequence[Scene], gap: float, title: str, told: str, style: Style) -> Scene:
    """Panels row by row, all of a row hanging from the same line."""
    if not scenes:
        return Scene(_WIDE, _HEAD, (), (Label(8.0, 24.0, style.say(reason("no lots")), _LETTERS),), title, told)
    shapes: list[Shape] = []
    labels: list[Label] = []
    top = width = 0.0
    for start in range(0, len(scenes), _ACROSS):
        several = scenes[start : start + _ACROSS]
        height = max(one.height for one in several)
        row = side_by_side([replace(one, height=height) for one in several], gap)
        shapes += [replace(shape, points=moved(shape.points, 0.0, top)) for shape in row.shapes]
        labels += [replace(label, y=label.y + top) for label in row.labels]
        top, width = top + height + gap, max(width, row.width)
    return Scene(width, top - gap, tuple(shapes), tuple(labels), title, told)


def _strip(panel: Panel, style: Style) -> Scene:
    shapes: list[Shape] = []
    labels = [
        Label(8.0, 22.0, panel.heading, _LETTERS + 1, bold=True),
        Label(8.0 + _BAR + _GREY + 12.0, 38.0, style.say(reason("lightness (0 black, 100 white) and lot")), _SMALL),
    ]
    for place, swatch in enumerate(panel.swatches):
        y, x = _HEAD + _ROW * place, 8.0
        for code, share in swatch.codes:
            shapes.append(Shape(box(x, y, _BAR * share, _ROW - _GAP), code, kind="colour"))
            x += _BAR * share
        grey = box(8.0 + _BAR + 4.0, y, _GREY, _ROW - _GAP)
        shapes.append(Shape(grey, swatch.grey, kind="grey"))
        # White yarn needs an edge to be seen on paper.
        shapes += [Shape(one, "none", _FRAME, 0.8, "frame") for one in (box(8.0, y, _BAR, _ROW - _GAP), grey)]
        words = f"{swatch.lab[0]:.0f}  {swatch.called}"
        labels.append(Label(8.0 + _BAR + _GREY + 12.0, y + 14.0, words, _LETTERS))
    return Scene(_WIDE, _HEAD + _ROW * len(panel.swatches) + 8.0, tuple(shapes), tuple(labels))


def map_scene(panels: Sequence[Panel], style: Style = PLAIN) -> Scene:
    """A map a class: a* to the right (green to red), b* upwards (blue to yellow), a numbered dot a lot; names below."""
    told = reason(
        "Each lot is a dot where its hue lies: greys in the middle, green left, red right, yellow up, blue down. "
        "Where there are few, a dot that would cover another is moved aside. "
        "A question mark: the colour is guessed from a word."
    )
    farthest = max((abs(value) for panel in panels for one in panel.swatches for value in one.lab[1:]), default=0.0)
    reach = max(_LEAST_REACH, 10.0 * math.ceil((farthest + 4.0) / 10.0))
    title = style.say(reason("Map of colours"))
    return _laid_out([_map(panel, reach, style) for panel in panels], 12.0, title, style.say(told), style)


def _map(panel: Panel, reach: float, style: Style) -> Scene:
    left, top = _EDGE, _HEAD
    middle_x, middle_y, scale = left + _MAP / 2, top + _MAP / 2, _MAP / 2 / reach
    shapes = [
        Shape(box(left, top, _MAP, _MAP), "#ffffff", _LINE, 1.0, "frame"),
        Shape(box(left, middle_y - 0.4, _MAP, 0.8), _LINE, kind="axis"),
        Shape(box(middle_x - 0.4, top, 0.8, _MAP), _LINE, kind="axis"),
    ]
    labels = [
        Label(left, 20.0, panel.heading, _LETTERS + 1, bold=True),
        Label(left + 3.0, middle_y - 4.0, style.say(Term("green")), _SMALL),
        Label(left + _MAP - 3.0, middle_y - 4.0, style.say(Term("red")), _SMALL, "end"),
        Label(middle_x + 4.0, top + 12.0, style.say(Term("yellow")), _SMALL),
        Label(middle_x + 4.0, top + _MAP - 5.0, style.say(Term("blue")), _SMALL),
    ]
    placed: list[tuple[float, float]] = []
    down_most = math.ceil(len(panel.swatches) / 2)
    for number, swatch in enumerate(panel.swatches, 1):
        x, y = _free_place(middle_x + swatch.lab[1] * scale, middle_y - swatch.lab[2] * scale, placed)
        if len(panel.swatches) <= _MOST_MOVED:
            placed.append((x, y))
        shapes += _dot(x, y, swatch.codes, hex_from_lab(swatch.lab))
        ink = "#ffffff" if swatch.lab[0] < 55 else INK
        labels.append(Label(x, y + 3.0, str(number), 8.0, "middle", ink))
        across, down = divmod(number - 1, down_most)
        labels.append(
            Label(
                left + across * _MAP / 2,
                top + _MAP + 24.0 + 16.0 * down,
                f"{number}  {swatch.called}",
                _SMALL,
            )
        )
    height = _HEAD + _MAP + 24.0 + 16.0 * down_most + 8.0
    return Scene(_MAP + 2 * _EDGE, height, tuple(shapes), tuple(labels))


def _free_place(x: float, y: float, placed: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """The place itself, or the first on a spiral around it where the dot covers no other."""
    for step in range(_TRIES):
        radius, turn = 0.6 * _DOT * math.sqrt(step), 2.4 * step
        tried = x + radius * math.cos(turn), y + radius * math.sin(turn)
        if all(math.dist(tried, one) >= 2.1 * _DOT for one in placed):
            return tried
    return x, y


def _dot(x: float, y: float, codes: Sequence[tuple[str, float]], mean: str) -> list[Shape]:
    """A dot in slices, one a colour, as large as its share; a thin dark edge keeps a pale one from the paper.

    In the middle of several colours lies their mean, on which the number stands.
    """
    shapes = [Shape(_slice(x, y, _DOT + 0.8, 0.0, 1.0), "#777777", kind="edge")]
    done = 0.0
    for code, share in codes:
        shapes.append(Shape(_slice(x, y, _DOT, done, done + share), code, kind="colour"))
        done += share
    if len(codes) > 1:
        # The number would not be read across several colours.
        shapes.append(Shape(_slice(x, y, 0.6 * _DOT, 0.0, 1.0), mean, kind="plate"))
    return shapes


def _slice(x: float, y: float, radius: float, begin: float, end: float) -> Points:
    whole = end - begin > 0.999
    steps = max(2, round(24 * (end - begin)))
    turns = [math.tau * (begin + (end - begin) * step / steps) for step in range(steps if whole else steps + 1)]
    rim = tuple((x + radius * math.sin(turn), y - radius * math.cos(turn)) for turn in turns)
    return rim if whole else ((x, y), *rim)


def _short(words: str, most: int) -> str:
    return words if len(words) <= most else f"{words[: most - 1].rstrip()}…"
