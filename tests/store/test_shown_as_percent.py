"""A number that a spreadsheet shows as a share is read as she sees it: 50% of a ball, and never half a gram."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import reading_of

CATALOGUE = load_catalogue()
HEADINGS = ["Yarn", "Colour", "Left", "Ball grams", "Metres per ball"]


@pytest.mark.parametrize("code", ["0%", "0.00%", "0.0 %", "#,##0%;-0%"])
@pytest.mark.parametrize("formula", [False, True])
def test_in_an_xlsx_file(tmp_path: Path, code: str, formula: bool):
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(HEADINGS)
    sheet.append(["soft", "#223a7a", 0.5, 50, 125])
    sheet.append(["hill", "#f3efe4", 0.07, 100, 250])
    if formula:  # then another reader takes the workbook
        sheet["A6"] = '=""'
    for row in (2, 3):
        sheet.cell(row, 3).number_format = code
    book.save(tmp_path / "bin.xlsx")
    found = reading_of(tmp_path / "bin.xlsx", CATALOGUE)
    assert found.faults == ()
    assert [lot.mass_g for lot in found.bin.lots] == pytest.approx([25, 7])
    assert [row.cells["grams"] for row in found.tables["lots"].rows] == ["50%", "7%"]


def test_a_percent_sign_that_is_only_written_is_no_share(tmp_path: Path):
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(HEADINGS)
    sheet.append(["soft", "#223a7a", 41, 50, 125])
    sheet["C2"].number_format = '0" g (no %)"'
    book.save(tmp_path / "bin.xlsx")
    assert [lot.mass_g for lot in reading_of(tmp_path / "bin.xlsx", CATALOGUE).bin.lots] == [41]


def test_in_an_ods_file(tmp_path: Path):
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    book = OpenDocumentSpreadsheet()
    table = Table(name="Yarn")
    for cells in (HEADINGS, ["soft", "#223a7a", 0.5, 50, 125]):
        line = TableRow()
        for cell in cells:
            kind = "percentage" if cell == 0.5 else "float" if isinstance(cell, int) else "string"
            made = TableCell(valuetype=kind, value=repr(cell)) if kind != "string" else TableCell(valuetype=kind)
            made.addElement(P(text="50%" if cell == 0.5 else str(cell)))
            line.addElement(made)
        table.addElement(line)
    book.spreadsheet.addElement(table)
    book.save(str(tmp_path / "bin.ods"))
    found = reading_of(tmp_path / "bin.ods", CATALOGUE)
    assert found.faults == ()
    assert [lot.mass_g for lot in found.bin.lots] == [25]
