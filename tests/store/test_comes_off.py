"""What was used, or the cone, comes off what another column says; and balls that were bought are not those left."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.headings import Meant
from matcher.store.sheets.read import Reading, reading_of
from matcher.store.sheets.said import NOTHING_SAID, Said

CATALOGUE = load_catalogue()


def read(folder: Path, headings: list[str], *rows: list[object], said: Said = NOTHING_SAID) -> Reading:
    colours = ("#223a7a", "#f3efe4", "#aa2233")
    sheet = [
        ["Yarn", "Colour", "Ball grams", "Ball metres", *headings],
        *(["soft", colour, 50, 120, *row] for colour, row in zip(colours, rows, strict=False)),
    ]
    return reading_of(lay(folder, "xlsx", {"Yarn": sheet}), CATALOGUE, said)


def grams(found: Reading) -> list[float]:
    assert found.faults == (), "\n".join(map(str, found.faults))
    return [round(lot.mass_g, 1) for lot in found.bin.lots]


@pytest.mark.parametrize("had", ["Balls", "Skeins", "Number of balls", "How many", "Qty"])
@pytest.mark.parametrize("left", ["Balls left", "Left", "How much left", "Remaining"])
def test_balls_left_count_and_not_those_bought(tmp_path: Path, had: str, left: str):
    found = read(tmp_path, [had, left], [8, 1.5], [3, 0.5])
    assert grams(found) == [75, 25]
    assert any(f'"{left}" says what is left, and counts; "{had}"' in str(note) for note in found.bin.notes)


def test_grams_left_beside_a_number_of_balls_are_grams(tmp_path: Path):
    assert grams(read(tmp_path, ["Balls", "Left"], [2, 45], [1, 30])) == [45, 30]
    assert grams(read(tmp_path, ["Balls", "Left"], [2, "45 g"], [1, "half"])) == [45, 25]


@pytest.mark.parametrize(
    ("headings", "rows"),
    [
        (["Balls", "Used"], ([8, 6.5], [3, 0])),
        (["Grams", "Used (g)"], ([400, 325], [150, 20])),
        (["Total weight", "Cone weight"], ([640, 60], [410, 60])),
    ],
)
def test_it_is_asked_what_is_left(tmp_path: Path, headings: list[str], rows: tuple[list[object], ...]):
    (fault,) = read(tmp_path, headings, *rows).faults
    assert f"{headings[0]} beside {headings[1]}" in str(fault)
    assert f'add a column "left", of "{headings[0]}" less "{headings[1]}"' in str(fault)
    left = [[*row, float(row[0]) - float(row[1])] for row in rows]  # type: ignore[arg-type] # rows of numbers
    whole = 50.0 if headings[0] == "Balls" else 1.0
    assert grams(read(tmp_path / "2", [*headings, "left"], *left)) == [round(row[2] * whole, 1) for row in left]


@pytest.mark.parametrize(
    ("headings", "rows"),
    [
        (["Balls left", "Used"], ([1.5, 6.5], [3, 0])),  # it says so
        (["Grams", "Used (g)"], ([75, 325], [150, 20])),  # more was used than is there
        (["Grams", "Used"], ([75, "yes"], [150, "no"])),
        (["Grams", "Used for"], ([75, "yoke"], [150, "yoke"])),
    ],
)
def test_what_is_left_is_plain(tmp_path: Path, headings: list[str], rows: tuple[list[object], ...]):
    assert read(tmp_path, headings, *rows).faults == ()


def test_what_she_said_herself_is_not_asked_again(tmp_path: Path):
    said = Said(headings={("lots", "used"): Meant("")})
    assert grams(read(tmp_path, ["Balls", "Used"], [8, 6.5], said=said)) == [400]


def test_no_column_of_what_is_left(tmp_path: Path):
    (fault,) = read(tmp_path, ["Bought (balls)", "Used (balls)"], [8, 6.5]).faults
    assert 'add a column "left", of "Bought (balls)" less "Used (balls)"' in str(fault)
    (fault,) = read(tmp_path / "2", ["Gross weight", "Cone"], [640, 60]).faults
    assert 'of "Gross weight" less "Cone"' in str(fault)


def stash(folder: Path, headings: list[str], *rows: list[object]) -> Reading:
    return reading_of(lay(folder, "csv", {"stash": [["Yarn", "Colour", "Weight", *headings], *rows]}), CATALOGUE)


def test_a_weight_that_is_the_same_for_any_number_of_balls_is_that_of_each(tmp_path: Path):
    rows: list[list[object]] = [["soft", "#223a7a", "DK", 2, 218, 100], ["soft", "#f3efe4", "DK", 0.5, 218, 100]]
    found = stash(tmp_path, ["Skeins", "Yardage", "Grams"], *rows)
    assert grams(found) == [200, 50]
    assert [round(lot.yarn.tex.mean) for lot in found.bin.lots] == [502, 502]
    assert any('"Grams" is the same for different numbers of "Skeins"' in str(note) for note in found.bin.notes)


@pytest.mark.parametrize(
    ("heading", "cells"),
    [
        ("Grams", ([2, 100], [1, 50])),  # as many grams as balls
        ("Grams", ([2, 83], [1, 83])),  # no ball is sold so
        ("Grams left", ([2, 100], [1, 100])),
        ("Total grams", ([2, 100], [1, 100])),
    ],
)
def test_else_it_weighs_what_it_says(tmp_path: Path, heading: str, cells: tuple[list[int], ...]):
    rows: list[list[object]] = [
        ["soft", colour, "DK", *pair] for colour, pair in zip(("navy", "red"), cells, strict=True)
    ]
    assert grams(stash(tmp_path, ["Skeins", heading], *rows)) == [float(pair[1]) for pair in cells]


@pytest.mark.parametrize(
    ("cells", "masses"),
    [([0.4, 1, 2], [20, 50, 100]), ([1.5, 2, 0.25], [75, 100, 12.5]), ([2.5, 4, 3], [125, 200, 150])],
)
def test_parts_of_balls_that_are_left(tmp_path: Path, cells: list[float], masses: list[float]):
    found = read(tmp_path, ["Left"], *([one] for one in cells))
    assert grams(found) == masses
    assert [(one.unit, one.sure) for one in found.understood.headings if one.heading == "Left"] == [("balls", False)]


def test_small_whole_numbers_that_are_left_are_grams_as_a_guess(tmp_path: Path):
    found = read(tmp_path, ["Left"], [1], [2])
    assert grams(found) == [1, 2]
    assert [one.sure for one in found.understood.headings if one.heading == "Left"] == [False]
    assert [one.sure for one in read(tmp_path / "2", ["Left"], [1], [45]).understood.headings][4:] == [True]
