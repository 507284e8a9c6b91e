"""Full balls and part-used pieces of a lot; planned alterations."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.materials.colours.colour import Colour
from matcher.materials.fibre import Blend
from matcher.materials.lots import Lot, parse_alterations
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn

LOT = Lot(
    name="a",
    garment="",
    yarn=Yarn("", Estimate(400, 20), "ball band", 3, Blend(), "unknown"),
    colour=Colour("solid", (((50.0, 0.0, 0.0), 1.0),)),
    colour_name="",
    mass_g=100,
    pieces=2,
    ball_g=50,
    dye_lot="",
    label="",
    reserve_m=None,
    place="",
    note="",
    role="",
    length=Estimate(250, 12),
)


@pytest.mark.parametrize(
    ("grams", "pieces", "ball", "balls"),
    [
        (100, 2, 50, 2),
        (98, 2, 50, 2),  # within the tolerance
        (94, 2, 50, 1),
        (125, 3, 50, 2),
        (50, 2, 50, 0),  # two halves are no full ball
        (52, 2, 50, 0),
        (60, 2, 50, 1),
        (150, 1, 50, 1),  # one piece is at most one ball
        (41, 1, 50, 0),
        (100, 2, None, 0),
    ],
)
def test_full_balls(grams: float, pieces: int, ball: float | None, balls: int):
    assert replace(LOT, mass_g=grams, pieces=pieces, ball_g=ball).full_balls == balls


@given(st.floats(1, 2000), st.integers(1, 30), st.none() | st.floats(5, 500))
def test_full_and_part_used_make_the_whole(grams: float, pieces: int, ball: float | None):
    lot = replace(LOT, mass_g=grams, pieces=pieces, ball_g=ball)
    assert lot.full_balls_m + lot.part_used_m == pytest.approx(lot.length.mean)
    assert lot.full_balls_m >= 0
    assert lot.part_used_m >= -1e-9
    assert 0 <= lot.full_balls <= pieces


@pytest.mark.parametrize(
    ("text", "plans"),
    [
        ("lengthen body 5 cm", [("body", 5)]),
        ("Lengthen the body by 5 cm.", [("body", 5)]),
        ("lengthen body 5 cm; lengthen sleeves 2 in", [("body", 5), ("sleeves", 5.08)]),
        ("lengthen both sleeves: 3", [("sleeves", 3)]),
        ("add 4 cm to the cuffs", [("cuffs", 4)]),
        ("none", []),
        ("", []),
    ],
)
def test_plans(text: str, plans: list[tuple[str, float]]):
    assert [(plan.part, plan.cm) for plan in parse_alterations(text, 100.0)] == [
        (part, pytest.approx(cm)) for part, cm in plans
    ]


@pytest.mark.parametrize(
    "text", ["shorten body 5 cm", "lengthen", "lengthen body", "lengthen wing 5 cm", "lengthen body 0"]
)
def test_what_is_no_plan(text: str):
    with pytest.raises(ValueError, match="lengthen body 5 cm"):
        parse_alterations(text, 100.0)
