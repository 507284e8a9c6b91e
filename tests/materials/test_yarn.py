"""Linear density, strands held together and the length on hand, against sums done by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.materials.fibre import Blend, parse_blend
from matcher.materials.reading.numerals import OZ_G
from matcher.materials.reading.units import parse_mass_g
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import (
    MeasuringRules,
    class_of_tex,
    held_together,
    length_on_hand,
    scale_step_g,
    tex_from_ball,
    tex_from_class,
    tex_in_cells,
    tex_measured,
    tex_of_tables,
)
from matcher.store.catalogue.catalogue import Catalogue

RULES = MeasuringRules(
    scale_resolution_g=1,
    label_sd_fraction=0.05,
    measured_sd_fraction=0.06,
    moisture_sd_of_regain=0.15,
    regain_unknown_percent=17.0,
    tail_m=0.15,
    full_ball_tolerance=0.05,
)


@pytest.mark.parametrize(
    ("text", "step_g"),
    [
        ("41", 1.0), ("41.5", 0.1), ("40.25 g", 0.01), ("2 oz", 0.1 * OZ_G), ("1 1/2 oz", 0.1 * OZ_G),
        ("1.45 oz", 0.05 * OZ_G), ("0.18 oz", 0.01 * OZ_G), ("1/3 oz", 1.0),
    ],
)  # fmt: skip
def test_a_weight_tells_the_step_of_its_scale(text: str, step_g: float):
    assert scale_step_g(parse_mass_g(text), RULES) == pytest.approx(step_g)


def test_ounces_taken_from_grams_are_in_no_step():
    assert scale_step_g(50 - parse_mass_g("1.2 oz"), RULES) == 1.0


def test_tex_in_a_lots_cells():
    assert tex_in_cells({"ball_grams": "50", "ball_metres": "125 m", "tex": "390"}, RULES) == (
        Estimate(400, 20),
        "ball band",
    )
    assert tex_in_cells({"ball_grams": "50", "ball_metres": "", "tex": "Nm 2.5"}, RULES) == (Estimate(400, 24), "tex")
    assert tex_in_cells({"class": "3"}, RULES) is None


def test_tex_from_a_ball_band():
    assert tex_from_ball(50, 125, RULES) == Estimate(400, 20)
    assert tex_measured(400, RULES) == Estimate(400, 24)


def test_tex_from_the_class_is_in_the_middle_of_all_tables(catalogue: Catalogue):
    """DK: 333 to 417 by one table and 400 to 500 by two."""
    tex = tex_from_class(3, catalogue.classes)
    assert tex.mean == pytest.approx(math.sqrt(333 * 500))
    evenly, away = math.log(500 / 333) / math.sqrt(12), math.log(tex.mean / math.sqrt(333 * 417))
    assert away == pytest.approx(math.log(math.sqrt(400 * 500) / tex.mean), abs=0.002)
    assert tex.sd / tex.mean == pytest.approx(math.hypot(evenly, away), rel=0.005)
    assert tex_of_tables([(300, 300)]) == Estimate(pytest.approx(300), 0)
    with pytest.raises(ValueError, match="no yarn weight class 12"):
        tex_from_class(12, catalogue.classes)


@pytest.mark.parametrize(
    ("tex", "number"), [(150, 0), (230, 1), (300, 2), (400, 3), (500, 4), (950, 5), (3, 0), (1e5, 7)]
)
def test_class_of_tex(catalogue: Catalogue, tex: float, number: int):
    assert class_of_tex(tex, catalogue.classes) == number


def test_the_middle_of_every_class_is_in_that_class(catalogue: Catalogue):
    for entry in catalogue.classes:
        assert class_of_tex(entry.tex.mean, catalogue.classes) == entry.number


def test_strands_add_up():
    assert held_together([Estimate(200, 6), Estimate(100, 8)]) == Estimate(300, 10)


def test_length_on_hand_by_hand(catalogue: Catalogue):
    # 41 g of 400 tex: 102.5 m; three pieces have two joins of two tails of 0.15 m: 0.6 m less.
    wool = parse_blend("wool", catalogue.fibres)
    length = length_on_hand(41, Estimate(400, 20), 3, wool, RULES)
    assert length.mean == pytest.approx(101.9)
    scale, label, moisture = 1 / math.sqrt(12) / 41, 0.05, 0.15 * 0.17
    assert length.sd == pytest.approx(102.5 * math.sqrt(scale**2 + label**2 + moisture**2))


def test_an_unknown_fibre_takes_the_widest_moisture(catalogue: Catalogue):
    def sd(blend: Blend) -> float:
        return length_on_hand(41, Estimate(400, 20), 1, blend, catalogue.measuring).sd

    assert sd(Blend()) == max(sd(Blend(((fibre, 1.0),))) for fibre in catalogue.fibres)


@given(
    mass=st.floats(0.1, 2000),
    more=st.floats(0.1, 2000),
    tex=st.floats(20, 5000),
    pieces=st.integers(1, 40),
)
def test_more_yarn_is_never_shorter(mass: float, more: float, tex: float, pieces: int):
    def length(grams: float, count: int) -> Estimate:
        return length_on_hand(grams, Estimate(tex, 0.05 * tex), count, Blend(), RULES)

    assert length(mass + more, pieces).mean >= length(mass, pieces).mean >= length(mass, pieces + 1).mean >= 0
    assert length(mass, pieces).sd > 0
