"""The role that is filled first is the one for which there is least to choose from."""

from __future__ import annotations

import numpy as np

from matcher.matching.ranking.choices import Choices
from matcher.matching.ranking.descent import _few_first, _few_pools_first
from matcher.matching.ranking.role_list import RoleList


def held_together(role: int, pools: int, number: int) -> RoleList:
    """So many threads of two strands, made of so many pools."""
    first = np.arange(number) % pools
    strands = np.column_stack([first, (first + 1) % pools, first])
    nothing = np.zeros(number)
    colours, shares = np.zeros((number, 1), dtype=np.intp), np.ones((number, 1))
    count = np.tile([1.0, 1.0, 0.0], (number, 1))
    choices = Choices(strands, count, nothing, colours, shares, nothing, nothing)
    return RoleList(role, choices, nothing, np.arange(number), nothing[None], nothing, nothing, nothing[None])


def test_a_few_pools_make_many_threads_that_all_lack_the_same() -> None:
    many_threads, many_pools = held_together(0, 5, 60), held_together(1, 40, 40)
    assert [one.role for one in _few_first([many_threads, many_pools])] == [1, 0]
    assert [one.role for one in _few_pools_first([many_pools, many_threads])] == [0, 1]


def test_of_as_many_pools_the_one_with_fewer_threads_is_first() -> None:
    assert [one.role for one in _few_pools_first([held_together(0, 5, 20), held_together(1, 5, 10)])] == [1, 0]
