"""How sure a set is at once: one thing as its suggestion, several as drawn by chance, and more things never surer."""

from __future__ import annotations

import numpy as np
import pytest
import random_sets

from matcher.matching.sets.chance import Lengths, Standing, chance_of_set
from matcher.matching.sets.column import Takes
from matcher.materials.uncertain import chance_of_all

SHARED, OWN = (0.18, 0.25), 0.03  # those of the catalogue
DRAWS = 200_000


def lengths(rng: np.random.Generator, pools: int, doubt: tuple[float, float] = (0.02, 0.3)) -> Lengths:
    return Lengths(rng.uniform(20.0, 200.0, pools), rng.uniform(*doubt, pools))


def simulated(free: Lengths, things: list[Takes], rng: np.random.Generator) -> float:
    """How often all suffices: one tension for all, an error of its own for each need and for each length."""
    tension = rng.standard_normal(DRAWS)
    left = free.free_m[:, None] * np.exp(free.log_sd[:, None] * rng.standard_normal((len(free.free_m), DRAWS)))
    for one in things:
        for pool, metres, shared, own in zip(one.pool, one.metres, one.shared_sd, one.own_sd, strict=True):
            left[pool] -= metres * np.exp(shared * tension + own * rng.standard_normal(DRAWS))
    return float((left >= 0).all(axis=0).mean())


def scaled(free: Lengths, things: list[Takes], sure: float) -> list[Takes]:
    """So much of all that the set is about so sure."""
    low, high = -12.0, 3.0
    for _ in range(12):
        middle = 0.5 * (low + high)
        enough = chance_of_set(free, random_sets.times(things, middle)) >= sure
        low, high = (middle, high) if enough else (low, middle)
    return random_sets.times(things, low)


@pytest.mark.parametrize("own", [0.0, 0.001, OWN, 0.15])
def test_one_thing_is_as_sure_as_its_suggestion(own: float) -> None:
    rng = np.random.default_rng(2)
    for _ in range(40):
        free = lengths(rng, 5)
        one = random_sets.thing(rng, free, SHARED, own)
        spare = np.log(free.free_m[one.pool] / one.metres)
        alone = chance_of_all(spare, one.shared_sd, np.hypot(free.log_sd[one.pool], one.own_sd))
        assert chance_of_set(free, [one]) == pytest.approx(alone, abs=1e-7)


@pytest.mark.parametrize("number", [2, 3, 4, 5, 6])
@pytest.mark.parametrize(("sure", "own"), [(0.6, OWN), (0.9, OWN), (0.95, 0.1), (0.99, OWN)])
def test_several_are_as_sure_as_they_turn_out(number: int, sure: float, own: float) -> None:
    rng = np.random.default_rng([number, int(100 * sure)])
    free = lengths(rng, 4)
    things = scaled(free, [random_sets.thing(rng, free, SHARED, own) for _ in range(number)], sure)
    pools = [pool for one in things for pool in one.pool]
    assert len(set(pools)) < len(pools), "no pool is shared"
    assert chance_of_set(free, things) == pytest.approx(simulated(free, things, rng), abs=0.01)


def test_more_things_are_never_surer() -> None:
    rng = np.random.default_rng(4)
    for _ in range(60):
        free = random_sets.pools(rng)
        things = scaled(
            free, [random_sets.thing(rng, free, SHARED, OWN) for _ in range(5)], float(rng.uniform(0.3, 0.99))
        )
        standing, before = Standing(free), 1.0
        for one in things:
            expected = standing.sure_with(one)
            standing.add(one)
            assert standing.sure == pytest.approx(expected, abs=1e-12)
            assert standing.sure <= before + 1e-9
            before = standing.sure
        assert before == pytest.approx(chance_of_set(free, things[::-1]), abs=1e-12)


def test_two_things_of_pools_apart_share_her_tension() -> None:
    """If she knits loosely both are short, so that both together are surer than if they were strangers."""
    free = Lengths(np.array([100.0, 100.0]), np.array([0.05, 0.05]))
    one, other = (Takes(np.array([pool]), np.array([75.0]), np.array([0.2]), np.array([OWN])) for pool in (0, 1))
    alone = chance_of_set(free, [one])
    assert alone**2 < chance_of_set(free, [one, other]) < alone
