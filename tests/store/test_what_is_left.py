"""A column of what is left beside one of weights: what is left counts, or it is asked; never the other unseen."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()


def read(folder: Path, headings: list[str], *rows: list[object], kind: str = "xlsx") -> Reading:
    sheet = [
        ["Yarn", "Colour", "Weight", *headings],
        *(["soft", colour, "DK", *row] for colour, row in _coloured(rows)),
    ]
    return reading_of(lay(folder, kind, {"Yarn": sheet}), CATALOGUE)


def _coloured(rows: tuple[list[object], ...]) -> list[tuple[str, list[object]]]:
    return [*zip(("#223a7a", "#f3efe4", "#aa2233"), rows, strict=False)]


def grams(found: Reading) -> list[float]:
    assert found.faults == (), "\n".join(map(str, found.faults))
    return [round(lot.mass_g, 1) for lot in found.bin.lots]


@pytest.mark.parametrize("left", ["Left", "Remaining", "Leftover", "Still have", "Rest", "Left (g)", "Grams left"])
@pytest.mark.parametrize("bought", ["Grams", "Total weight", "g"])
def test_what_is_left_counts_and_not_what_was_bought(tmp_path: Path, left: str, bought: str):
    found = read(tmp_path, [bought, left], [100, 20], [200, 50])
    assert grams(found) == [20, 50]
    said = f'Yarn: "{left}" says what is left, and counts; "{bought}" is taken for what was bought, and left aside'
    assert said in [*map(str, found.bin.notes)]


def test_with_units_in_its_cells(tmp_path: Path):
    assert grams(read(tmp_path, ["Grams", "Left"], [100, "20 g"], [200, "2 oz"])) == [20, 56.7]


def test_what_is_used_up_stands_among_weights(tmp_path: Path):
    found = read(tmp_path, ["Grams", "Left"], [100, 20], [200, "none"], [50, 0])
    assert grams(found) == [20]


@pytest.mark.parametrize(
    ("heading", "cells"),
    [
        ("Left", ["1/4", 50]),
        ("Left", ["half", "half"]),
        ("Left", ["50%", "25%"]),
        ("Left", [1, 2]),  # balls?
        ("Left", [0.5, 50]),
        ("Left", [120, 50]),  # more than was bought
        ("Left %", [50, 25]),
        ("How much left", [1, 2]),
    ],
)
def test_what_cannot_be_told_is_asked(tmp_path: Path, heading: str, cells: list[object]):
    found = read(tmp_path, ["Grams", heading], [100, cells[0]], [100, cells[1]])
    (fault,) = found.faults
    assert f"{heading} beside Grams" in str(fault)
    assert "ball_grams" in str(fault)


def test_a_share_left_of_a_ball_is_that_share(tmp_path: Path):
    assert grams(read(tmp_path, ["Ball grams", "Left"], [50, "half"], [100, "25%"])) == [25, 25]


def test_words_of_something_else_under_left_are_left_out(tmp_path: Path):
    assert grams(read(tmp_path, ["Grams", "Left"], [100, "drawer"], [200, "tin"])) == [100, 200]


@pytest.mark.parametrize(
    ("before", "now"),
    [("Full weight", "Current weight"), ("Weight (g)", "Weight now (g)"), ("Weight of ball", "Current weight")],
)
def test_a_weight_of_today_is_what_is_left(tmp_path: Path, before: str, now: str):
    sheet = [
        ["Yarn", "Colour", "Thickness", before, now],
        ["soft", "#223a7a", "DK", 100, 43],
        ["soft", "red", "DK", 50, 12],
    ]
    assert grams(reading_of(lay(tmp_path, "xlsx", {"Yarn": sheet}), CATALOGUE)) == [43, 12]
