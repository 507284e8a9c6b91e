"""A workbook as grids, one a sheet.

It is read with python-calamine, which is quick; one with formulas, errors or merged cells with openpyxl, which tells
them from plain cells: elsewhere a cell that shows #REF! would look like an empty one.
"""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from pathlib import Path

from matcher.materials.reading.numerals import shorten
from matcher.reasons.reason import reason
from matcher.store.sheets.formats import AllUnits, ods_country, ods_with_units, with_shown, xlsx_units
from matcher.store.sheets.grid import (
    AS_THEY_LIE,
    EMPTY_FILE,
    MOST_ROWS,
    RIGHT_FILE,
    Called,
    Grid,
    Odd,
    mark_odd,
    read_bytes,
    too_long,
)
from matcher.store.sheets.look import TooMuch, looked_over
from matcher.store.sheets.struck import struck_rows, told_struck

# In a sheet of an .xlsx file: a formula, an error, merged cells.
_NOT_PLAIN = re.compile(rb"<(?:\w+:)?(?:f[ >/]|mergeCell )|\bt=[\"']e[\"']")
_UNCOMPUTED = Odd(
    reason("a formula with no stored result"),
    reason("a plain value"),
    reason("open the workbook in the spreadsheet and save it, or type the value"),
    harmless=True,
)


def read_workbook(path: Path, called: Called = AS_THEY_LIE) -> tuple[dict[str, Grid], Grid]:
    """All sheets of an .xlsx or .ods file by folded name, and a grid that holds the faults of the file itself."""
    whole = Grid(called.get(path.name, path.name))
    kind = ".ods" if Path(whole.where).suffix.casefold() == ".ods" else ".xlsx"
    expected = reason("a workbook saved as {kind}", kind=kind)
    save = reason("save it from the spreadsheet as {kind}", kind=kind)
    data = read_bytes(path, whole, expected)
    if data is None:
        return {}, whole
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        found = reason("a workbook locked with a password, or one in the old .xls form")
        return {}, whole.fail(found, expected, reason("take the password off, or save it as .xlsx"))
    if not data.startswith(b"PK"):
        return {}, whole.fail(reason("something else with a changed name") if data else EMPTY_FILE, expected, save)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            data = looked_over(packed)
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            names = packed.namelist()
            if ("content.xml" if kind == ".ods" else "xl/workbook.xml") not in names:
                return {}, whole.fail(reason("a packed file that isn't a workbook"), expected, save)
            if kind == ".ods":
                if b"manifest:encryption-data" in packed.read("META-INF/manifest.xml"):
                    locked = reason("a workbook locked with a password")
                    return {}, whole.fail(locked, expected, reason("take the password off"))
                return _ods_sheets(packed), whole
            units, struck = xlsx_units(packed), struck_rows(packed)
            if any(_NOT_PLAIN.search(packed.read(name)) for name in names if name.startswith("xl/worksheets/")):
                grids = _sheets(data, units)
            else:
                grids = _plain_sheets(io.BytesIO(data), units)
        for title, rows in struck.items():
            grid = grids.get(title.strip().casefold())
            there = [number for number, _ in grid.rows] if grid else []
            if grid and (held := sorted(set(rows).intersection(there))):
                grid.remarks.append(told_struck(grid.where, held))
        return grids, whole
    except TooMuch as error:
        return {}, whole.fail(error.found, reason("a workbook that holds lists of lots and garments"), RIGHT_FILE)
    except Exception as error:  # a damaged workbook can fail anywhere inside the reading library
        found = reason("a damaged workbook ({why})", why=shorten(str(error), 40))
        return {}, whole.fail(found, expected, reason("open it in the spreadsheet and save it again"))


def _sheets(data: bytes, units: AllUnits) -> dict[str, Grid]:
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(data))
    values = None  # a second reading, for the stored results, only when there is a formula
    grids: dict[str, Grid] = {}
    for sheet in book.worksheets:
        grid = Grid(sheet.title.strip())
        grids[grid.where.casefold()] = grid
        shown = units.get(sheet.title, {})
        for number, line in enumerate(sheet.iter_rows(), 1):
            cells = []
            for position, cell in enumerate(line):
                value = cell.value
                if value is not None and cell.data_type == "f":
                    values = values or openpyxl.load_workbook(io.BytesIO(data), data_only=True)
                    value = values[sheet.title].cell(number, position + 1).value
                    if value is None:
                        grid.odd[number, position] = _UNCOMPUTED
                unit = shown.get((number, position), "")
                cells.append("" if value is None else _cell_text(value, grid, number, position, unit))
            if any(cells) or any((number, position) in grid.odd for position in range(len(cells))):
                grid.rows.append((number, cells))
            if len(grid.rows) > MOST_ROWS:
                too_long(grid)
                break
        for merged in sheet.merged_cells.ranges:
            for row, column in merged.cells:
                if (row, column) != (merged.min_row, merged.min_col):
                    grid.merged[row, column - 1] = merged.min_row, merged.min_col - 1, merged.coord
        mark_odd(grid)
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
    content = ods_with_units(content)
    again = io.BytesIO()
    with zipfile.ZipFile(again, "w") as file:
        file.writestr("mimetype", packed.read("mimetype"))
        file.writestr("META-INF/manifest.xml", packed.read("META-INF/manifest.xml"))
        file.writestr("content.xml", content)
    again.seek(0)
    grids = _plain_sheets(again, {})
    for grid in grids.values():
        grid.country = ods_country(packed)
    return grids


def _plain_sheets(file: io.BytesIO, units: AllUnits) -> dict[str, Grid]:
    """Sheets in which every cell is what it shows."""
    from python_calamine import CalamineWorkbook

    book = CalamineWorkbook.from_filelike(file)
    grids: dict[str, Grid] = {}
    for title in book.sheet_names:
        grid = Grid(title.strip())
        grids[grid.where.casefold()] = grid
        shown = units.get(title, {})
        for number, line in enumerate(book.get_sheet_by_name(title).to_python(skip_empty_area=False), 1):
            if shown:
                told = ((value, position, shown.get((number, position), "")) for position, value in enumerate(line))
                cells = [_cell_text(value, grid, number, position, unit) for value, position, unit in told]
            else:
                cells = [_cell_text(value, grid, number, position) for position, value in enumerate(line)]
            if any(cells):
                grid.rows.append((number, cells))
            if len(grid.rows) > MOST_ROWS:
                too_long(grid)
                break
        mark_odd(grid)
    return grids


def _cell_text(value: object, grid: Grid, row: int, position: int, unit: str = "") -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float | int):
        return with_shown(value, unit)
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        text = value.date().isoformat() if isinstance(value, datetime.datetime) else str(value)
        mend = reason("the spreadsheet took it for a date: format the cell as text and type it again")
        grid.odd[row, position] = Odd(text, reason("a plain value, not a date"), mend, harmless=True)
        return text
    return str(value).strip()
