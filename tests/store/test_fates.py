"""Yarn that a column says is gone is planned with no more, row by row; what may say so is told."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.fates import fate
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()


def read(folder: Path, heading: str, cells: tuple[str | None, ...]) -> Reading:
    colours = ("#223a7a", "#f3efe4", "#aa2233")
    rows = [["soft", colour, 100, "DK", cell] for colour, cell in zip(colours, cells, strict=False)]
    found = reading_of(
        lay(folder, "xlsx", {"Yarn": [["Yarn", "Colour", "Grams", "Weight", heading], *rows]}), CATALOGUE
    )
    assert found.faults == ()
    return found


@pytest.mark.parametrize(
    ("heading", "gone", "there"),
    [
        ("Status", "used up", "available"),
        ("Stash status", "used up", "in stash"),
        ("Status", "all gone", "keep for Joan"),
        ("Status", "Given to Joan", "given to me by Joan"),
        ("Status", "sold", "for sale"),
        ("Still have", "no", "yes"),
        ("Still got it?", "No", "Yes"),
        ("Used?", "yes - all gone", None),
        ("Used up?", "yes", "no"),
        ("Gone", "x", None),
        ("Sold", "yes", "no"),
    ],
)
def test_what_is_gone_is_left_alone_and_told(tmp_path: Path, heading: str, gone: str, there: str | None):
    found = read(tmp_path, heading, (there, gone))
    assert [row.cells["colour"] for row in found.tables["lots"].rows] == ["#223a7a"]
    said = f'Yarn, row 3: "{heading}" says "{gone}": nothing of it is left, so it was left alone'
    assert said in [*map(str, found.bin.notes)]
    assert not found.bin.garments


@pytest.mark.parametrize("text", ["used half", "sold?", "given to me", "gone soon", "used", "sold 2 balls"])
def test_what_may_be_gone_is_to_be_looked_at(tmp_path: Path, text: str):
    found = read(tmp_path, "Status", ("new", text))
    assert len(found.bin.lots) == 2
    said = f'Yarn, row 3: "Status" says "{text}", but it is planned with: look before you cast on'
    assert said in [*map(str, found.bin.notes)]


@pytest.mark.parametrize("text", ["available", "reserved", "in the loft", "sold out", "no", ""])
def test_other_words_say_nothing(text: str):
    assert fate("Status", text) == ("asked" if text == "sold out" else "")


def test_what_it_was_used_in_is_a_garment_still(tmp_path: Path):
    found = read(tmp_path, "Used", ("grey yoke", "grey yoke"))
    assert [lot.garment for lot in found.bin.lots] == ["grey yoke", "grey yoke"]
