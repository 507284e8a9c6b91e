"""All that reaches the terminal, whatever it can show: nothing else in the command line writes to it.

No line is wider than 80 columns, on stdout or stderr. Her words go out as she wrote them, but for signs that a terminal
would obey. Letters that it cannot show become their nearest plain ones. A reader that has gone, or a disk that is full,
ends the run by `Unheard`, never by a traceback.
"""

from __future__ import annotations

import errno
import io
import json
import os
import re
import sys
from collections.abc import Callable, Mapping
from typing import Any, TextIO

from matcher.cli.lines import columns, wrapped
from matcher.cli.words import COMMAND_LINE
from matcher.reasons.reason import Words
from matcher.reasons.style import Style
from matcher.reasons.visible import HIDDEN, nearest_letters, visible

# What a pipe says whose reader has gone; the second one on Windows.
_GONE = (errno.EPIPE, errno.EINVAL)
# How far what runs over is indented.
_HANGING = 2


def tell(text: Words, style: Style = COMMAND_LINE) -> None:
    """A line of the results, on stdout; what runs over is indented."""
    print(_lines(text, style, sys.stdout))


def note(text: Words, style: Style = COMMAND_LINE) -> None:
    """A remark on stderr, which keeps stdout clean for results."""
    print(_lines(text, style, sys.stderr), file=sys.stderr)


def _lines(text: Words, style: Style, stream: TextIO) -> str:
    return "\n".join(wrapped(visible(style.say(text)), columns(stream), _HANGING))


def print_json(value: Mapping[str, Any], style: Style = COMMAND_LINE) -> None:
    """One JSON object on stdout; its reasons are put into words here. Escapes keep what cannot be shown."""
    text = json.dumps(value, ensure_ascii=not _utf8(sys.stdout), indent=2, default=style.say)
    print(re.sub(HIDDEN, lambda sign: f"\\u{ord(sign[0]):04x}", text))


def print_table(text: str) -> None:
    """A table for programs, on stdout; says so where letters are lost."""
    shown = visible(text)
    if not all(map(_holder(sys.stdout), set(shown))):
        note(f"Some letters are not in {sys.stdout.encoding}, so others stand for them; --json keeps them all.")
    sys.stdout.write(shown)


def print_page(text: str) -> None:
    """A page that has lines of its own, on stdout; in a narrow terminal what runs over is indented."""
    wide = columns(sys.stdout)
    for line in visible(text).splitlines():
        print(line if len(line) <= wide else "\n".join(wrapped(line, wide, _HANGING)))


def utf8() -> bool:
    """Whether stdout shows signs such as those of a QR code."""
    return _utf8(sys.stdout)


def _utf8(stream: TextIO) -> bool:
    return (stream.encoding or "").lower().replace("-", "").startswith("utf")


def _holder(stream: TextIO) -> Callable[[str], bool]:
    encoding = stream.encoding or "ascii"

    def holds(letter: str) -> bool:
        try:
            return bool(letter.encode(encoding))
        except UnicodeEncodeError:
            return False

    return holds


class Unheard(BaseException):
    """What is said reaches nobody: `reason` tells why, "" where the reader has merely seen enough."""

    def __init__(self, fault: OSError) -> None:
        self.reason = "" if fault.errno in _GONE else fault.strerror or "it can't be written to"
        super().__init__(self.reason)


class _Stream(io.TextIOWrapper):
    """stdout or stderr, for a person to read. needed: whether the run ends when nobody can."""

    def __init__(self, stream: TextIO, needed: bool) -> None:
        super().__init__(
            stream.buffer,
            encoding=stream.encoding,
            line_buffering=getattr(stream, "line_buffering", False) or not needed,
        )
        self._holds, self._needed = _holder(stream), needed
        self._stream = stream  # it would close what it shares with this one when nobody kept it

    def write(self, text: str) -> int:
        """Raises Unheard when what is said is needed and reaches nobody."""
        try:
            try:
                return super().write(text)
            except UnicodeEncodeError:
                return super().write(nearest_letters(visible(text), self._holds))
        except OSError as fault:
            return self._lost(fault, len(text))

    def flush(self) -> None:
        """Raises as `write`."""
        try:
            super().flush()
        except OSError as fault:
            self._lost(fault)

    def _lost(self, fault: OSError, written: int = 0) -> int:
        # What is left in the buffer goes nowhere, so that leaving Python does not fail over it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), self.fileno())
        if self._needed:
            raise Unheard(fault) from None
        return written


def prepare() -> None:
    """Make stdin, stdout and stderr ones that can always be used, also where they were closed."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:  # else a file that is opened next would take its place, and what is said would go into it
            os.open(os.devnull, os.O_RDWR)
    sys.stdin = sys.stdin or os.fdopen(0, encoding="utf-8")
    sys.stdout = _Stream(sys.stdout or os.fdopen(1, "w", encoding="utf-8"), needed=True)
    sys.stderr = _Stream(sys.stderr or os.fdopen(2, "w", encoding="utf-8"), needed=False)
