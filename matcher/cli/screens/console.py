"""The console for results: text that a terminal obeys nothing of, lines that fit, and patches of colour."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from typing import Any

from rich.console import Console, ConsoleOptions, RenderableType
from rich.segment import Segment
from rich.text import Text

from matcher.cli.lines import cells, columns, spans
from matcher.materials.colours.colour import Colour
from matcher.reasons.visible import visible


class _Screen(Console):
    """A console on which whatever she wrote is plain text: no markup, no signs for emoji, nothing a terminal obeys."""

    def __init__(self) -> None:
        super().__init__(markup=False, emoji=False, highlight=False, soft_wrap=False)

    def render(self, renderable: RenderableType, options: ConsoleOptions | None = None) -> Iterable[Segment]:
        """Pieces of text for the terminal; the colours are not in the text yet."""
        for piece in super().render(renderable, options):
            yield piece if piece.control else piece._replace(text=visible(piece.text))

    def print(self, *objects: Any, no_wrap: bool | None = None, **wishes: Any) -> None:
        """Text is broken between words, never between a figure and its unit; further lines keep its indent."""
        if len(objects) != 1 or not isinstance(objects[0], Text | str) or no_wrap:
            super().print(*objects, no_wrap=no_wrap, **wishes)
            return
        for line in broken(Text(objects[0]) if isinstance(objects[0], str) else objects[0], self.width):
            super().print(line, no_wrap=True, **wishes)


def broken(text: Text, width: int) -> list[Text]:
    """The text in lines of at most so many columns; further lines keep its indent."""
    lines: list[Text] = []
    for line in text.split(allow_blank=True) or [text]:
        if cells(line.plain) <= width:
            lines.append(line)
            continue
        indent = len(line.plain) - len(line.plain.lstrip(" "))
        for number, (start, end) in enumerate(spans(line.plain, width - indent)):
            lines.append(Text(" " * indent).append_text(line[start:end]) if number else line[:end])
    return lines


def console() -> Console:
    """The console for results; 80 columns wide unless the terminal is narrower. Honours NO_COLOR."""
    screen = _Screen()
    screen.width = columns(sys.stdout)
    return screen


def chips(codes: tuple[str, ...], screen: Console, width: int = 2, block: str = "█") -> Text:
    """Patches of colour, one a code; nothing where the terminal has no colour."""
    text = Text()
    if screen.color_system is not None and not screen.no_color:
        for code in codes:
            text.append(block * max(1, width // len(codes)), style=code)
    return text


def chip(colour: Colour | None, screen: Console, width: int = 2) -> Text:
    """The patch of a lot's colour; one that is guessed from a word is drawn loosely."""
    if colour is None:
        return Text()
    return chips(tuple(code for code, _ in colour.patches()), screen, width, "▒" if colour.guessed else "█")


def say(screen: Console, text: str, indent: int = 0, style: str = "") -> None:
    """A sentence; where it takes more lines, they stand below each other."""
    screen.print(Text(" " * indent + visible(text), style=style))
