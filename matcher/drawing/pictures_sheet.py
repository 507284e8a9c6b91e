"""A sheet of small pictures to look at: of each its number, its name, and a few lines below it."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matcher.drawing.papers import paper_of
from matcher.drawing.scene import Label, Scene, Shape, scaled, width_of
from matcher.drawing.sheets import sheets_html
from matcher.reasons.reason import Words, counted, reason
from matcher.reasons.style import PLAIN, Style

# Millimetres; sizes are choices: fifteen of four lines each go onto either paper.
CARD, _ACROSS = 60.0, 3
_PICTURE = (54.0, 30.0)
_BELOW = 3.0  # between the last line and the next picture
_TOP, _EDGE, _NUMBER = 19.0, 3.0, 6.0
_NAME, _LINE, _TITLE = 3.2, 2.7, 5.0  # sizes of letters
_MOST_LINES = 8  # of one text; no names of lots come near it, and a card never outgrows its paper
_GREY = "#555555"
_TITLED = reason("What your yarn could become")


@dataclass(frozen=True)
class Card:
    """One thing on the sheet. picture: None where it can't be drawn."""

    number: int
    name: Words
    lines: tuple[Words, ...]
    picture: Scene | None


@dataclass(frozen=True)
class CardRow:
    """Cards side by side. high: as the one with the most words needs [mm]."""

    cards: Sequence[Card]
    high: float


def card_rows(cards: Sequence[Card], across: int, style: Style = PLAIN) -> list[CardRow]:
    """The cards in their order, so many in a row."""
    rows = [cards[start : start + across] for start in range(0, len(cards), across)]
    return [CardRow(row, max(_height(card, style) for card in row)) for row in rows]


def pictures_scene(cards: Sequence[Card], style: Style = PLAIN) -> Scene:
    """All cards on one sheet, as long as it takes; user units are mm."""
    rows = card_rows(cards, _ACROSS, style)
    return _sheet(rows, (_ACROSS * CARD + 2 * _EDGE, _TOP + sum(row.high for row in rows) + _EDGE), style)


def pictures_html(cards: Sequence[Card], paper: str, style: Style = PLAIN) -> str:
    """The cards on sheets of paper "a4" or "letter". Raises BadInput for another paper."""
    size = paper_of(paper).size
    sheets: list[list[CardRow]] = [[]]
    for row in card_rows(cards, _ACROSS, style):
        if sheets[-1] and _TOP + sum(one.high for one in sheets[-1]) + row.high > size[1] - _EDGE:
            sheets.append([])
        sheets[-1].append(row)
    return sheets_html([_sheet(rows, size, style) for rows in sheets], paper, style.say(_TITLED))


def _sheet(rows: Sequence[CardRow], size: tuple[float, float], style: Style) -> Scene:
    left, title = (size[0] - _ACROSS * CARD) / 2, style.say(_TITLED)
    shapes, labels = rows_at(rows, left, _TOP, style)
    labels.insert(0, Label(left + _EDGE, _TOP - 6.0, title, _TITLE, bold=True))
    said = style.say(counted(sum(len(row.cards) for row in rows), "{n} thing to knit", "{n} things to knit"))
    return Scene(*size, tuple(shapes), tuple(labels), title, said)


def rows_at(rows: Sequence[CardRow], x: float, y: float, style: Style) -> tuple[list[Shape], list[Label]]:
    """Rows of cards below one another, the upper left corner of the first there."""
    shapes: list[Shape] = []
    labels: list[Label] = []
    for row in rows:
        for place, card in enumerate(row.cards):
            new, words = _card_at(card, x + place * CARD, y, style)
            shapes += new
            labels += words
        y += row.high
    return shapes, labels


def _card_at(card: Card, x: float, y: float, style: Style) -> tuple[list[Shape], list[Label]]:
    shapes, labels = _fitted(card.picture, x + _EDGE, y) if card.picture is not None else ([], [])
    return shapes, [*labels, *_words(card, x + _EDGE, y + _PICTURE[1], style)]


def _fitted(picture: Scene, x: float, y: float) -> tuple[list[Shape], list[Label]]:
    """As large as there is room for, in the middle, standing on the line where the words begin."""
    wide, high = _PICTURE
    by = min(wide / picture.width, high / picture.height)
    return scaled(picture, by, x + (wide - picture.width * by) / 2, y + high - picture.height * by)


def _height(card: Card, style: Style) -> float:
    """As high as all its words need, so that the next row begins below them."""
    return max(label.y for label in _words(card, 0.0, _PICTURE[1], style)) + _BELOW


def _words(card: Card, x: float, y: float, style: Style) -> Iterator[Label]:
    """Number and name, then the lines, each on as many lines of paper as it takes."""
    at = y + 1.35 * _NAME
    yield Label(x, at, str(card.number), _NAME, bold=True)
    for text in _wrapped(style.say(card.name), _NAME):
        yield Label(x + _NUMBER, at, text, _NAME, bold=True)
        at += 1.3 * _NAME
    for line in card.lines:
        for text in _wrapped(style.say(line), _LINE):
            yield Label(x + _NUMBER, at, text, _LINE, fill=_GREY)
            at += 1.35 * _LINE


def _wrapped(text: str, size: float) -> list[str]:
    # Cards stand apart, so that a line of wide letters may come out a little longer than a picture.
    letters = int((CARD - _NUMBER) / width_of("x", size))
    return textwrap.wrap(text, letters, max_lines=_MOST_LINES, placeholder=" ...", break_on_hyphens=False)
