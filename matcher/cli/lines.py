"""Text in lines that fit: broken between words, never between a figure and its unit; a word only where it must."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from typing import TextIO

WIDTH = 80
"""Columns of a terminal that is no narrower."""

# What stays in one line: a figure with the word after it, "98 in 100", "lot 9", "member 2", else a word. Only spaces
# and tabs part words.
_TOGETHER = re.compile(r"(?:lot (?=[A-Z\d]+\b)|member (?=\d))?(?:[^ \t]*\d (?:in (?=\d))?)?[^ \t]+")


def columns(stream: TextIO) -> int:
    """Columns to fill: 80, or fewer where the terminal has no more."""
    return min(WIDTH, max(20, shutil.get_terminal_size((WIDTH, 24)).columns)) if stream.isatty() else WIDTH


def cells(text: str) -> int:
    """Columns that the text takes in a terminal; some letters take two."""
    if text.isascii():
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def longest_word(text: str) -> int:
    """Columns of the longest piece that is not to be broken."""
    return max((cells(one[0]) for one in _TOGETHER.finditer(text)), default=0)


def spans(text: str, width: int, first: int = 0) -> list[tuple[int, int]]:
    """Where each line of the text begins and ends. first: columns of the first line, where it has more than others."""
    lines: list[tuple[int, int]] = []
    room = max(width, first)
    for start, end in _pieces(text, width):
        if lines and cells(text[lines[-1][0] : end]) <= room:
            lines[-1] = (lines[-1][0], end)
        else:
            room = width if lines else room
            lines.append((start, end))
    return lines or [(0, 0)]


def wrapped(text: str, width: int, hanging: int = 0) -> list[str]:
    """The text in lines; each of its own lines keeps its indent, and what runs over stands so much further right."""
    lines = []
    for line in text.split("\n"):
        indent = len(line) - len(line.lstrip(" "))
        further = min(indent + hanging, width // 2)
        for number, (start, end) in enumerate(spans(line, width - further, width - indent)):
            lines.append(" " * (further if number else indent) + line[start:end])
    return [line.rstrip() for line in lines]


def _pieces(text: str, width: int) -> Iterator[tuple[int, int]]:
    for one in _TOGETHER.finditer(text):
        if cells(one[0]) <= width:
            yield one.span()
        else:
            for word in re.finditer(r"[^ \t]+", one[0]):
                yield from _cut(text, one.start() + word.start(), one.start() + word.end(), width)


def _cut(text: str, start: int, end: int, width: int) -> Iterator[tuple[int, int]]:
    """A word that may be longer than a line, in parts that are not; after a dash or a stroke where one is near."""
    while cells(text[start:end]) > width:
        stop = start + 1
        while cells(text[start : stop + 1]) <= width:
            stop += 1
        near = max(text.rfind(sign, start, stop) for sign in "-/") + 1
        stop = near if near > (start + stop) / 2 else stop
        yield start, stop
        start = stop
    yield start, end
