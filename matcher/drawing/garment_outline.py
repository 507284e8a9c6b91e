"""A garment as a flat outline in its own colour, and where yarn is kept to mend it: hatched, with a number.

User units are hundredths of the width of the body, so that every kind of garment is drawn to one scale; only a dress is
longer, and a child's is drawn like any other. Nothing is measured here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matcher.drawing.scene import INK, PAPER, Label, Points, Scene, Shape, box, width_of
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Words, listed, reason
from matcher.reasons.style import PLAIN, Style

KINDS = ("pullover", "cardigan", "vest", "dress", "other")
_MIDDLE, _TOP = 150.0, 34.0  # of the page across; of the shoulders
_LINE, _EDGE, _STEP = "#8a8a8a", 1.0, 4.0
_LETTERS, _LONGER = 8.0, 14.0
_SHOULDER, _NECK, _ARM = 44.0, 17.0, 40.0  # half the shoulders and the neck; how deep an armhole is
_SLEEVE = {"long": 1.0, "short": 0.36, "none": 0.0}  # of the length of a long one
_HEM = {"dress": 240.0, "other": 150.0}


@dataclass(frozen=True)
class Kept:
    """Yarn that is kept for a place. number: what the picture calls it; where: one of `repairs.PLACES` or the part that
    a plan lengthens; always: whether it is kept in any case, or for any one of several."""

    number: int
    where: str
    words: Words
    always: bool


def outline_scene(
    kind: str, sleeves: str, colour: Colour | None, kept: Sequence[Kept], title: Words, style: Style = PLAIN
) -> Scene:
    """The outline of one of `KINDS` with sleeves of `repairs.SLEEVES`, in its main colour (None: paper)."""
    fill = colour.patches()[0][0] if colour is not None else PAPER
    hem = _HEM.get(kind, 176.0)
    shapes = [Shape(points, fill, INK, _EDGE, "garment") for points in _pieces(kind, sleeves, hem)]
    if kind == "cardigan":
        shapes.append(Shape(box(_MIDDLE - 4.0, _TOP + 8.0, 8.0, hem - _TOP - 8.0), fill, INK, _EDGE / 2, "band"))
    plates: list[Shape] = []
    labels: list[Label] = []
    for one in kept:
        areas = _areas(one.where, sleeves, hem)
        for area in areas:
            shapes.append(Shape(area, PAPER, INK, _EDGE, "kept"))
            shapes += _hatched(area, one.always)
        x, y = _plate_at(areas, one.where)
        while any(abs(x - label.x) < 1.6 * _LETTERS and abs(y - label.y) < 1.5 * _LETTERS for label in labels):
            y += 1.6 * _LETTERS
        wide = width_of(str(one.number), _LETTERS) + 4.0
        plates.append(
            Shape(box(x - wide / 2, y - 0.95 * _LETTERS, wide, 1.3 * _LETTERS), PAPER, INK, _EDGE / 2, "plate")
        )
        labels.append(Label(x, y, str(one.number), _LETTERS, "middle", bold=True))
    said = listed((reason("{number}: {words}", number=one.number, words=one.words) for one in kept), between="; ")
    return Scene(
        2 * _MIDDLE,
        hem + _LONGER + 8.0,
        (*shapes, *plates),
        tuple(labels),
        style.say(title),
        style.say(said) if kept else style.say(reason("no yarn is kept to mend it")),
    )


def _pieces(kind: str, sleeves: str, hem: float) -> Iterator[Points]:
    if kind == "other":
        yield box(_MIDDLE - 60.0, _TOP, 120.0, hem - _TOP)
        return
    for side in (-1.0, 1.0):
        if _SLEEVE[sleeves]:
            yield _sleeve(side, 0.0, _SLEEVE[sleeves])
    flare = 16.0 if kind == "dress" else 0.0
    right = [
        *((_NECK, _TOP - 8.0), (_SHOULDER, _TOP), (50.0 if sleeves != "none" else 38.0, _TOP + _ARM / 2)),
        *((50.0, _TOP + _ARM), (50.0 + flare, hem)),
    ]
    deep = (0.0, _TOP + (26.0 if kind == "vest" else 2.0))
    yield tuple((_MIDDLE + x, y) for x, y in [*right, *((-x, y) for x, y in reversed(right)), deep])


def _sleeve(side: float, begin: float, end: float) -> Points:
    """A piece of a long sleeve, 0 at the shoulder and 1 at its edge."""
    return (
        _on_sleeve(side, begin, 0.0),
        _on_sleeve(side, end, 0.0),
        _on_sleeve(side, end, 1.0),
        _on_sleeve(side, begin, 1.0),
    )


def _on_sleeve(side: float, along: float, across: float) -> tuple[float, float]:
    """A place on a sleeve: from the shoulder down, and from its outer edge to its inner one."""
    outer = _SHOULDER + along * 74.0, _TOP + along * 112.0
    inner = 50.0 + along * 44.0, _TOP + _ARM + along * 86.0
    x, y = (a + across * (b - a) for a, b in zip(outer, inner, strict=True))
    return _MIDDLE + side * x, y


def _areas(where: str, sleeves: str, hem: float) -> list[Points]:
    """The places on the garment; a part that it does not have lies in the middle of its body."""
    both = (-1.0, 1.0)
    length = _SLEEVE[sleeves]
    if length and where in ("elbows", "cuffs", "sleeves", "sleeve edges"):
        begin, end = {"elbows": (0.46, 0.62), "cuffs": (0.9, 1.0), "sleeves": (0.74, 0.88)}.get(where, (0.78, 1.0))
        return [_sleeve(side, begin * length, end * length) for side in both]
    if where == "armholes":
        edge = ((_SHOULDER, _TOP), (38.0, _TOP + _ARM / 2), (50.0, _TOP + _ARM))
        corners = (*edge, *((x - 7.0, y) for x, y in reversed(edge)))
        return [tuple((_MIDDLE + side * x, y) for x, y in corners) for side in both]
    if where == "yoke":
        return [_round(_MIDDLE + side * 26.0, _TOP + 14.0, 11.0) for side in both]
    if where == "neck":
        return [box(_MIDDLE - _NECK, _TOP - 8.0, 2 * _NECK, 6.0)]
    if where == "band":
        return [box(_MIDDLE - 4.0, _TOP + 40.0, 8.0, 60.0)]
    if where == "hem":
        return [box(_MIDDLE - 50.0, hem - 16.0, 100.0, 16.0)]
    if where == "body":  # grows below its hem
        return [box(_MIDDLE - 50.0, hem, 100.0, _LONGER)]
    if where == "anywhere":
        return [_round(_MIDDLE - 26.0, _TOP + 62.0, 8.0), _round(_MIDDLE + 28.0, _TOP + 92.0, 8.0)]
    return [box(_MIDDLE - 16.0, _TOP + 58.0, 32.0, 32.0)]


def _round(x: float, y: float, radius: float) -> Points:
    turns = [math.tau * step / 24 for step in range(24)]
    return tuple((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns)


def _plate_at(areas: Sequence[Points], where: str) -> tuple[float, float]:
    """Beside the first of its areas, outside the garment where that is near its edge."""
    xs, ys = zip(*areas[0], strict=True)
    if where in ("elbows", "cuffs", "sleeves", "sleeve edges", "armholes"):
        return min(xs) - 8.0, (min(ys) + max(ys)) / 2
    if where in ("hem", "neck", "body"):
        return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2 + 3.0
    return max(xs) + 8.0, (min(ys) + max(ys)) / 2 + 3.0


def _hatched(area: Points, always: bool) -> Iterator[Shape]:
    """Lines across an area, close together where yarn is kept in any case."""
    step = _STEP if always else 2 * _STEP
    falls = [x + y for x, y in area]
    at = step * math.ceil(min(falls) / step)
    while at < max(falls):
        met = []
        for (ax, ay), (bx, by) in zip(area, (*area[1:], area[0]), strict=True):
            a, b = ax + ay - at, bx + by - at
            if a * b < 0:
                share = a / (a - b)
                met.append((ax + share * (bx - ax), ay + share * (by - ay)))
        met.sort()
        for begin, end in zip(met[::2], met[1::2], strict=False):
            yield Shape((begin, end), "none", INK, _EDGE, "hatch")
        at += step
