"""A column that says what the ball band says is no answer to whether there is a band; one column tells all of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from matcher.actions.desk import read_bin
from matcher.errors import BadSheets


@pytest.mark.parametrize("heading", ["Ball band", "Band", "Wrapper"])
def test_a_whole_band_in_one_column_and_nothing_else(tmp_path: Path, heading: str):
    sheet = tmp_path / "wool.csv"
    sheet.write_text(
        f"Yarn,Colour,{heading},How much left\nSoft,navy,50g/125m,20g\nSoft,rust,50g = 137yd,half a ball\n"
    )
    navy, rust = read_bin(sheet).lots
    assert (navy.ball_g, round(navy.yarn.tex.mean)) == (50, 400)
    assert (rust.ball_g, round(rust.yarn.tex.mean)) == (50, round(50_000 / (137 * 0.9144)))
    assert rust.mass_g == pytest.approx(25)


def test_yes_and_no_under_the_same_heading_say_whether_there_is_one(tmp_path: Path):
    sheet = tmp_path / "wool.csv"
    sheet.write_text("Yarn,Colour,Ball band,Grams,Thickness\nSoft,navy,yes,20,DK\nSoft,rust,no,25,DK\n")
    assert [lot.label for lot in read_bin(sheet).lots] == ["yes", "no"]


@pytest.mark.parametrize(
    ("cell", "ball_g", "ball_m"),
    [
        ("50g ball / 125m", 50, 125),
        ("100 g hank, 400 m", 100, 400),
        ("approx 120m per 50g ball", 50, 120),
        ("1 skein = 200m (100g)", 100, 200),
        ("200 m skein (100 g)", 100, 200),
    ],
)
def test_what_the_figures_are_of_may_stand_beside_them(tmp_path: Path, cell: str, ball_g: float, ball_m: float):
    sheet = tmp_path / "wool.csv"
    sheet.write_text(f"Yarn;Colour;Ball;How much left\nSoft;navy;{cell};20g\n")
    (lot,) = read_bin(sheet).lots
    assert (lot.ball_g, lot.yarn.tex.mean) == (ball_g, pytest.approx(1000 * ball_g / ball_m))


def test_the_word_that_is_no_unit_is_named_as_she_wrote_it(tmp_path: Path):
    sheet = tmp_path / "wool.csv"
    sheet.write_text("lot,colour,ball_grams,ball_metres,grams\nsoft,navy,50 g brick,125,20\n")
    with pytest.raises(BadSheets, match='"brick" isn\'t a unit known here'):
        read_bin(sheet)
