"""The charts of a pattern: a box a stitch in its colour and with its sign, shaped rows as they narrow and widen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from matcher.drawing.chart_marks import LINE, all_coloured, bold_lines, ink_on, numbered, symbol
from matcher.drawing.scene import Label, Points, Scene, Shape, box, width_of
from matcher.drawing.stitches import code_of
from matcher.knitting.fit.fitted import in_role_order
from matcher.knitting.pattern.charted import SeenChart, SeenRow, seen_charts
from matcher.knitting.pattern.pattern import Pattern, letter_of
from matcher.knitting.pattern.stitches import OPERATIONS, Stitch
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style

_MARGIN = 4.0  # mm of the fabric
_NOTHING = "#e4e0da"  # no stitch
_GREY = "#777777"
_KEY = 40.0  # mm of the fabric that the list of signs takes at least
_BAR = 0.075  # half as thick as the line of a sign, of a box
_UP_RIGHT = ((-0.4, 0.34), (-0.26, 0.44), (0.4, -0.34), (0.26, -0.44))
_UP_LEFT = tuple((-x, y) for x, y in _UP_RIGHT)
# The signs of the trade, in a square of 1 round the middle of the box; what has none is lettered.
_SIGNS: dict[str, tuple[Points, ...]] = {
    "k": (),
    "p": (box(-0.32, -_BAR, 0.64, 2 * _BAR),),
    "k2tog": (_UP_RIGHT,),
    "ssk": (_UP_LEFT,),
    "p2tog": (_UP_RIGHT, box(0.12, 0.2, 0.3, 2 * _BAR)),
    "s2kp": (box(-_BAR, -0.44, 2 * _BAR, 0.88), ((0.0, -0.44), (0.44, 0.36), (0.32, 0.44), (-0.07, -0.3)),
             ((0.0, -0.44), (-0.44, 0.36), (-0.32, 0.44), (0.07, -0.3))),
    "sl": (((-0.4, -0.4), (-0.24, -0.4), (0.0, 0.2), (0.24, -0.4), (0.4, -0.4), (0.06, 0.42), (-0.06, 0.42)),),
}  # fmt: skip
_LETTERS = {"m1l": "ML", "m1r": "MR", "kfb": "kf", "yo": "O", "co": "co"}


def pattern_charts(
    pattern: Pattern, colours: Mapping[str, Colour], style: Style = PLAIN
) -> tuple[tuple[str, Scene], ...]:
    """Every chart with what is said of it: how often side by side, and in which rounds.

    User units are mm of the fabric. Numbers at the right are those of the words, at the left of a repeated chart those
    of the rounds where its rows come first; rows of the wrong side have theirs at the left. A variegated yarn's boxes
    have its most frequent colour. colours: one for each role. Raises BadInput for a role without a colour.
    """
    roles = sorted(pattern.fitted.roles, key=in_role_order)
    worn = all_coloured(roles, colours)
    labs = {role: max(worn[role].stitches(), key=lambda one: one[1])[0] for role in roles}
    return tuple(
        (style.sentence(_said(one)), _Sheet(one, pattern, labs, style).scene()) for one in seen_charts(pattern)
    )


Box = tuple[float, float, float, float]
"""Left, top, width and height, in the units of a scene."""


def row_boxes(pattern: Pattern) -> tuple[Mapping[int, Box], ...]:
    """Where each row lies in its scene of `pattern_charts`, chart by chart, by its number as the words call it."""
    return tuple(_Sheet(one, pattern, {}, PLAIN).row_boxes() for one in seen_charts(pattern))


def _said(chart: SeenChart) -> Words:
    """Its size, how often it is worked side by side, and in which rounds, where these follow each other."""
    name = reason("chart {letter}", letter=chart.name) if chart.lettered else chart.name
    where: list[Words] = [
        counted(chart.columns, "{n} stitch", "{n} stitches"),
        counted(len(chart.rows), "{n} row", "{n} rows"),
    ]
    if len(chart.times) == 1 and (chart.flat or chart.beside):
        where.append(counted(chart.times[0], "once", "{n} times side by side"))
    elif len(chart.times) == 1:
        where.append(counted(chart.times[0], "once round", "{n} times round"))
    courses = sorted({at for row in chart.rows for at in row.courses})
    if len(courses) > 1 and courses[-1] - courses[0] == len(courses) - 1:
        rounds = "rows {first} to {last}" if chart.flat else "rounds {first} to {last}"
        where.append(reason(rounds, first=courses[0], last=courses[-1]))
    return reason("{name}: {where}", name=name, where=listed(where))


class _Sheet:
    """One chart: where its boxes, its figures and its list of signs lie."""

    def __init__(self, chart: SeenChart, pattern: Pattern, labs: Mapping[str, Lab], style: Style) -> None:
        self.chart, self.labs, self.style = chart, labs, style
        gauge = pattern.fitted.gauge
        self.width, self.height = 100 / gauge.stitches_10cm, 100 / gauge.rows_10cm
        self.size = 0.86 * self.height
        self.roles = list(labs)
        # Rounds of a chart that is used as it is numbered need no second number.
        first = [row.courses[0] if row.courses else row.number for row in chart.rows]
        self.second = chart.lettered and not chart.flat and first != [row.number for row in chart.rows]
        widest = max(len(str(at)) for at in (*first, len(chart.rows)))
        left = 0.6 * widest * self.size + 0.7 * self.size if self.second or chart.flat else 0.0
        self.left, self.top = _MARGIN + left, _MARGIN
        self.right = self.left + chart.columns * self.width
        self.bottom = self.top + len(chart.rows) * self.height

    def row_boxes(self) -> dict[int, Box]:
        wide, high = self.right - self.left, self.height
        rows = enumerate(self.chart.rows, start=1)
        return {row.number: (self.left, self.bottom - up * high, wide, high) for up, row in rows}

    def scene(self) -> Scene:
        boxes: list[Shape] = []
        signs: list[Shape] = []
        labels: list[Label] = []
        for up, row in enumerate(self.chart.rows):
            y = self.bottom - (up + 1) * self.height
            boxes += self._nothing(row, y)
            for place, one in enumerate(row.cells):
                x = self.left + (row.gap + place) * self.width
                boxes.append(self._box(one, x, y))
                new, letters = self._sign(one, x + self.width / 2, y + self.height / 2)
                signs += new
                labels += letters
            labels += self._numbers(row, up, y)
        labels += [
            Label(
                self.right - (place - 0.5) * self.width,
                self.bottom + 1.25 * self.size,
                str(place),
                self.size,
                "middle",
                _GREY,
            )
            for place in numbered(self.chart.columns, width_of(str(self.chart.columns), self.size) / self.width)
        ]
        count, first = len(self.chart.rows), self.chart.rows[0].number
        lines = bold_lines(self.chart.columns, count, self.width, self.height, self.left, self.top, first)
        key, words, bottom = self._key(self.bottom + 2.2 * self.size)
        beside = (0.5 + 0.62 * max(len(str(row.number)) for row in self.chart.rows)) * self.size
        said = self.style.sentence(_said(self.chart))
        return Scene(
            max(self.right + beside, self.left + _KEY) + _MARGIN,
            bottom + _MARGIN,
            (*boxes, *signs, *lines, *key),
            (*labels, *words),
            said,
            self.style.say(reason("Read from the bottom row up and from right to left.")),
        )

    def _box(self, one: Stitch, x: float, y: float) -> Shape:
        code = code_of(self.labs[one.role]) if one.role else "#ffffff"
        return Shape(box(x, y, self.width, self.height), code, LINE, 0.035 * self.height, "stitch")

    def _nothing(self, row: SeenRow, y: float) -> Iterator[Shape]:
        end = row.gap + len(row.cells)
        for start, stop in ((0, row.gap), (end, self.chart.columns)):
            if stop > start:
                place = box(self.left + start * self.width, y, (stop - start) * self.width, self.height)
                yield Shape(place, _NOTHING, kind="nothing")

    def _sign(self, one: Stitch, x: float, y: float) -> tuple[list[Shape], list[Label]]:
        """The sign of an operation; of a plain stitch that of its colour."""
        ink = ink_on(self.labs[one.role]) if one.role else "#000000"
        size = min(self.width, self.height)
        if one.op == "k":
            return (symbol(self.roles.index(one.role), x, y, 0.74 * size, ink) if one.role else []), []
        if one.op in _SIGNS:
            forms = _SIGNS[one.op]
            return [
                Shape(tuple((x + size * dx, y + size * dy) for dx, dy in form), ink, kind="sign") for form in forms
            ], []
        return [], [Label(x, y + 0.24 * size, _LETTERS.get(one.op, one.op), 0.66 * size, "middle", ink, bold=True)]

    def _numbers(self, row: SeenRow, up: int, y: float) -> Iterator[Label]:
        """A row's own number, and at the left the round where it comes first."""
        base = y + self.height / 2 + 0.36 * self.size
        if row.wrong_side:
            yield Label(self.left - 0.4 * self.size, base, str(row.number), self.size, "end", _GREY)
            return
        yield Label(self.right + 0.4 * self.size, base, str(row.number), self.size, fill=_GREY)
        if self.second and row.courses:
            yield Label(self.left - 0.4 * self.size, base, str(row.courses[0]), self.size, "end", _GREY)

    def _key(self, top: float) -> tuple[list[Shape], list[Label], float]:
        """The colours and signs that are used, side by side where there is room, and where they end."""
        cells = [one for row in self.chart.rows for one in row.cells]
        used = [Stitch("k", role) for role in self.roles if any(one.role == role for one in cells)]
        shaping = [op for op in OPERATIONS if op != "k" and any(one.op == op for one in cells)]
        entries: list[tuple[Stitch | None, str]] = [(one, letter_of(one.role)) for one in used]
        entries += [(Stitch(op, ""), op) for op in shaping]
        if any(row.gap or len(row.cells) < self.chart.columns for row in self.chart.rows):
            entries.append((None, self.style.say(reason("no stitch"))))
        shapes: list[Shape] = []
        labels: list[Label] = []
        x, y, line = self.left, top, 1.7 * self.height
        for one, text in entries:
            wide = 1.5 * self.width + width_of(text, self.size) + 1.2 * self.size
            if x > self.left and x + wide > max(self.right, self.left + _KEY):
                x, y = self.left, y + line
            if one is None:
                shapes.append(Shape(box(x, y, self.width, self.height), _NOTHING, kind="legend"))
            else:
                shapes.append(replace(self._box(one, x, y), kind="legend"))
                new, letters = self._sign(one, x + self.width / 2, y + self.height / 2)
                shapes += new
                labels += letters
            labels.append(Label(x + 1.4 * self.width, y + 0.5 * self.height + 0.36 * self.size, text, self.size))
            x += wide
        return shapes, labels, y + line
