"""Sheets of any shape laid on disk: rows of cells, as csv files, .xlsx or .ods."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from pathlib import Path

KINDS = ("csv", "xlsx", "ods")
Cells = Sequence[Sequence[object]]


def lay(folder: Path, kind: str, sheets: Mapping[str, Cells], separator: str = ",") -> Path:
    """Write the sheets; the path to give to the program. None is an empty cell."""
    folder.mkdir(parents=True, exist_ok=True)
    if kind == "csv":
        for title, rows in sheets.items():
            with open(folder / f"{title}.csv", "w", newline="", encoding="utf-8") as file:
                csv.writer(file, delimiter=separator).writerows(_padded(rows))
        return folder
    path = folder / f"bin.{kind}"
    (_xlsx if kind == "xlsx" else _ods)(path, sheets)
    return path


def _padded(rows: Cells) -> list[list[object]]:
    """As a spreadsheet writes them: every row as wide as the widest."""
    wide = max(map(len, rows), default=0)
    return [["" if cell is None else cell for cell in row] + [""] * (wide - len(row)) for row in rows]


def _xlsx(path: Path, sheets: Mapping[str, Cells]) -> None:
    import openpyxl

    book = openpyxl.Workbook()
    book.remove(book.worksheets[0])
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for number, row in enumerate(rows, 1):
            for place, cell in enumerate(row, 1):
                if cell is not None and cell != "":
                    sheet.cell(number, place).value = cell
    book.save(path)


def _ods(path: Path, sheets: Mapping[str, Cells]) -> None:
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    book = OpenDocumentSpreadsheet()
    for title, rows in sheets.items():
        table = Table(name=title)
        for row in rows:
            line = TableRow()
            for cell in row or [None]:
                if cell is None or cell == "":
                    line.addElement(TableCell())
                    continue
                number = isinstance(cell, int | float)
                made = TableCell(valuetype="float", value=repr(cell)) if number else TableCell(valuetype="string")
                made.addElement(P(text=str(cell)))
                line.addElement(made)
            table.addElement(line)
        book.spreadsheet.addElement(table)
    book.save(str(path))
