"""The chance that a colour lasts to the end, against plain draws from the terms, weighted by what the scale said."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.knitting.progress import Midway, Outlook, Spread, outlook
from matcher.materials.estimate import Estimate

SPREAD = Spread(0.1, {"stocking": 0.1, "rib": 0.1, "stranded": 0.2}, 0.03)


def drawn(colours: list[Midway], spread: Spread, number: int = 2_000_000) -> tuple[list[float], float]:
    """The same chances by brute force: every term is drawn, every draw weighted by the likelihood of what was used."""
    random = np.random.default_rng(7)
    tension = spread.tension * random.standard_normal(number)
    bias = {name: sd * random.standard_normal(number) for name, sd in spread.bias.items()}
    log_weight = np.zeros(number)
    lasts = []
    for one in colours:
        own = one.own_sd * random.standard_normal(number)

        def x(metres: dict[str, float], own: np.ndarray = own) -> np.ndarray:
            whole = sum(metres.values())
            return tension + own + sum(metres[name] / whole * bias[name] for name in metres)

        if one.left is None:
            whole = {name: one.done.get(name, 0) + one.rest.get(name, 0) for name in {**one.done, **one.rest}}
            on_hand = one.have.mean * np.exp(_log_sd(one.have) * random.standard_normal(number))
            lasts.append(on_hand > sum(whole.values()) * np.exp(x(whole)))
            continue
        used = one.have.mean - one.left.mean
        sd = math.hypot(math.hypot(one.have.sd, one.left.sd) / used, spread.rest)
        log_weight -= 0.5 * ((math.log(used / sum(one.done.values())) - x(dict(one.done))) / sd) ** 2
        on_hand = one.left.mean * np.exp(_log_sd(one.left) * random.standard_normal(number))
        rest = x(dict(one.rest)) + spread.rest * random.standard_normal(number)
        lasts.append(on_hand > sum(one.rest.values()) * np.exp(rest))
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    assert 1 / (weight**2).sum() > 20_000, "too few draws count"
    return [float(weight @ one) for one in lasts], float(weight @ np.all(lasts, axis=0))


def _log_sd(one: Estimate) -> float:
    return -math.log1p(-min(1.645 * one.sd / one.mean, 0.99)) / 1.645


CASES = {
    "nothing weighed": [
        Midway("main", {"rib": 40.0}, {"stocking": 90.0}, 0.06, Estimate(150, 2)),
        Midway("contrast 1", {}, {"stranded": 22.0}, 0.06, Estimate(25, 1)),
    ],
    "one weighed": [
        Midway("main", {"rib": 40.0, "stranded": 20.0}, {"stocking": 70.0}, 0.06, Estimate(150, 1), Estimate(82, 1)),
        Midway("contrast 1", {"stranded": 10.0}, {"stranded": 12.0}, 0.06, Estimate(25, 1)),
    ],
    "both weighed": [
        Midway("main", {"rib": 40.0, "stranded": 20.0}, {"stocking": 70.0}, 0.06, Estimate(150, 1), Estimate(78, 1)),
        Midway("contrast 1", {"stranded": 10.0}, {"stranded": 9.0}, 0.06, Estimate(22, 0.5), Estimate(11, 0.5)),
    ],
    "an early weighing says little": [
        Midway("main", {"rib": 4.0}, {"rib": 30.0, "stocking": 70.0}, 0.1, Estimate(120, 2), Estimate(114, 2)),
    ],
}


@pytest.mark.parametrize("case", CASES)
def test_chances_are_those_of_plain_draws(case: str):
    each, together = drawn(CASES[case], SPREAD)
    found = outlook(CASES[case], SPREAD)
    assert [one.sure for one in found.roles] == pytest.approx(each, abs=0.01)
    assert found.sure == pytest.approx(together, abs=0.01)


def one_colour(used: float, left: float, structure: str = "stocking") -> Outlook:
    spent = Midway("main", {structure: 50.0}, {"stocking": 50.0}, 0.05, Estimate(used + left, 0.3), Estimate(left, 0.3))
    return outlook([spent], SPREAD)


def test_a_knitter_who_used_a_tenth_more_is_told_that_the_rest_takes_more():
    assert one_colour(50, 55).roles[0].needs_m == pytest.approx(50, rel=0.01)
    more = one_colour(55, 55).roles[0].needs_m
    assert 53.5 < more < 55.0  # nearly all of it: only what is the rest's own is not learnt
    assert 51.0 < one_colour(55, 55, "rib").roles[0].needs_m < more  # rib tells less of plain knitting


def test_at_the_end_nothing_is_needed_and_all_of_it_lasts():
    done = Midway("main", {"stocking": 50.0}, {}, 0.05, Estimate(60, 0.5), Estimate(2, 0.5))
    found = outlook([done], SPREAD)
    assert found.sure == 1.0
    assert found.roles[0].needs_m == 0.0
    empty = Midway("main", {"stocking": 50.0}, {"stocking": 5.0}, 0.05, Estimate(50, 0.5), Estimate(0, 0.5))
    assert outlook([empty], SPREAD).sure == 0.0


def test_hardly_anything_used_after_half_of_it_is_a_slip_and_teaches_nothing():
    """As where the knitting was weighed with its ball."""
    spread = Spread(0.1, {"stocking": 0.1}, 0.03, far=4.0)
    done = Midway("main", {"stocking": 80.0}, {"stocking": 80.0}, 0.05, Estimate(220, 1.3), Estimate(215, 1.3))
    (found,) = outlook([done], spread).roles
    assert found.far
    assert found.needs_m == pytest.approx(80.0)
    usual = Midway("main", {"stocking": 80.0}, {"stocking": 80.0}, 0.05, Estimate(220, 1.3), Estimate(150, 1.3))
    assert not outlook([usual], spread).roles[0].far


@settings(max_examples=60, deadline=None)
@given(
    done=st.floats(5, 200), rest=st.floats(1, 200), ratio=st.floats(0.7, 1.4), left=st.floats(1, 300),
    more=st.floats(1, 50),
)  # fmt: skip
def test_more_on_the_scale_never_lasts_less(done: float, rest: float, ratio: float, left: float, more: float):
    """For the same yarn used, more left is surer; for the same left, more used is less sure."""

    def sure(used: float, left: float) -> float:
        spent = Midway("main", {"rib": done}, {"stocking": rest}, 0.06, Estimate(used + left, 0.5), Estimate(left, 0))
        return outlook([spent], SPREAD).sure

    used = ratio * done
    assert sure(used, left + more) >= sure(used, left)
    # What is used is also better known the more it is, which helps a little where it is short already.
    assert sure(used * 1.05, left) <= sure(used, left) + 0.02
