"""A set is the best there is, by trying every set of small bins; and what is said of it when time is short is true."""

from __future__ import annotations

import pytest
from agreement import examples
from hypothesis import given
from plain_sets import MISSING, Problem, TooMany, problem, problems

from matcher.matching.sets.aims import AIMS, FEW
from matcher.matching.sets.planner import Plan

NEAR = 1e-6
TRIED = 4000


def check(problem: Problem, plan: Plan, certain: float, edge: float) -> None:
    """What is said of a set is true; `certain` and `edge` as `Problem.best` gives them."""
    every = {one.identity: one for one in problem.things}
    things = [every[problem.identity(column.want, column.found)] for column in plan.columns]
    total = problem.total(things)
    assert problem.allowed(things)
    assert plan.missing == problem.missing(things)
    assert plan.objective == pytest.approx(problem.worth(things), abs=NEAR)
    assert plan.sure == pytest.approx(problem.chance(things), abs=NEAR)
    assert plan.sure >= problem.sure - NEAR or not things
    assert total <= edge + NEAR
    assert plan.bound - MISSING * plan.missing >= certain - NEAR
    assert plan.bound >= plan.objective
    if plan.proved:
        assert total >= certain - NEAR
        assert plan.bound == pytest.approx(plan.objective, abs=NEAR)


def solved(problem: Problem) -> tuple[float, float] | None:
    try:
        return problem.best(TRIED)
    except TooMany:
        return None


def hold(aim: str, number: int, lots: int, together: bool) -> int:
    """Of how many problems the best set holds something; all that can be tried are held against every set."""
    made: list[int] = []

    @given(problems(aim, lots, together))
    @examples(number)
    def each(problem: Problem) -> None:
        if (best := solved(problem)) is None:
            return
        plan = problem.planner(30.0).plan()
        check(problem, plan, *best)
        assert plan.proved
        assert plan.objective - MISSING * plan.missing >= problem.greedy() - NEAR
        made.append(len(plan.columns))

    each()
    return sum(length > 1 for length in made)


@pytest.mark.parametrize("aim", AIMS)
def test_it_is_the_best_of_all_sets(aim: str) -> None:
    assert hold(aim, 6, lots=4, together=False) >= 1


@pytest.mark.parametrize("aim", AIMS)
def test_with_strands_held_together(aim: str) -> None:
    hold(aim, 3, lots=3, together=True)


@pytest.mark.parametrize("number", [8045717, 8338720])
def test_lots_that_only_strands_held_together_use_up_count_in_what_there_could_be(number: int) -> None:
    drawn = problem(number, FEW, 4, together=True)
    plan = drawn.planner(30.0).plan()
    check(drawn, plan, *drawn.best(TRIED))
    assert plan.proved


@pytest.mark.long  # of each bin every set is tried
@pytest.mark.parametrize("aim", AIMS)
@pytest.mark.timeout(600)
def test_it_is_the_best_of_all_sets_of_many_bins(aim: str) -> None:
    assert hold(aim, 15, lots=5, together=False) >= 3
    hold(aim, 4, lots=3, together=True)
