"""Rows that are struck through are told, and count as all others do."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from openpyxl.styles import Font

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import reading_of

CATALOGUE = load_catalogue()


@pytest.mark.parametrize("merged", [False, True], ids=["plain", "with merged cells"])
@pytest.mark.parametrize(("rows", "said"), [((3,), "row 3: struck"), ((3, 4), "rows 3, 4: struck"), ((), "")])
def test_rows_that_are_struck_through(tmp_path: Path, rows: tuple[int, ...], said: str, merged: bool):
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Yarn"
    for row in (
        ["Yarn", "Colour", "Grams", "Weight"],
        *(["soft", colour, 40, "DK"] for colour in ("navy", "red", "rust")),
    ):
        sheet.append(row)
    sheet["B2"].font = Font(strike=True)  # one word put right
    for row in rows:
        for cell in sheet[row]:
            cell.font = Font(strike=True)
    if merged:
        sheet.merge_cells("A2:A4")
    book.save(tmp_path / "yarn.xlsx")
    found = reading_of(tmp_path / "yarn.xlsx", CATALOGUE)
    assert (found.faults, len(found.bin.lots)) == ((), 3)
    notes = "\n".join(map(str, found.bin.notes))
    assert said in notes
    assert ("struck" in notes) == bool(rows)
