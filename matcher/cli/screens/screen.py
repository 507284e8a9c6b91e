"""What all commands share: remarks, JSON and CSV, how far the work is. What is seen in colours is in `console`."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

if TYPE_CHECKING:
    import pandas as pd
    from rich.progress import Progress, TaskID

    from matcher.actions.desk import Desk

from matcher.cli.terminal import note as note
from matcher.cli.terminal import print_json as print_json
from matcher.cli.terminal import print_table
from matcher.cli.words import COMMAND_LINE
from matcher.materials.lots import Lot
from matcher.reasons.reason import Words, reason
from matcher.reasons.style import Style
from matcher.store.sheets.grid import hide_formula

# So long she waits before she is told what for [s]. A choice.
_LATE_S = 1.0


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


GUESSED = reason("? colour guessed from the word: photograph it, or compare it in daylight")


def marked(lot: Lot) -> str:
    """A lot's name, with a question mark where its colour is guessed; `GUESSED` says what that means."""
    return f"{lot.name}?" if lot.colour.guessed else lot.name


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
        from rich.console import Console
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
