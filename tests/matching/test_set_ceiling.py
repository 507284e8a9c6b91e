"""The bound that is known from the lengths alone is never below what a set uses, and close where everything can be used."""

from __future__ import annotations

import numpy as np
import pytest
import random_sets

from matcher.matching.sets.aims import Aim
from matcher.matching.sets.ceiling import most_of_metres
from matcher.matching.sets.chance import Lengths
from matcher.matching.sets.column import Takes
from matcher.matching.sets.risk import risk_of
from matcher.matching.sets.selection import Rules
from matcher.matching.sets.wants import Asked

CHANCES = (0.5, 0.6, 0.8, 0.9, 0.95, 0.99, 0.999)
NEAR = 1e-6


def ceiling(lengths: Lengths, metre: np.ndarray, several: list[Takes], sure: float) -> float:
    """The bound for pools of which a metre counts so much."""
    shared, own = (np.concatenate([getattr(one, name) for one in several]) for name in ("shared_sd", "own_sd"))
    nothing = np.zeros(len(metre))
    aim = Aim("use-up", None, 0.0, 0.0, metre, *[nothing] * 3)
    rules = Rules(lengths, Asked([None], 3, (), nothing, sure), aim)
    return most_of_metres(rules, risk_of(lengths, sure, float(shared.min()), float(own.max())), 1)


def worth(metre: np.ndarray, things: list[Takes]) -> float:
    return sum(float(metre[one.pool] @ one.metres) for one in things)


def hold(sure: float, bins: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    met = 0
    for _ in range(bins):
        lengths, sets = random_sets.sets(rng, 8, sure)
        metre = rng.choice([0.0, 1.0, 1.0, 0.2], len(lengths.free_m)) * rng.random(len(lengths.free_m))
        every = [one for things in sets for one in things]
        if every:
            most = ceiling(lengths, metre, every, sure)
            assert all(worth(metre, things) <= most * (1 + NEAR) + NEAR for things in sets)
            met += len(sets)
    assert met > 4 * bins


@pytest.mark.parametrize("sure", CHANCES)
def test_no_set_that_is_sure_enough_is_worth_more(sure: float) -> None:
    hold(sure, 10, seed=1)


@pytest.mark.long  # thousands of sets, each with its chance
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("sure", CHANCES)
def test_none_of_many_sets_is_worth_more(sure: float) -> None:
    hold(sure, 60, seed=2)


@pytest.mark.parametrize("number", [1, 20, 300])
@pytest.mark.parametrize("sure", [0.8, 0.95])
def test_where_all_of_every_pool_could_be_used_it_is_hardly_more(number: int, sure: float) -> None:
    """As much of every pool as can be, all alike, and no need with an error of its own."""
    lengths = Lengths(np.linspace(50.0, 200.0, number), np.full(number, 0.06))
    metre = np.full(number, 0.01)
    one = [Takes(np.arange(number), lengths.free_m, np.full(number, 0.18), np.full(number, 1e-4))]
    longest = random_sets.times(one, random_sets.largest(lengths, one, sure))
    reached, most = worth(metre, longest), ceiling(lengths, metre, one, sure)
    assert reached <= most * (1 + NEAR)
    assert reached > 0.99 * most
