"""How sure: the chance that every yarn suffices, against plain simulation and against the normal distribution.

The simulation knows nothing of the integral under test: it draws the knitter's tension once for all yarns and every
other error by itself, and counts. With 100,000 draws its own standard error is at most 0.0016, so 0.01 is six of
them; scipy's normal distribution serves where there is only one yarn.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

import matcher
from matcher.actions.ranking.suggestion import Suggestion
from matcher.materials.uncertain import Estimate, chance_of_all, tension_grid

DRAWS = 100_000
NEAR = 0.01


def counted(spare: list[float], shared: list[float], own: list[float], seed: int) -> float:
    """The share of draws in which nothing runs out."""
    rng = np.random.default_rng(seed)
    tension = rng.standard_normal(DRAWS)
    enough = np.ones(DRAWS, dtype=bool)
    for left, by_tension, by_itself in zip(spare, shared, own, strict=True):
        enough &= left - by_tension * tension + by_itself * rng.standard_normal(DRAWS) > 0
    return float(enough.mean())


CASES = {
    "one yarn, ample": ([30.0], [12.0], [5.0]),
    "one yarn, just the mean": ([0.0], [12.0], [5.0]),
    "one yarn, short": ([-8.0], [12.0], [5.0]),
    "two alike": ([10.0, 10.0], [12.0, 12.0], [4.0, 4.0]),
    "two that share nothing": ([10.0, 10.0], [0.0, 0.0], [9.0, 9.0]),
    "two that share everything": ([10.0, 12.0], [9.0, 9.0], [0.0, 0.0]),
    "three, one short": ([25.0, -2.0, 14.0], [20.0, 6.0, 4.0], [5.0, 2.0, 6.0]),
    "four small and one large": ([4.0, 3.0, 2.0, 5.0, 60.0], [2.0, 2.0, 1.0, 3.0, 30.0], [1.0, 2.0, 1.5, 2.0, 20.0]),
    "own error all but none": ([8.0, 5.0, 9.0], [6.0, 4.0, 7.0], [1e-7, 1e-3, 0.02]),
    "own error all but none, just the mean": ([0.0, 1.0], [6.0, 4.0], [1e-7, 1e-7]),
    "five that hardly suffice": ([1.0, 2.0, 0.5, 1.5, 0.2], [3.0, 4.0, 1.0, 2.0, 0.5], [2.0, 1.0, 1.0, 0.1, 0.3]),
}


@pytest.mark.parametrize("name", CASES)
def test_the_chance_of_all_against_counting(name: str):
    spare, shared, own = CASES[name]
    found = chance_of_all(np.array(spare), np.array(shared), np.array(own))
    assert found == pytest.approx(counted(spare, shared, own, seed=1), abs=NEAR)


# Own errors from a tenth of the shared one: below that the edge is sharper than the grid, see the test of sharp edges.
ROLES = st.integers(1, 5).flatmap(
    lambda n: st.tuples(
        st.lists(st.floats(-20, 60), min_size=n, max_size=n),
        st.lists(st.floats(0, 30), min_size=n, max_size=n),
        st.lists(st.floats(3.0, 40), min_size=n, max_size=n),
    )
)
# Any own error, down to none at all.
ANY_ROLES = st.integers(1, 5).flatmap(
    lambda n: st.tuples(
        st.lists(st.floats(-20, 60), min_size=n, max_size=n),
        st.lists(st.floats(0, 30), min_size=n, max_size=n),
        st.lists(st.sampled_from([0.0, 1e-6, 0.01, 0.5, 2.0, 8.0, 25.0]), min_size=n, max_size=n),
    )
)
Errors = tuple[list[float], list[float], list[float]]


@settings(max_examples=60, deadline=None, derandomize=True)
@given(ROLES)
def test_the_chance_of_all_against_counting_on_any_errors(case: Errors):
    spare, shared, own = case
    found = chance_of_all(np.array(spare), np.array(shared), np.array(own))
    assert found == pytest.approx(counted(spare, shared, own, seed=2), abs=NEAR)


@given(st.floats(-50, 100), st.floats(0, 30), st.floats(0.2, 5))
def test_of_one_yarn_it_is_the_normal_distribution(spare: float, shared: float, ratio: float):
    """Both errors of one yarn add up as squares."""
    own = max(0.5, ratio * shared)
    found = chance_of_all(np.array([spare]), np.array([shared]), np.array([own]))
    assert found == pytest.approx(norm.cdf(spare / np.hypot(shared, own)), abs=1e-7)


@pytest.mark.parametrize("part", [0.1, 0.05, 0.02, 1e-3, 1e-6, 0.0])
def test_sharp_edges_of_one_yarn(part: float):
    """An own error that is a small part of the shared one makes an edge between two nodes of the grid."""
    spare = np.linspace(-10.0, 30.0, 401)
    found = [chance_of_all(np.array([one]), np.array([10.0]), np.array([10.0 * part])) for one in spare]
    gap = np.abs(found - norm.cdf(spare / 10.0 / np.hypot(1.0, part)))
    assert float(gap.max()) <= NEAR


@given(ANY_ROLES)
def test_never_above_the_least_single_chance_nor_below_their_product(case: Errors):
    """All of them together are never likelier than the least likely; and a shared error only helps them agree."""
    spare, shared, own = (np.array(one) for one in case)
    together = chance_of_all(spare, shared, own)
    alone = [chance_of_all(spare[i : i + 1], shared[i : i + 1], own[i : i + 1]) for i in range(len(spare))]
    assert together <= min(alone) + 1e-12
    assert together >= np.prod(alone) - 1e-12
    assert 0.0 <= together <= 1.0 + 1e-12


@given(ANY_ROLES, st.floats(0, 40), st.data())
def test_more_yarn_is_never_less_sure(case: Errors, more: float, data: st.DataObject):
    spare, shared, own = (np.array(one) for one in case)
    role = data.draw(st.integers(0, len(spare) - 1))
    with_more = spare.copy()
    with_more[role] += more
    assert chance_of_all(with_more, shared, own) >= chance_of_all(spare, shared, own) - 1e-12


@given(ANY_ROLES)
def test_one_more_yarn_that_may_run_out_is_never_surer(case: Errors):
    spare, shared, own = (np.array(one) for one in case)
    assert chance_of_all(spare, shared, own) <= chance_of_all(spare[:-1], shared[:-1], own[:-1]) + 1e-12


def test_what_is_shared_is_shared():
    """Two yarns that fail together are surer than two that fail apart, by the amount that counting gives."""
    spare, error, none = [10.0, 10.0], [10.0, 10.0], [1e-6, 1e-6]
    same = chance_of_all(np.array(spare), np.array(error), np.array(none))
    apart = chance_of_all(np.array(spare), np.zeros(2), np.array(error))
    assert same == pytest.approx(norm.cdf(1.0), abs=0.006)
    assert apart == pytest.approx(norm.cdf(1.0) ** 2, abs=1e-9)


def test_the_tension_grid_has_the_moments_of_a_standard_normal_number():
    z, weight = tension_grid()
    assert weight.sum() == pytest.approx(1.0, abs=1e-12)
    for power, moment in ((1, 0.0), (2, 1.0), (3, 0.0), (4, 3.0)):
        assert float((z**power) @ weight) == pytest.approx(moment, abs=2e-6)


def test_estimates_add_up_as_independent_errors_do():
    rng = np.random.default_rng(3)
    drawn = rng.normal(40, 3, DRAWS) + rng.normal(25, 4, DRAWS)
    total = Estimate(40, 3) + Estimate(25, 4)
    assert total.mean == pytest.approx(drawn.mean(), abs=0.1)
    assert total.sd == pytest.approx(drawn.std(), rel=0.02)
    assert total.times(-2).sd == pytest.approx((-2 * drawn).std(), rel=0.02)


# Whole suggestions ----------------------------------------------------------------------------------------


def simulated(one: Suggestion, free: dict[str, Estimate], seed: int) -> float:
    """How often the lots of a suggestion suffice when everything uncertain is drawn afresh.

    One tension error moves what every role takes; each role has an error of its own for its share of the fabric,
    the same for all strands of its thread; both multiply. Each lot has its own error of the metres on hand, which is
    added. Every strand of a thread runs its whole length.
    """
    rng = np.random.default_rng(seed)
    tension = rng.standard_normal(DRAWS)
    enough = np.ones(DRAWS, dtype=bool)
    to_fill = [role for role in one.roles if not role.brought]
    for role, thread in zip(to_fill, one.found.threads, strict=True):
        shared, own = (sd_m / role.need.length_m for sd_m in (role.need.shared_sd_m, role.need.own_sd_m))
        need = role.need.length_m * np.exp(shared * tension + own * rng.standard_normal(DRAWS))
        for lot, (_, strands) in zip(role.lots, thread, strict=True):
            have = free[lot.name]
            enough &= rng.normal(have.mean, have.sd, DRAWS) > need * strands
    return float(enough.mean())


def free_of(bin: str | Path | None = None) -> dict[str, Estimate]:
    """Metres of each lot that no reserve holds; the error is that of what is on hand."""
    held = {lot: metres for group in matcher.reserve(bin).groups for lot, metres in group.held.items()}
    lots = matcher.read_bin(bin).lots
    return {lot.name: Estimate(lot.length.mean - held.get(lot.name, 0.0), lot.length.sd) for lot in lots}


def lots_stand_alone(one: Suggestion) -> bool:
    """No role takes several lots that count as one (joined on, they lose tails, which are not simulated here)."""
    return sum(len(role.lots) for role in one.roles) == sum(len(thread) for thread in one.found.threads)


@pytest.fixture(scope="module")
def demo() -> list[tuple[Suggestion, dict[str, Estimate]]]:
    free = free_of()
    return [(one, free) for one in matcher.suggest(top=30) if lots_stand_alone(one)]


@pytest.mark.parametrize("place", range(5))
def test_whole_suggestions_of_the_demo_against_simulation(place: int, demo: list):
    one, free = demo[place]
    assert one.found.sure == pytest.approx(simulated(one, free, seed=place), abs=NEAR)


# Two short ends, enough for small things, and for a thick one only when held together.
SHORT_ENDS = """lot,grams,colour,ball_grams,ball_metres,yarn,fibre
lichen,3.4,#8a9a5b,100,420,sock yarn,wool
plum,3.7,#5b2a4a,100,420,sock yarn,wool
"""


def test_unsure_suggestions_against_simulation(tmp_path: Path):
    """Where little is to spare the chance is far from 1, and both must still agree."""
    (tmp_path / "lots.csv").write_text(SHORT_ENDS, encoding="utf-8")
    found, free = list(matcher.suggest(tmp_path, sure=0.5, top=100, varied=False)), free_of(tmp_path)
    assert min(one.found.sure for one in found) < 0.7
    assert {len(one.roles) for one in found} == {1, 2}
    for seed, one in enumerate(found):
        assert one.found.sure == pytest.approx(simulated(one, free, seed), abs=NEAR), one.accessory


def test_strands_of_two_lots_held_together_against_simulation(tmp_path: Path):
    (tmp_path / "lots.csv").write_text(SHORT_ENDS, encoding="utf-8")
    found = matcher.suggest(tmp_path, sure=0.5, top=100, varied=False)
    marled = [one for one in found if any(len(thread) > 1 for thread in one.found.threads)]
    assert marled
    for one in marled:
        assert one.found.sure == pytest.approx(simulated(one, free_of(tmp_path), seed=9), abs=NEAR), one.accessory
