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

# Millimetres; sizes are choices: fifteen go onto either paper.
CARD = (60.0, 51.0)
_ACROSS, _DOWN = 3, 5
_PICTURE = (54.0, 30.0)
_TOP, _EDGE, _NUMBER = 19.0, 3.0, 6.0
_NAME, _LINE, _TITLE = 3.2, 2.7, 5.0  # sizes of letters
_GREY = "#555555"
_TITLED = reason("What your yarn could become")


@dataclass(frozen=True)
class Card:
    """One thing on the sheet. picture: None where it can't be drawn."""

    number: int
    name: Words
    lines: tuple[Words, ...]
    picture: Scene | None


def pictures_scene(cards: Sequence[Card], style: Style = PLAIN) -> Scene:
    """All cards on one sheet, as long as it takes; user units are mm."""
    rows = max(1, -(-len(cards) // _ACROSS))
    return _sheet(cards, (_ACROSS * CARD[0] + 2 * _EDGE, _TOP + rows * CARD[1] + _EDGE), style)


def pictures_html(cards: Sequence[Card], paper: str, style: Style = PLAIN) -> str:
    """The cards on sheets of paper "a4" or "letter". Raises BadInput for another paper."""
    size, each = paper_of(paper).size, _ACROSS * _DOWN
    sheets = [_sheet(cards[start : start + each], size, style) for start in range(0, max(1, len(cards)), each)]
    return sheets_html(sheets, paper, style.say(_TITLED))


def _sheet(cards: Sequence[Card], size: tuple[float, float], style: Style) -> Scene:
    left = (size[0] - _ACROSS * CARD[0]) / 2
    title = style.say(_TITLED)
    shapes: list[Shape] = []
    labels = [Label(left + _EDGE, _TOP - 6.0, title, _TITLE, bold=True)]
    for place, card in enumerate(cards):
        new, words = card_at(card, left + place % _ACROSS * CARD[0], _TOP + place // _ACROSS * CARD[1], style)
        shapes += new
        labels += words
    said = style.say(counted(len(cards), "{n} thing to knit", "{n} things to knit"))
    return Scene(*size, tuple(shapes), tuple(labels), title, said)


def card_at(card: Card, x: float, y: float, style: Style) -> tuple[list[Shape], list[Label]]:
    """One card, `CARD` in size, with its upper left corner there."""
    shapes, labels = _fitted(card.picture, x + _EDGE, y) if card.picture is not None else ([], [])
    return shapes, [*labels, *_words(card, x + _EDGE, y + _PICTURE[1], style)]


def _fitted(picture: Scene, x: float, y: float) -> tuple[list[Shape], list[Label]]:
    """As large as there is room for, in the middle, standing on the line where the words begin."""
    wide, high = _PICTURE
    by = min(wide / picture.width, high / picture.height)
    return scaled(picture, by, x + (wide - picture.width * by) / 2, y + high - picture.height * by)


def _words(card: Card, x: float, y: float, style: Style) -> Iterator[Label]:
    """Number and name in at most two lines, then the lines; what has no room is cut short."""
    at, low = y + 1.35 * _NAME, y + CARD[1] - _PICTURE[1] - 0.5
    yield Label(x, at, str(card.number), _NAME, bold=True)
    for text in _wrapped(style.say(card.name), _NAME):
        yield Label(x + _NUMBER, at, text, _NAME, bold=True)
        at += 1.3 * _NAME
    for line in card.lines:
        for text in _wrapped(style.say(line), _LINE):
            if at <= low:
                yield Label(x + _NUMBER, at, text, _LINE, fill=_GREY)
            at += 1.35 * _LINE


def _wrapped(text: str, size: float) -> list[str]:
    # Cards stand apart, so that a line of wide letters may come out a little longer than a picture.
    letters = int((CARD[0] - _NUMBER) / width_of("x", size))
    return textwrap.wrap(text, letters, max_lines=2, placeholder=" ...", break_on_hyphens=False)
