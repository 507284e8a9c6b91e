"""How sure it is that what a piece is begun with suffices."""

from __future__ import annotations

import pytest

from matcher.actions.pattern.enough import given_to, sure_that
from matcher.knitting.needs import RoleNeed
from matcher.materials.uncertain import Estimate

NEED = RoleNeed("main", 100.0, 10.0, 5.0, 5000, 0.0, 0.0, 0.0, False, ())


def given(rooms: list[Estimate], strands: int = 1, together: bool = False) -> float:
    held = [([room], 1) for room in rooms] if together else [(rooms, strands)]
    return sure_that(given_to(NEED, held))


def test_as_much_as_it_takes_is_an_even_chance() -> None:
    assert given([Estimate(100.0, 3.0)]) == pytest.approx(0.5, abs=0.01)
    assert given([Estimate(200.0, 6.0)], strands=2) == pytest.approx(0.5, abs=0.01)
    assert given([Estimate(60.0, 2.0), Estimate(40.0, 1.0)]) == pytest.approx(0.5, abs=0.01)


def test_each_strand_of_those_held_together_must_suffice() -> None:
    short, ample = Estimate(100.0, 3.0), Estimate(300.0, 3.0)
    assert given([ample, short], together=True) == pytest.approx(given([short]), abs=0.001)
    assert given([ample, ample], together=True) > 0.99
    assert given([short, short], together=True) < given([short])


def test_nothing_asked_is_sure() -> None:
    assert sure_that([]) == 1.0
