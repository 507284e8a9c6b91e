"""A large set: limits on every pool are as sure as asked together, and a bin is filled nearly as far as any set could."""

from __future__ import annotations

import numpy as np
import pytest
from agreement import examples
from hypothesis import given
from plain_sets import Problem, problems
from test_set_optimum import check, solved

from matcher.actions.desk import desk_of
from matcher.matching.pools import stock_of
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.sets.aims import AIMS, USE_UP, Aim, aim_of
from matcher.matching.sets.capacity import capacity_of
from matcher.matching.sets.ceiling import most_of_metres
from matcher.matching.sets.chance import Lengths, Standing, chance_of_set
from matcher.matching.sets.column import Takes
from matcher.matching.sets.filling import Filling
from matcher.matching.sets.planner import Planner
from matcher.matching.sets.selection import Rules, Selection
from matcher.matching.sets.wants import Asked, Want

SHARED, OWN = 0.18, 0.03


@pytest.mark.parametrize("sure", [0.5, 0.8, 0.95, 0.99])
@pytest.mark.parametrize("number", [1, 12, 300])
def test_a_set_that_reaches_every_limit_is_as_sure_as_asked(sure: float, number: int) -> None:
    rng = np.random.default_rng(number)
    lengths = Lengths(rng.uniform(10.0, 300.0, number), rng.uniform(0.02, 0.3, number))
    nothing = np.zeros(number)
    aim = Aim("use-up", None, 0.0, 0.0, rng.random(number), *[nothing] * 3)
    rules = Rules(lengths, Asked([None], 3, (), nothing, sure), aim)
    capacity = capacity_of(rules, SHARED, OWN)
    every = np.arange(number)
    metres = capacity.most_m / np.exp(SHARED * capacity.tension + 0.5 * OWN**2)
    takes = Takes(every, metres, np.full(number, SHARED), np.full(number, OWN))
    assert chance_of_set(lengths, [takes]) == pytest.approx(sure, abs=0.005)


def test_what_a_set_has_to_spare_is_what_it_could_take_more() -> None:
    lengths = Lengths(np.array([100.0, 40.0, 80.0]), np.array([0.05, 0.1, 0.2]))

    def things(more: float) -> list[Takes]:
        first = Takes(np.array([0, 1]), np.exp(more) * np.array([30.0, 15.0]), np.array([0.2, 0.2]), np.full(2, 0.03))
        return [first, Takes(np.array([0]), np.exp(more) * np.array([20.0]), np.array([0.25]), np.array([0.05]))]

    for sure in (0.6, 0.9, 0.99):
        spare = Standing(lengths, things(0.0)).to_spare(sure)
        assert chance_of_set(lengths, things(spare)) == pytest.approx(sure, abs=0.002)
    assert Standing(lengths, things(0.8)).to_spare(0.95) < 0


def test_the_demo_is_filled_nearly_as_far_as_any_set_could() -> None:
    desk = desk_of(None)
    stock = stock_of(desk.shelf.pools, desk.catalogue.together)
    scope = scope_of(desk.variants, Wishes())
    searcher = searcher_of(stock, scope, desk.catalogue)
    asked = Asked([None], int(desk.catalogue.ranking.of_one_accessory), [], searcher.usable_m, searcher.chance or 0.0)
    aim = aim_of(USE_UP, stock, desk.catalogue.ranking)
    marks = []
    for _ in range(2):
        one = Planner(searcher, [Want(scope.variants, scope.least)], asked, aim, 0.0)
        found: list[Selection] = []
        filling = Filling(one.rules, one.programme, one.source, found.append)
        filling.begin(np.inf)
        assert [whole.is_sure for whole in found] == [True]
        assert filling.best is found[0]
        assert filling.best.worth > 0.9 * most_of_metres(one.rules, one.programme.risk, len(scope.variants))
        marks.append([column.mark for column in filling.best.columns])
    assert marks[0] == marks[1]


@pytest.mark.parametrize("aim", AIMS)
def test_what_is_said_of_a_set_that_was_filled_is_true(aim: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Small sets as if they were large, held against every set there is."""
    monkeypatch.setattr("matcher.matching.sets.planner._LARGE", 1)
    begun: list[bool] = []

    class Watched(Filling):
        def go_on(self, best: Selection, end: float) -> None:
            super().go_on(best, end)
            begun.append(len(self.best) > 0)

    monkeypatch.setattr("matcher.matching.sets.planner.Filling", Watched)

    @given(problems(aim, 5))
    @examples(8)  # fewer leave too seldom anything to go on with
    def each(problem: Problem) -> None:
        if (best := solved(problem)) is not None:
            check(problem, problem.planner(30.0).plan(), *best)

    each()
    assert sum(begun) > 2
