"""What all commands share on screen: the console, colour chips, JSON and CSV."""

from __future__ import annotations

import json
import sys
import textwrap
import time
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rich.console import Console
from rich.text import Text

if TYPE_CHECKING:
    import pandas as pd
    from rich.progress import Progress, TaskID

from matcher.cli.words import COMMAND_LINE
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Words
from matcher.reasons.style import Style

WIDTH = 80


def console() -> Console:
    """The console for results; 80 columns wide unless the terminal is narrower. Honours NO_COLOR."""
    screen = Console(highlight=False, soft_wrap=False)
    screen.width = min(screen.width, WIDTH) if screen.is_terminal else WIDTH
    return screen


def print_json(value: Mapping[str, Any], style: Style = COMMAND_LINE) -> None:
    """One JSON object on stdout; its reasons are put into words here."""
    print(json.dumps(value, ensure_ascii=False, indent=2, default=style.say))


def print_csv(frame: pd.DataFrame, style: Style = COMMAND_LINE) -> None:
    """A frame as CSV on stdout; its reasons are put into words here."""
    worded = frame.map(lambda cell: style.say(cell) if hasattr(cell, "shown") else cell)
    sys.stdout.write(worded.to_csv(index=False))


def note(text: Words, style: Style = COMMAND_LINE) -> None:
    """A remark on stderr, which keeps stdout clean for results."""
    print(style.say(text), file=sys.stderr)


def chips(codes: tuple[str, ...], screen: Console, width: int = 2) -> Text:
    """Patches of colour, one a code; nothing where the terminal has no colour."""
    text = Text()
    if screen.color_system is not None and not screen.no_color:
        for code in codes:
            text.append("█" * max(1, width // len(codes)), style=code)
    return text


def chip(colour: Colour | None, screen: Console, width: int = 2) -> Text:
    """The patch of a lot's colour."""
    return chips(colour.codes(), screen, width) if colour is not None else Text()


def say(screen: Console, text: str, indent: int = 0, style: str = "") -> None:
    """A sentence, wrapped so that its further lines stand under its first."""
    for line in textwrap.wrap(text, screen.width, initial_indent=" " * indent, subsequent_indent=" " * indent):
        screen.print(Text(line, style=style))


class LateProgress:
    """A progress bar on stderr that appears only when the work has taken a second."""

    def __init__(self, what: str) -> None:
        self.what, self.start = what, time.monotonic()
        self.bar: Progress | None = None
        self.task: TaskID | None = None

    def __call__(self, done: int, of: int) -> None:
        if self.bar is None and time.monotonic() - self.start > 1.0 and done < of:
            from rich.progress import Progress

            self.bar = Progress(console=Console(stderr=True), transient=True)
            self.bar.start()
            self.task = self.bar.add_task(self.what, total=of)
        if self.bar is not None and self.task is not None:
            self.bar.update(self.task, completed=done, total=of)

    def __enter__(self) -> LateProgress:
        return self

    def __exit__(self, *_: object) -> None:
        if self.bar is not None:
            self.bar.stop()
