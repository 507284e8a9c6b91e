"""A set that is stopped early is still sure enough and no more is claimed of it than is true; the same bin, the same set."""

from __future__ import annotations

import os
from itertools import count
from threading import Event, Thread

import pytest
from agreement import examples
from hypothesis import given
from hypothesis import strategies as st
from plain_sets import Problem, problems
from test_set_optimum import check, solved

from matcher.matching.sets.aims import AIMS
from matcher.matching.sets.rows import aside


@pytest.mark.parametrize("aim", AIMS)
@pytest.mark.parametrize("seconds", [0.0, 0.2])
def test_what_is_said_of_a_set_that_was_stopped_is_true(aim: str, seconds: float) -> None:
    @given(problems(aim, 5))
    @examples(3)
    def each(problem: Problem) -> None:
        if (best := solved(problem)) is not None:
            check(problem, problem.planner(seconds).plan(), *best)

    each()


@pytest.mark.parametrize("aim", AIMS)
def test_what_is_said_of_a_set_that_she_stopped_is_true(aim: str) -> None:
    """Whenever she has seen enough: at the first time of asking, or the seventh."""

    @given(problems(aim, 5), st.sampled_from((1, 2, 7)))
    @examples(3)
    def each(problem: Problem, asked: int) -> None:
        if (best := solved(problem)) is None:
            return
        times = count(1)
        planner = problem.planner(3600.0, lambda: next(times) >= asked)
        plan = planner.plan()
        check(problem, plan, *best)
        assert next(times) < 200  # it didn't go on
        assert planner.others(plan, 3) == []

    each()


@pytest.mark.parametrize("aim", AIMS)
def test_the_same_bin_gives_the_same_set(aim: str) -> None:
    @given(problems(aim, 4))
    @examples(3)
    def each(problem: Problem) -> None:
        one, other = (problem.planner(30.0).plan() for _ in range(2))
        assert [column.mark for column in one.columns] == [column.mark for column in other.columns]

    each()


def test_a_solver_that_is_at_work_is_left_behind() -> None:
    asked, ended = count(1), Event()

    def work() -> None:
        ended.wait(60)

    with pytest.raises(KeyboardInterrupt):
        aside(work, lambda: next(asked) >= 2)
    assert not ended.is_set()  # it was at it still
    ended.set()


def test_the_output_is_opened_again_after_several_at_once(capfd: pytest.CaptureFixture[str]) -> None:
    first, second = Event(), Event()
    looking = [Thread(target=aside, args=(one.wait,)) for one in (first, second)]
    for one in looking:
        one.start()
    first.set()
    looking[0].join()
    second.set()
    looking[1].join()
    os.write(1, b"heard")
    assert capfd.readouterr().out == "heard"
