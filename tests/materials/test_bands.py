"""A whole ball band in one cell."""

from __future__ import annotations

import pytest

from matcher.materials.reading.bands import ball_length_m, ball_mass_g, heard_ball_length, heard_ball_mass, whole_band
from matcher.materials.reading.numerals import Unreadable

YD = 0.9144


@pytest.mark.parametrize(
    ("cell", "grams", "metres"),
    [
        ("50g/125m", 50, 125),
        ("125 m / 50 g", 50, 125),
        ("50 g = 125 m", 50, 125),
        ("50g (125m)", 50, 125),
        ("50 g, 125 m", 50, 125),
        ("137 yards per 50g", 50, 137 * YD),
        ("220yds/100g", 100, 220 * YD),
        ("50g/125m/137yds", 50, 125),
        ("50g 125m", 50, 125),
        ("125 m 50 g", 50, 125),
        ("100 g. 220 yds", 100, 220 * YD),
        ("400m/100", 100, 400),
        ("220 yds per 100", 100, 220 * YD),
        ("1.75oz / 137 yds", pytest.approx(49.6117, abs=1e-3), 137 * YD),
    ],
)
def test_both_figures_of_one_cell(cell: str, grams: float, metres: float):
    assert heard_ball_mass(cell).value == grams
    assert heard_ball_length(cell).value == pytest.approx(metres)
    for column in ("ball_grams", "ball_metres"):
        cells = {"lot": "a", column: cell}
        assert (ball_mass_g(cells), ball_length_m(cells)) == (grams, pytest.approx(metres))
        assert whole_band(cells).keys() == {"lot", "ball_grams", "ball_metres"}


@pytest.mark.parametrize(("cell", "metres"), [("137yds/125m", 125), ("137 yd (125 m)", 125), ("approx 125 m", 125)])
def test_one_figure_said_twice(cell: str, metres: float):
    heard = heard_ball_length(cell)
    assert heard.value == metres
    assert str(heard.taken) == "125 m a ball"


def test_figures_with_no_unit_are_a_guess():
    for cell in ("50/125", "125/50"):
        mass, length = heard_ball_mass(cell), heard_ball_length(cell)
        assert (mass.value, length.value) == (50, 125)
        assert not mass.sure
        assert not length.sure


@pytest.mark.parametrize("cell", ["50", "50 g", "1.75 oz"])
def test_a_tidy_cell_has_nothing_made_of_it(cell: str):
    assert not heard_ball_mass(cell).taken
    assert whole_band({"ball_grams": cell}) == {"ball_grams": cell}


@pytest.mark.parametrize("cell", ["125m/100yd", "fifty", "50 g 125"])
def test_what_is_no_band_is_refused(cell: str):
    with pytest.raises(Unreadable):
        heard_ball_length(cell)


def test_a_band_stands_only_where_the_other_column_is_empty():
    assert whole_band({"ball_grams": "50g/125m", "ball_metres": "120"})["ball_metres"] == "120"
    assert whole_band({"ball_grams": "50"}) == {"ball_grams": "50"}


def test_half_a_band_in_the_cell_of_the_other_half_says_which_half_is_missing():
    with pytest.raises(Unreadable, match="that is its length alone: add what it weighs"):
        heard_ball_mass("110 yd skein")
    with pytest.raises(Unreadable, match="that is its weight alone: add how long it is"):
        heard_ball_length("50 g")
