"""The exact search with prices on the yarn finds what plain enumeration finds: every way that is worth more than its yarn."""

from __future__ import annotations

import math
from random import Random

import numpy as np
import pytest
from agreement import examples
from hypothesis import given
from hypothesis import strategies as st
from plain_sets import Problem, Thing, problems

from matcher.matching.ranking.prices import Prices
from matcher.matching.sets.aims import AIMS
from matcher.matching.sets.model import Relaxed

NEAR = 1e-6


def prices(pick: Random, pools: int, scale: float) -> Prices:
    """Of metres, of metres at two tensions and of being used at all; one in four is below nothing. Of half of them no
    more than so many metres may be needed at the second."""

    def several() -> np.ndarray:
        drawn = [pick.choice([0.0, 1.0, 1.0, -0.3]) * pick.random() for _ in range(pools)]
        return scale * np.array(drawn)

    nodes, room = np.array([-0.5, 1.2]), np.array([pick.uniform(5.0, 200.0) for _ in range(pools)])
    room_m = room if pick.random() < 0.5 else None
    return Prices(several() / 100, nodes, np.array([several(), several()]) / 100, 0.1 * several(), room_m)


def net(problem: Problem, thing: Thing, of: Prices) -> float:
    """What a way is worth, less what its yarn costs."""
    cost = 0.0
    for take in thing.takes:
        needed = [take.metres * np.exp(take.shared * node + take.own**2 / 2) for node in of.nodes]
        cost += of.metre[take.pool] * take.metres + of.each[take.pool]
        cost += sum(price[take.pool] * metres for price, metres in zip(of.metre_at, needed, strict=True))
        if of.room_m is not None and needed[-1] > of.room_m[take.pool]:
            return -math.inf
    return problem.value(thing) - float(cost)


def agree(problem: Problem, seed: int) -> int:
    """Hold every accessory of every want against the enumeration, with and without marls; how much was found."""
    pick, source, found = Random(seed), problem.source(), 0
    of = prices(pick, len(problem.names), 1.0 if problem.aim == "best" else 0.02)
    relaxed = Relaxed(0.0, of, np.zeros(len(problem.wants)), {})
    for want, key in source.accessories():
        for marls in (False, True):
            every = [
                (worth, one.identity)
                for one in problem.things
                if one.want == want
                and (worth := net(problem, one, of)) > -math.inf
                and one.assignment.key == key
                and (marls or all(len(thread) == 1 for thread in one.assignment.strands))
            ]
            worths = sorted((worth for worth, _ in every), reverse=True)
            least = pick.choice([-np.inf, float(np.median(worths)) + 1e-4 if worths else 0.0])
            most = pick.choice([1, 4, 400])
            columns, more = source.above(want, key, of, least, most, marls)
            above = [worth for worth in worths if worth > least]
            got = [relaxed.priced(one) for one in columns]
            assert got == pytest.approx(above[:most], abs=NEAR)
            assert more or len(above) <= most
            by_identity = {identity: worth for worth, identity in every}
            for one, worth in zip(columns, got, strict=True):
                assert by_identity[problem.identity(want, one.found)] == pytest.approx(worth, abs=NEAR)
            # In a hurry there is something just where there is anything, and it is one of them.
            hurried, more = source.above(want, key, of, least, most, marls, any_will_do=lambda: True)
            assert bool(hurried) == bool(above)
            assert more or not above
            for one in hurried:
                assert by_identity[problem.identity(want, one.found)] == pytest.approx(relaxed.priced(one), abs=NEAR)
            found += len(columns)
    return found


def hold(aim: str, number: int, lots: int, together: bool) -> int:
    made: list[int] = []

    @given(problems(aim, lots, together), st.sampled_from(range(10**9)))
    @examples(number)
    def each(problem: Problem, seed: int) -> None:
        made.append(agree(problem, seed))

    each()
    return sum(found > 3 for found in made)


@pytest.mark.parametrize("aim", AIMS)
def test_with_single_strands(aim: str) -> None:
    assert hold(aim, 5, lots=6, together=False) >= 1


@pytest.mark.parametrize("aim", AIMS)
def test_with_strands_held_together(aim: str) -> None:
    assert hold(aim, 3, lots=4, together=True) >= 1


@pytest.mark.long  # of each bin every thing is enumerated and priced
@pytest.mark.timeout(600)
@pytest.mark.parametrize("aim", AIMS)
def test_on_many_bins(aim: str) -> None:
    assert hold(aim, 18, lots=7, together=False) >= 5
    assert hold(aim, 5, lots=4, together=True) >= 1
