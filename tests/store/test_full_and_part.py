"""Full balls, and beside them what is left of a part-used one."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import KINDS, lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()


def read(folder: Path, full: str, part: str, *rows: list[object], kind: str = "xlsx") -> Reading:
    sheet = [
        ["Yarn", "Colour", "Ball grams", "Ball metres", full, part],
        *([f"soft {at}", "#223a7a", 50, 125, *row] for at, row in enumerate(rows)),
    ]
    return reading_of(lay(folder, kind, {"Stash": sheet}), CATALOGUE)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("full", ["Full balls", "Whole skeins"])
def test_both_are_one_amount(tmp_path: Path, kind: str, full: str):
    found = read(tmp_path, full, "Part ball (g)", [2, 23], [0, 45], [3, None], [None, 12], kind=kind)
    assert found.faults == ()
    assert [lot.mass_g for lot in found.bin.lots] == pytest.approx([123, 45, 150, 12])
    assert f'"Part ball (g)" is added to "{full}"' in "".join(map(str, found.bin.notes))


def test_in_ounces(tmp_path: Path):
    found = read(tmp_path, "Full balls", "Part ball (oz)", [1, 0.5])
    assert [round(lot.mass_g, 1) for lot in found.bin.lots] == [64.2]


def test_a_row_with_neither_lacks_it(tmp_path: Path):
    found = read(tmp_path, "Full balls", "Part ball (g)", [2, 23], [None, None])
    assert [(one.row, one.column) for one in found.faults] == [(3, "grams")]


def test_a_short_row_loses_nothing(tmp_path: Path):
    (tmp_path / "stash.csv").write_text(
        "Yarn,Colour,Ball grams,Ball metres,Part ball (g),Full balls\nhill,navy,50,125,23\nhill,red,50,125,23,2\n",
        encoding="utf-8",
    )
    found = reading_of(tmp_path, CATALOGUE)
    assert (found.faults, [lot.mass_g for lot in found.bin.lots]) == ((), pytest.approx([23, 123]))
