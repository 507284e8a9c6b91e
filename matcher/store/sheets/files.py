"""Files to grids: a csv file or a workbook as rows of plain text cells, whatever state it is in.

The standard `csv` module reads csv files: it tells one spreadsheet row from the next even when a quoted cell
holds a line break, and it costs nothing to import, where pandas takes half a second. Workbooks are read with
python-calamine, which is quick; those with formulas, errors or merged cells with openpyxl, which tells them from
plain cells: elsewhere a cell that shows #REF! would look like an empty one.
"""

from __future__ import annotations

import csv
import datetime
import io
import re
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from matcher.errors import Fault
from matcher.materials.reading.numerals import shorten
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Words, reason

MOST_BYTES = 64 * 1024 * 1024  # a bin of 50,000 lots is about 8 MB; beyond this it is no list of leftovers
MOST_UNPACKED_BYTES = 512 * 1024 * 1024
MOST_ROWS = 200_000

_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_ERROR_CELL = re.compile(r"#(?:REF!|N/?A|VALUE!|NAME\?|DIV/0!|NUM!|NULL!|SPILL!|CALC!|WERT!|BEZUG!)")
# What a spreadsheet would run or show as an error, were it not for an apostrophe; see hide_formula.
_HARMFUL = re.compile(rf"'*(?:[=+\-@\t\r]|{_ERROR_CELL.pattern})")
# In a sheet of an .xlsx file: a formula, an error, merged cells.
_NOT_PLAIN = re.compile(rb"<(?:\w+:)?(?:f[ >/]|mergeCell )|\bt=[\"']e[\"']")
_CSV = reason("plain csv text")
_EMPTY = reason("an empty file")
_RIGHT_FILE = reason("is this the right file?")
_SAVE_UTF8 = reason('in the spreadsheet, choose "CSV UTF-8" (or the character set UTF-8) when you save')


@dataclass(frozen=True)
class Odd:
    """A cell that is no plain value. harmless: in a column of free text it does no harm, such as a date."""

    found: Words
    expected: Words
    mend: Words
    harmless: bool = False


_UNCOMPUTED = Odd(
    reason("a formula with no stored result"),
    reason("a plain value"),
    reason("open the workbook in the spreadsheet and save it, or type the value"),
    harmless=True,
)


@dataclass
class Grid:
    """Cells of one sheet. rows: (row as a spreadsheet numbers it, cells); odd: cells that are no plain value, by row
    and position; faults: what stops the sheet as a whole."""

    where: str
    rows: list[tuple[int, list[str]]] = field(default_factory=list)
    odd: dict[tuple[int, int], Odd] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def fail(self, found: Words, expected: Words, mend: Words = "", row: int | None = None) -> Grid:
        """Note what stops the sheet as a whole; the grid itself, for a return."""
        self.faults.append(Fault(self.where, row, None, found, expected, mend))
        return self


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
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    row = 0
    try:
        for row, cells in enumerate(reader, 1):
            if any(cells) and any(map(str.strip, cells)):
                grid.rows.append((row, cells))
            if row > MOST_ROWS:
                return _too_long(grid)
    except csv.Error as error:
        mend = reason('a quotation mark opens a cell and never closes it: delete it, or write "" inside a cell')
        return grid.fail(str(error), reason("cells that are quoted in pairs"), mend, row + 1)
    _mark_odd(grid)
    return grid


def _too_long(grid: Grid) -> Grid:
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
            grid.fail(reason("{n} MB", n=found), reason("at most {n} MB", n=most), _RIGHT_FILE)
            return None
        return path.read_bytes()
    except OSError as error:
        why = (error.strerror or "unreadable").lower()
        mend = reason("allow yourself to read it, and close other programs that hold it")
        grid.fail(reason("a file that cannot be opened ({why})", why=why), expected, mend)
        return None


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
        grid.fail(_EMPTY, reason("a header row and the rows below it"), _RIGHT_FILE)
        return None
    return text


def _separator(text: str, known: frozenset[str]) -> str:
    """The sign that splits the header into the most known columns; then into the most cells; then a comma."""
    header = next(line for line in text.splitlines() if line.strip())

    def score(sign: str) -> tuple[int, int]:
        cells = [cell.strip(' "').casefold().replace(" ", "_") for cell in header.split(sign)]
        return sum(cell in known for cell in cells), len(cells)

    return max(",;\t", key=score)


def read_workbook(path: Path) -> tuple[dict[str, Grid], Grid]:
    """All sheets of an .xlsx or .ods file by folded name, and a grid that holds the faults of the file itself."""
    whole = Grid(path.name)
    kind = ".ods" if path.suffix.casefold() == ".ods" else ".xlsx"
    expected = reason("a workbook saved as {kind}", kind=kind)
    save = reason("save it from the spreadsheet as {kind}", kind=kind)
    data = read_bytes(path, whole, expected)
    if data is None:
        return {}, whole
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        found = reason("a workbook locked with a password, or one in the old .xls form")
        return {}, whole.fail(found, expected, reason("take the password off, or save it as .xlsx"))
    if not data.startswith(b"PK"):
        return {}, whole.fail(reason("something else with a changed name") if data else _EMPTY, expected, save)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(entry.file_size for entry in packed.infolist()) > MOST_UNPACKED_BYTES:
                return {}, whole.fail(reason("a workbook too large to unpack"), expected, _RIGHT_FILE)
            names = packed.namelist()
            if ("content.xml" if kind == ".ods" else "xl/workbook.xml") not in names:
                return {}, whole.fail(reason("a packed file that is no workbook"), expected, save)
            if kind == ".ods":
                if b"manifest:encryption-data" in packed.read("META-INF/manifest.xml"):
                    locked = reason("a workbook locked with a password")
                    return {}, whole.fail(locked, expected, reason("take the password off"))
                return _ods_sheets(packed), whole
            if not any(_NOT_PLAIN.search(packed.read(name)) for name in names if name.startswith("xl/worksheets/")):
                return _plain_sheets(io.BytesIO(data)), whole
        return _sheets(data), whole
    except Exception as error:  # a damaged workbook can fail anywhere inside the reading library
        found = reason("a damaged workbook ({why})", why=shorten(str(error), 40))
        return {}, whole.fail(found, expected, reason("open it in the spreadsheet and save it again"))


def _sheets(data: bytes) -> dict[str, Grid]:
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(data))
    values = None  # a second reading, for the stored results, only when there is a formula
    grids: dict[str, Grid] = {}
    for sheet in book.worksheets:
        grid = Grid(sheet.title.strip())
        grids[grid.where.casefold()] = grid
        for number, line in enumerate(sheet.iter_rows(), 1):
            cells = []
            for position, cell in enumerate(line):
                value = cell.value
                if value is not None and cell.data_type == "f":
                    values = values or openpyxl.load_workbook(io.BytesIO(data), data_only=True)
                    value = values[sheet.title].cell(number, position + 1).value
                    if value is None:
                        grid.odd[number, position] = _UNCOMPUTED
                cells.append("" if value is None else _cell_text(value, grid, number, position))
            if any(cells) or any((number, position) in grid.odd for position in range(len(cells))):
                grid.rows.append((number, cells))
            if len(grid.rows) > MOST_ROWS:
                _too_long(grid)
                break
        for merged in sheet.merged_cells.ranges:
            for row, column in merged.cells:
                if (row, column) != (merged.min_row, merged.min_col):
                    mend = reason("unmerge the cells {cells} and fill in each", cells=merged.coord)
                    merged_cell = reason("a part of merged cells")
                    grid.odd[row, column - 1] = Odd(merged_cell, reason("a cell of its own"), mend)
        _mark_odd(grid)
    return grids


# What the reader of OpenDocument files leaves out of a cell's text, and what it should read instead.
_ODS_LEFT_OUT = (
    (re.compile(rb"<text:tab\s*/>"), b"&#9;"),
    (re.compile(rb"<text:line-break\s*/>"), b"&#10;"),
    (re.compile(rb' office:string-value=""(?= calcext:value-type="error")'), b""),  # then the cell shows its error
)


def _ods_sheets(packed: zipfile.ZipFile) -> dict[str, Grid]:
    content = packed.read("content.xml")
    for pattern, instead in _ODS_LEFT_OUT:
        content = pattern.sub(instead, content)
    again = io.BytesIO()
    with zipfile.ZipFile(again, "w") as file:
        file.writestr("mimetype", packed.read("mimetype"))
        file.writestr("META-INF/manifest.xml", packed.read("META-INF/manifest.xml"))
        file.writestr("content.xml", content)
    again.seek(0)
    return _plain_sheets(again)


def _plain_sheets(file: io.BytesIO) -> dict[str, Grid]:
    """Sheets in which every cell is what it shows."""
    from python_calamine import CalamineWorkbook

    book = CalamineWorkbook.from_filelike(file)
    grids: dict[str, Grid] = {}
    for title in book.sheet_names:
        grid = Grid(title.strip())
        grids[grid.where.casefold()] = grid
        for number, line in enumerate(book.get_sheet_by_name(title).to_python(skip_empty_area=False), 1):
            cells = [_cell_text(value, grid, number, position) for position, value in enumerate(line)]
            if any(cells):
                grid.rows.append((number, cells))
            if len(grid.rows) > MOST_ROWS:
                _too_long(grid)
                break
        _mark_odd(grid)
    return grids


def number_text(value: float) -> str:
    """A number of a workbook as the text of its cell: 41.0 is "41"."""
    return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)


def hide_formula(text: str) -> str:
    """Text that a spreadsheet would run as a formula, or show as an error, with an apostrophe before it.

    So are texts that begin with apostrophes and such a sign, so that reading, which takes one off, loses none.
    """
    return f"'{text}" if _HARMFUL.match(text) else text


def _cell_text(value: object, grid: Grid, row: int, position: int) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return number_text(value)
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        text = value.date().isoformat() if isinstance(value, datetime.datetime) else str(value)
        mend = reason("the spreadsheet took it for a date: format the cell as text and type it again")
        grid.odd[row, position] = Odd(text, reason("a plain value, not a date"), mend, harmless=True)
        return text
    return str(value).strip()


def _mark_odd(grid: Grid) -> None:
    """Note control characters, spreadsheet errors and formulas written out as text; take the apostrophe off a cell
    that it keeps from being one."""
    for row, cells in grid.rows:
        if _CONTROL.search("".join(cells)):
            for position, cell in enumerate(cells):
                if _CONTROL.search(cell):
                    mend = reason("delete what cannot be seen, and type the cell again")
                    grid.odd[row, position] = Odd(shorten(cell), reason("plain text"), mend)
        for position, cell in enumerate(cells):
            if cell[:1] == "#" and _ERROR_CELL.match(cell):
                grid.odd[row, position] = Odd(cell, reason("a value"), reason("mend the formula, or type the value"))
            elif cell[:1] == "=":
                not_formula = reason("a value, not a formula")
                grid.odd[row, position] = Odd(shorten(cell), not_formula, reason("type the value"), harmless=True)
            elif cell[:1] == "'" and _HARMFUL.match(cell):
                cells[position] = cell[1:]
