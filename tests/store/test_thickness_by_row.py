"""Grams and metres of the same lot say how thick its yarn is, where nothing else does."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()


def read(folder: Path, headings: list[str], *rows: list[object]) -> Reading:
    sheet = [["Yarn", "Colour", *headings], *([f"soft {at}", "#223a7a", *row] for at, row in enumerate(rows))]
    return reading_of(lay(folder, "xlsx", {"Yarn": sheet}), CATALOGUE)


@pytest.mark.parametrize(
    ("headings", "metres"),
    [
        (["Grams", "Metres"], 1),
        (["Grams", "Yards"], 0.9144),
        (["Weight left (g)", "Length"], 1),
        (["Grams left", "Metres left"], 1),
        (["Grams left", "Yards left"], 0.9144),
    ],
)
def test_without_a_ball_or_a_class(tmp_path: Path, headings: list[str], metres: float):
    found = read(tmp_path, headings, [40, 90], [50, 112])
    assert found.faults == ()
    assert [lot.yarn.tex.mean for lot in found.bin.lots] == pytest.approx(
        [40_000 / (90 * metres), 50_000 / (112 * metres)], rel=1e-4
    )
    assert [row.hers["tex"].split()[0] for row in found.tables["lots"].rows] == ["90", "112"]
    told = any("is taken for the length of the grams beside it" in str(one) for one in found.bin.notes)
    assert told == ("left" not in headings[1])


def test_a_row_without_its_length_lacks_what_it_lacks(tmp_path: Path):
    found = read(tmp_path, ["Grams", "Metres"], [40, 90], [50, None])
    assert [one.row for one in found.faults] == [3]


def test_metres_of_a_ball_are_those_of_the_ball(tmp_path: Path):
    found = read(tmp_path, ["Grams", "Ball grams", "Metres"], [40, 50, 125])
    assert [round(lot.yarn.tex.mean) for lot in found.bin.lots] == [400]
    assert [one.column for one in read(tmp_path / "2", ["Grams", "Metres per ball"], [40, 125]).faults] == [
        "ball_grams"
    ]


def test_a_class_stands_as_before(tmp_path: Path):
    found = read(tmp_path, ["Grams", "Metres", "Weight"], [40, 30, "DK"])
    assert [lot.yarn.weight_class for lot in found.bin.lots] == [3]


@pytest.mark.parametrize("heading", ["Yardage", "Meterage", "Length", "Metres"])
def test_a_whole_ball_band_is_that_of_the_ball(tmp_path: Path, heading: str):
    found = read(tmp_path, ["Grams", heading], [40, "125 m per 50 g"], [20, "50g/125m"])
    assert found.faults == ()
    assert [round(lot.yarn.tex.mean) for lot in found.bin.lots] == [400, 400]
    assert not any("is taken for" in str(one) for one in found.bin.notes)


@pytest.mark.parametrize(
    ("heading", "metres"), [("Yards", 0.9144), ("Yardage", 0.9144), ("Metres", 1), ("Length (m)", 1)]
)
def test_the_only_length_is_what_is_left(tmp_path: Path, heading: str, metres: float):
    found = read(tmp_path, ["Weight", heading], ["DK", 95], ["worsted", 200])
    assert found.faults == ()
    tex = [lot.yarn.tex.mean for lot in found.bin.lots]
    assert [lot.mass_g for lot in found.bin.lots] == pytest.approx(
        [95 * metres * tex[0] / 1000, 200 * metres * tex[1] / 1000], rel=1e-4
    )
    assert any(f'"{heading}" is taken for how much is left' in str(one) for one in found.bin.notes)


def test_a_length_of_a_ball_is_no_amount(tmp_path: Path):
    assert [one.column for one in read(tmp_path, ["Weight", "Metres per ball"], ["DK", 125]).faults] == ["grams"]
