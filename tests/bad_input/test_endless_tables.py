"""Tables that go on for ever sideways, downwards or in sheets: one message, within seconds."""

from __future__ import annotations

import csv
import resource
from pathlib import Path

import forked
import openpyxl
import pytest

HEADINGS = ["Yarn name", "Colour", "Grams left", "Weight class"]
ROW = ["soft", "navy", "41 g", "DK"]
CPU_SECONDS = 10  # of a busy machine; alone none takes two
TABLES = {
    "titles": ([[f"My stash, row {number}"] for number in range(100_000)] + [HEADINGS, ROW], 2),
    "columns": ([[*HEADINGS, *(f"grams lef{number}" for number in range(16_380))], ROW], 2),
    "headings again": ([HEADINGS] * 50_000 + [ROW], 0),
}


def limited() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_SECONDS, CPU_SECONDS))


@pytest.mark.parametrize("name", TABLES)
def test_endless_tables(name: str, tmp_path: Path):
    rows, code = TABLES[name]
    with (tmp_path / "mine.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    ended = forked.run("check", "mine.csv", folder=tmp_path, before=limited)
    assert ended.code == code, ended.told
    assert len(ended.told) < 1000


def test_fifty_sheets_that_could_all_be_the_yarn(tmp_path: Path):
    book = openpyxl.Workbook(write_only=True)
    for number in range(50):
        sheet = book.create_sheet(f"yarn {number}")
        for row in (HEADINGS, *[ROW] * 20):
            sheet.append(row)
    book.save(tmp_path / "mine.xlsx")
    ended = forked.run("check", "mine.xlsx", folder=tmp_path, before=limited)
    assert ended.code == 2
    assert "each could be the list of yarn" in ended.words
    assert len(ended.told) < 2000
