"""A sheet that says how much yarn there is, but lacks what a list of yarn needs, is told with what it lacks."""

from __future__ import annotations

from pathlib import Path

from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import reading_of

CATALOGUE = load_catalogue()
DK = [["Yarn", "Colour", "Grams", "Weight"], ["soft", "#223a7a", 100, "DK"]]


def notes(folder: Path, title: str, sheet: list[list[object]]) -> str:
    found = reading_of(lay(folder, "xlsx", {"DK": [*DK], title: sheet}), CATALOGUE)
    assert found.faults == ()
    assert len(found.bin.lots) == 1
    return "\n".join(map(str, found.bin.notes))


def test_what_it_lacks_is_said(tmp_path: Path):
    said = notes(tmp_path, "Sock", [["Yarn", "Colour", "Grams"], ["sock", "#aa2233", 80]])
    lacks = "no column holds class, tex, ball_grams or ball_metres"
    assert f"Sock was left alone, though it says how much there is: {lacks}; if it lists yarn" in said
    assert "put its rows into DK" in said
    assert "something else" not in said


def test_of_another_list_it_is_said_as_before(tmp_path: Path):
    said = notes(tmp_path, "Cards", [["Name", "Address"], ["Joan", "1 High St"]])
    assert "left alone, since by title or headings they list something else: Cards" in said
    assert "though it says" not in said
