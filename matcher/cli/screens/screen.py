"""What all commands share on screen: the console, colour chips, JSON and CSV."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from rich.console import Console, ConsoleOptions, RenderableType
from rich.segment import Segment
from rich.text import Text

if TYPE_CHECKING:
    import pandas as pd
    from rich.progress import Progress, TaskID

    from matcher.actions.desk import Desk

from matcher.cli.lines import cells, columns, spans
from matcher.cli.terminal import note as note
from matcher.cli.terminal import print_json as print_json
from matcher.cli.terminal import print_table
from matcher.cli.words import COMMAND_LINE
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Lot
from matcher.reasons.reason import Words, reason
from matcher.reasons.style import Style
from matcher.reasons.visible import visible
from matcher.store.sheets.grid import hide_formula

# So long she waits before she is told what for [s]. A choice.
_LATE_S = 1.0


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


def print_csv(frame: pd.DataFrame, style: Style = COMMAND_LINE) -> None:
    """A frame as CSV on stdout, as safe in a spreadsheet as an export; its reasons are put into words here."""

    def cell(value: Any) -> Any:
        said = style.say(value) if hasattr(value, "shown") else value
        return hide_formula(said) if isinstance(said, str) else said

    print_table(frame.rename(columns=cell).map(cell).to_csv(index=False))


class Tabular(Protocol):
    """What an action returns, when programs may have it as JSON or as a table."""

    def as_dict(self) -> Mapping[str, Any]:
        """Plain values, the keys of the JSON."""

    def frame(self) -> pd.DataFrame:
        """The table."""


_Found = TypeVar("_Found", bound=Tabular)


def answer(
    found: _Found, screen: Callable[[_Found, Style], None], style: Style, *, as_json: bool, as_csv: bool
) -> None:
    """Print what an action returned on stdout: as JSON or CSV where she asks for that, else on its screen."""
    if as_json:
        print_json(found.as_dict(), style)
    elif as_csv:
        print_csv(found.frame(), style)
    else:
        screen(found, style)


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
    return chips(colour.codes(), screen, width, "▒" if colour.guessed else "█")


GUESSED = reason("? colour guessed from the word: photograph it, or compare it in daylight")


def marked(lot: Lot) -> str:
    """A lot's name, with a question mark where its colour is guessed; `GUESSED` says what that means."""
    return f"{lot.name}?" if lot.colour.guessed else lot.name


def say(screen: Console, text: str, indent: int = 0, style: str = "") -> None:
    """A sentence; where it takes more lines, they stand below each other."""
    screen.print(Text(" " * indent + visible(text), style=style))


class LateProgress:
    """A progress bar on stderr that appears when the work has taken a second, whether the work tells how far it is or
    not. Nothing is shown where nobody looks on."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.bar: Progress | None = None
        self.task: TaskID | None = None
        self._lock, self._timer = threading.Lock(), threading.Timer(_LATE_S, self._appear)
        self._timer.daemon = True

    def __call__(self, done: int, of: int) -> None:
        with self._lock:
            if self.bar is not None and self.task is not None:
                self.bar.update(self.task, completed=done, total=of)

    def stage(self, what: Words) -> None:
        """Another part of the work begins, of which it is not known how long it takes."""
        with self._lock:
            self.what = COMMAND_LINE.say(what)
            if self.bar is not None and self.task is not None:
                self.bar.reset(self.task, description=self.what, total=None)

    def _appear(self) -> None:
        from rich.progress import Progress

        with self._lock:
            if not self._timer.finished.is_set():
                self.bar = Progress(console=Console(stderr=True), transient=True)
                self.task = self.bar.add_task(self.what, total=None)
                self.bar.start()

    def __enter__(self) -> LateProgress:
        if sys.stderr.isatty():
            self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()
        with self._lock:
            if self.bar is not None:
                self.bar.stop()


def read_note(desk: Desk | None, style: Style) -> None:
    """Said where her sheets were read with guesses, or columns left out."""
    if desk is not None and desk.read_with:
        note(desk.read_with, style)


def demo_note() -> None:
    """Said where nothing of hers is read."""
    note(reason("No bin was named, so this is the demo: an invented knitter's leftovers."))
