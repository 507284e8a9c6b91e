"""Figures that are said to be rounded, and figures that are one: the same words and the same limit in every reader."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from matcher.materials.reading.bands import heard_ball_length, heard_ball_mass
from matcher.materials.reading.chests import heard_chest
from matcher.materials.reading.gauges import heard_rows, heard_stitches
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unreadable, parse_number, same_figure
from matcher.materials.thickness import heard_thickness
from matcher.store.catalogue.catalogue import Catalogue

ABOUT = ("about", "approx", "approx.", "approximately", "around", "roughly", "circa", "ca", "ca.", "c.", "~")


@pytest.mark.parametrize("word", ABOUT)
@pytest.mark.parametrize(
    ("heard", "figure", "value"),
    [
        (heard_chest, "96 cm", 96),
        (heard_chest, "96", 96),
        (heard_stitches, "22 st", 22),
        (heard_rows, "30", 30),
        (heard_ball_mass, "50 g", 50),
        (heard_ball_length, "125 m", 125),
    ],
)
def test_every_word_before_every_figure(word: str, heard: Callable[[str], Heard[float]], figure: str, value: float):
    assert heard(f"{word} {figure}").value == value


@pytest.mark.parametrize("word", ABOUT)
def test_every_word_before_a_thickness(word: str, catalogue: Catalogue):
    found = heard_thickness(f"{word} aran", catalogue.classes, catalogue.yarn_names)
    assert (found.value.classes, found.value.loose, found.sure) == ((4,), True, False)


@pytest.mark.parametrize("word", ABOUT)
def test_where_one_number_is_wanted_it_is_said_to_write_only_that(word: str):
    with pytest.raises(Unreadable, match="write only 12"):
        parse_number(f"{word} 12")


def test_no_word_is_cut_from_another():
    for heard, cell in ((heard_chest, "arctic 96"), (heard_ball_mass, "fabric 50 g"), (heard_stitches, "cast 22")):
        with pytest.raises(Unreadable):
            heard(cell)


def test_what_is_one_figure():
    assert same_figure(137 * 0.9144, 125)
    assert same_figure(38 * 2.54, 96)
    assert not same_figure(100, 104)
    assert not same_figure(96, 0)


def test_a_chest_of_nothing_beside_one_is_refused():
    with pytest.raises(Unreadable):
        heard_chest("96 cm / 0 in")
