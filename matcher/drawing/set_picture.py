"""Several things from one bin in one picture: the lots as bars, and beside them each thing small, by its number."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.drawing.bars import WIDE, Bar, bars_scenes
from matcher.drawing.pictures_sheet import CARD, Card, CardRow, card_rows, rows_at
from matcher.drawing.scene import Label, Scene, scaled
from matcher.reasons.reason import Words
from matcher.reasons.style import PLAIN, Style

# mm; choices: a picture of many lots comes out somewhat wider than high.
_EDGE, _APART, _TITLE, _LINE = 8.0, 4.0, 5.0, 3.2
_COLUMN = 320.0


def set_scene(cards: Sequence[Card], bars: Sequence[Bar], title: Words, said: Words, style: Style = PLAIN) -> Scene:
    """Bars at the left, things at the right, below a title and what is said of all at once; user units are mm."""
    key, *rows = bars_scenes(bars, style)
    columns = _columns(rows)
    tall = max(sum(one.height + _APART for one in (key, *column)) for column in columns)
    room = max(tall, max((row.high for row in card_rows(cards, 1, style)), default=0.0))
    across = next(number for number in range(1, len(cards) + 2) if _high(card_rows(cards, number, style)) <= room)
    things = card_rows(cards, across, style)
    top = _EDGE + 1.8 * _TITLE + 2.0 * _LINE
    heading = style.say(title)
    labels = [
        Label(_EDGE, _EDGE + _TITLE, heading, _TITLE, bold=True),
        Label(_EDGE, top - 1.6 * _LINE, style.say(said), _LINE),
    ]
    placed, left = [], _EDGE
    for column in columns:
        at = top
        for one in (key, *column):
            placed.append(scaled(one, 1.0, left, at))
            at += one.height + _APART
        left += WIDE + _EDGE
    placed.append(rows_at(things, left, top, style))
    shapes = [one for several, _ in placed for one in several]
    labels += [one for _, several in placed for one in several]
    height = top + max(tall, _high(things)) + _EDGE
    return Scene(left + across * CARD, height, tuple(shapes), tuple(labels), heading, style.say(said))


def _high(rows: Sequence[CardRow]) -> float:
    return sum(row.high for row in rows)


def _columns(rows: Sequence[Scene]) -> list[list[Scene]]:
    """Rows in their order, in columns about alike in height; in one where they are few."""
    whole = sum(one.height + _APART for one in rows)
    number = max(1, round((whole / _COLUMN) ** 0.5))
    columns: list[list[Scene]] = [[] for _ in range(number)]
    done = 0.0
    for one in rows:
        columns[min(number - 1, int(number * done / whole))].append(one)
        done += one.height + _APART
    return columns
