"""A column of units beside the numbers that they count."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import KINDS, lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()


def read(folder: Path, headings: list[str], *rows: list[object], kind: str = "xlsx") -> Reading:
    sheet = [
        ["Yarn", "Colour", "Ball grams", "Ball metres", *headings],
        *([f"soft {at}", "#223a7a", 50, 125, *row] for at, row in enumerate(rows)),
    ]
    return reading_of(lay(folder, kind, {"Stash": sheet}), CATALOGUE)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("heading", ["Unit", "Units", "UoM"])
def test_each_number_has_its_unit(tmp_path: Path, kind: str, heading: str):
    rows: list[list[object]] = [[2, "balls"], [45, "g"], [0.5, "Ball"], [25, "m"], [2, "oz"], ["30 g", None]]
    found = read(tmp_path, ["Qty", heading], *rows, kind=kind)
    assert found.faults == ()
    assert [round(lot.mass_g, 1) for lot in found.bin.lots] == [100, 45, 25, 10, 56.7, 30]
    assert f'"{heading}" says what "Qty" counts in' in "".join(map(str, found.bin.notes))
    assert all(lot.garment == "" for lot in found.bin.lots)


def test_other_words_under_such_a_heading_are_left_out(tmp_path: Path):
    found = read(tmp_path, ["Grams", "Unit"], [45, "box 3"], [30, "box 4"])
    assert [lot.mass_g for lot in found.bin.lots] == [45, 30]
    assert [one.column for one in found.understood.headings if one.heading == "Unit"] == [""]
