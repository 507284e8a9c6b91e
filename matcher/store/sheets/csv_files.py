"""A csv file as a grid.

The standard `csv` module reads it: it tells one spreadsheet row from the next even when a quoted cell holds a line
break, and it costs nothing to import, where pandas takes half a second.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from pathlib import Path

from matcher.reasons.reason import reason
from matcher.store.sheets.grid import (
    EMPTY_FILE,
    MOST_BYTES,
    MOST_ROWS,
    RIGHT_FILE,
    Grid,
    mark_odd,
    read_bytes,
    too_long,
)

_CSV = reason("plain csv text")
_SAVE_UTF8 = reason('in the spreadsheet, choose "CSV UTF-8" (or the character set UTF-8) when you save')


def read_csv(path: Path, known: Iterable[str]) -> Grid:
    """One csv file. known: column names, to tell which separator the header uses."""
    grid = Grid(path.name)
    data = read_bytes(path, grid, reason("a csv file called {file}", file=path.name))
    if data is None:
        return grid
    text = _decode(data, grid)
    if text is None:
        return grid
    mark = re.match(r"sep=(.)\r?\n", text)  # a hint to one spreadsheet program, which does not show it as a row
    text = text[mark.end() :] if mark else text
    separator = mark[1] if mark else _separator(text, frozenset(known))
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
        line = data.count(b"\n", 0, error.start) + 1
        said = "byte {byte} on line {line}, which is not {name}"
        found = reason(said, byte=f"0x{data[error.start]:02X}", line=line, name=name)
        grid.fail(found, reason("text saved as UTF-8"), _SAVE_UTF8, line)
        return None
    if not text.strip():
        grid.fail(EMPTY_FILE, reason("a header row and the rows below it"), RIGHT_FILE)
        return None
    return text


def _separator(text: str, known: frozenset[str]) -> str:
    """The sign that splits the header into the most known columns; then into the most cells; then a comma."""
    header = next(line for line in text.splitlines() if line.strip())

    def score(sign: str) -> tuple[int, int]:
        cells = [cell.strip(' "').casefold().replace(" ", "_") for cell in header.split(sign)]
        return sum(cell in known for cell in cells), len(cells)

    return max(",;\t", key=score)
