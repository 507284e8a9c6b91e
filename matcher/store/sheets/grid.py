"""A sheet as rows of plain text cells, whatever state it is in, and what is the matter with it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from matcher.errors import Fault
from matcher.materials.reading.numerals import shorten
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Words, reason
from matcher.reasons.visible import HIDDEN
from matcher.store.files import read_file

MOST_BYTES = 64 * 1024 * 1024  # a bin of 50,000 lots is about 8 MB; beyond this it is no list of leftovers
MOST_ROWS = 200_000
Called = Mapping[str, str]
"""What she calls files that lie under other names, by the names under which they lie."""
AS_THEY_LIE: Called = {}
EMPTY_FILE = reason("an empty file")
RIGHT_FILE = reason("is this the right file?")

_ERROR_CELL = re.compile(r"#(?:REF!|N/?A|VALUE!|NAME\?|DIV/0!|NUM!|NULL!|SPILL!|CALC!|WERT!|BEZUG!)")
# What a spreadsheet would run or show as an error, were it not for an apostrophe; see hide_formula.
_HARMFUL = re.compile(rf"'*(?:[=+\-@\t\r]|{_ERROR_CELL.pattern})")


@dataclass(frozen=True)
class Odd:
    """A cell that is no plain value. harmless: in a column of free text it does no harm, such as a date."""

    found: Words
    expected: Words
    mend: Words
    harmless: bool = False


@dataclass
class Grid:
    """Cells of one sheet. rows: (row as a spreadsheet numbers it, cells); odd: cells that are no plain value, by
    row and position; merged: the first cell and the name of the range that a cell is merged into; remarks: how it
    had to be read; country: where the sheet says that it was written, such as "US"; faults: what stops it as a
    whole."""

    where: str
    rows: list[tuple[int, list[str]]] = field(default_factory=list)
    odd: dict[tuple[int, int], Odd] = field(default_factory=dict)
    merged: dict[tuple[int, int], tuple[int, int, str]] = field(default_factory=dict)
    remarks: list[Words] = field(default_factory=list)
    country: str = ""
    faults: list[Fault] = field(default_factory=list)

    def fail(self, found: Words, expected: Words, mend: Words = "", row: int | None = None) -> Grid:
        """Note what stops the sheet as a whole; the grid itself, for a return."""
        self.faults.append(Fault(self.where, row, None, found, expected, mend))
        return self


def too_long(grid: Grid) -> Grid:
    """Note that there are too many rows."""
    most = Number(MOST_ROWS)
    return grid.fail(reason("more than {n} rows", n=most), reason("at most {n} rows", n=most))


def read_bytes(path: Path, grid: Grid, expected: Words) -> bytes | None:
    """The file's bytes, or None with the reason in grid.faults."""
    if path.is_dir():
        grid.fail(reason("a folder"), expected, reason("move the folder away and put the file there"))
        return None
    try:
        if path.stat().st_size > MOST_BYTES:
            found, most = (Number(size // 1024 // 1024) for size in (path.stat().st_size, MOST_BYTES))
            grid.fail(reason("{n} MB", n=found), reason("at most {n} MB", n=most), RIGHT_FILE)
            return None
        return read_file(path, MOST_BYTES)
    except OSError as error:
        why = (error.strerror or "unreadable").lower()
        mend = reason("allow yourself to read it, and close other programs that hold it")
        grid.fail(reason("a file that can't be opened ({why})", why=why), expected, mend)
        return None


def mark_odd(grid: Grid) -> None:
    """Note control characters, spreadsheet errors and formulas written out as text; take the apostrophe off a cell
    that it keeps from being one."""
    for row, cells in grid.rows:
        if HIDDEN.search("".join(cells)):
            for position, cell in enumerate(cells):
                if HIDDEN.search(cell):
                    mend = reason("delete what can't be seen, and type the cell again")
                    grid.odd[row, position] = Odd(shorten(cell), reason("plain text"), mend)
        for position, cell in enumerate(cells):
            if cell[:1] == "#" and _ERROR_CELL.match(cell):
                grid.odd[row, position] = Odd(cell, reason("a value"), reason("mend the formula, or type the value"))
            elif cell[:1] == "=":
                not_formula = reason("a value, not a formula")
                grid.odd[row, position] = Odd(shorten(cell), not_formula, reason("type the value"), harmless=True)
            elif cell[:1] == "'" and _HARMFUL.match(cell):
                cells[position] = cell[1:]


def hide_formula(text: str) -> str:
    """Text that a spreadsheet would run as a formula, or show as an error, with an apostrophe before it.

    So are texts that begin with apostrophes and such a sign, so that reading, which takes one off, loses none.
    """
    return f"'{text}" if _HARMFUL.match(text) else text


def number_text(value: float) -> str:
    """A number of a workbook as the text of its cell: 41.0 is "41"."""
    return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)


def letters(place: int) -> str:
    """The name that a spreadsheet gives a column: 0 is A, 26 is AA."""
    return (letters(place // 26 - 1) if place >= 26 else "") + chr(ord("A") + place % 26)


def place_of(letters: str) -> int:
    """Which column a spreadsheet calls so: A is 0, AA is 26."""
    place = 0
    for letter in letters.upper():
        place = 26 * place + ord(letter) - ord("A") + 1
    return place - 1
