"""Ticks and crosses below a heading that asks: a cross beside ticks is a no, alone it marks what is so."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()
YARN = [["Yarn", "Colour", "Grams", "Weight", "Jumper"], ["hill", "navy", 40, "DK", "gansey"]]


def read(folder: Path, *cells: str) -> Reading:
    jumpers = [["Jumper", "Still worn?"], *([f"jumper {n}", cell] for n, cell in enumerate(cells)), ["gansey", "yes"]]
    found = reading_of(lay(folder, "xlsx", {"Yarn": YARN, "Jumpers": jumpers}), CATALOGUE)
    assert found.faults == ()
    return found


@pytest.mark.parametrize(
    ("cells", "statuses"),
    [
        (("✓", "x"), ["worn", "gone"]),
        (("yes", "X"), ["worn", "gone"]),
        (("✔", "✗"), ["worn", "gone"]),
        (("☑", "❌"), ["worn", "gone"]),
    ],
)
def test_a_cross_beside_a_tick_is_a_no(tmp_path: Path, cells: tuple[str, ...], statuses: list[str]):
    found = read(tmp_path, *cells)
    garments = found.bin.garments
    assert [garments[f"jumper {n}"].status for n in range(len(cells))] == statuses
    told = [(one.found, one.sure) for one in found.understood.cells if one.column == "status"]
    assert told == [(cells[1], False)]


def test_crosses_alone_mark_what_is_so(tmp_path: Path):
    jumpers = [["Jumper", "Still worn?"], ["jumper 0", "x"], ["jumper 1", ""], ["gansey", "x"]]
    found = reading_of(lay(tmp_path, "xlsx", {"Yarn": YARN, "Jumpers": jumpers}), CATALOGUE)
    assert found.bin.garments["jumper 0"].status == "worn"
