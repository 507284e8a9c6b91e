"""A csv file as a grid.

The standard `csv` module reads it: it tells one spreadsheet row from the next even when a quoted cell holds a line
break, and it costs nothing to import, where pandas takes half a second.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from itertools import islice
from pathlib import Path

from matcher.reasons.reason import reason
from matcher.reasons.visible import HIDDEN
from matcher.store.sheets.find import MOST_COLUMNS
from matcher.store.sheets.grid import (
    AS_THEY_LIE,
    EMPTY_FILE,
    MOST_BYTES,
    MOST_ROWS,
    RIGHT_FILE,
    Called,
    Grid,
    mark_odd,
    read_bytes,
    too_long,
)
from matcher.store.sheets.headings import is_heading

_TOP, _LINES = 65_536, 60  # letters and lines in which headings are looked for; choices
_CSV = reason("plain csv text")
_SAVE_UTF8 = reason('in the spreadsheet, choose "CSV UTF-8" (or the character set UTF-8) when you save')


def read_csv(path: Path, called: Called = AS_THEY_LIE) -> Grid:
    """One csv file. Which separator it uses, its headings tell."""
    grid = Grid(called.get(path.name, path.name))
    data = read_bytes(path, grid, reason("a csv file that can be opened"))
    if data is None:
        return grid
    text = _decode(data, grid)
    if text is None:
        return grid
    mark = re.match(r"sep=(.)\r?\n", text)  # a hint to one spreadsheet program, which does not show it as a row
    text = text[mark.end() :] if mark else text
    separator = mark[1] if mark else _separator(text)
    # The module's own limit is for the whole program; a longer cell, such as joined notes, is read as it was written.
    csv.field_size_limit(MOST_BYTES)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    row = 0
    try:
        for row, cells in enumerate(reader, 1):
            if any(cells) and any(map(str.strip, cells)):
                grid.rows.append((row, cells))
            if row > MOST_ROWS:
                return too_long(grid)
    except csv.Error as error:
        mend = reason('a quotation mark opens a cell and never closes it: delete it, or write "" inside a cell')
        return grid.fail(str(error), reason("cells that are quoted in pairs"), mend, row + 1)
    mark_odd(grid)
    return grid


def _decode(data: bytes, grid: Grid) -> str | None:
    if data.startswith(b"PK\x03\x04"):
        mend = reason("save it again as csv, or give the .xlsx file itself")
        grid.fail(reason("a packed file, perhaps a spreadsheet with a changed name"), _CSV, mend)
        return None
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encoding, name = "utf-16", "UTF-16"
    else:
        encoding, name = "utf-8-sig", "UTF-8"
        if b"\x00" in data:
            line = data.count(b"\n", 0, data.index(b"\x00")) + 1
            grid.fail(reason("a byte of value 0 on line {line}: not text", line=line), _CSV, _SAVE_UTF8, line)
            return None
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        older = _in_older_letters(data) if name == "UTF-8" else ""
        if older:
            said = "{file}: its letters are not UTF-8, and were read as Windows-1252; look at those such as é and ½"
            grid.remarks.append(reason(said, file=grid.where))
            return older
        line = data.count(b"\n", 0, error.start) + 1
        said = "byte {byte} on line {line}, which isn't {name}"
        found = reason(said, byte=f"0x{data[error.start]:02X}", line=line, name=name)
        grid.fail(found, reason("text saved as UTF-8"), _SAVE_UTF8, line)
        return None
    if not text.strip():
        grid.fail(EMPTY_FILE, reason("a header row and the rows below it"), RIGHT_FILE)
        return None
    return text


def _in_older_letters(data: bytes) -> str:
    """The text of a file as spreadsheets in the West save csv of old, "" where that gives no text."""
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        return ""
    return "" if HIDDEN.search(text) else text


def _separator(text: str) -> str:
    """The sign that splits a line near the top into the most headings; then into the most cells; then a comma."""
    lines = list(islice(filter(str.strip, text[:_TOP].splitlines()), _LINES))
    best, found = (0, 0), ","
    for sign in ",;\t":
        split = [line.split(sign)[:MOST_COLUMNS] for line in lines]
        score = _most_headings(split, best[0]), max(map(len, split[:1]), default=0)
        if score > best:
            best, found = score, sign
    return found


def _most_headings(split: Iterable[Sequence[str]], least: int) -> int:
    """The most headings in a line. One with fewer cells than least, or no more than were found, is not looked at."""
    most = 0
    for cells in split:
        if len(cells) >= max(least, most + 1):
            most = max(most, sum(map(is_heading, filter(None, (cell.strip(' "') for cell in cells)))))
    return most
