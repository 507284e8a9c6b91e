"""Which pools belong together, pair by pair, against a look at every pair."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.matching.kindred import Kindred
from matcher.matching.ranking import mates
from matcher.matching.rounds.groups import best_mates, sharers_of

# Of each lot up to three garments, none twice, and a yarn; -1 for none.
LOTS = st.lists(
    st.tuples(st.lists(st.integers(0, 4), max_size=3, unique=True), st.integers(-1, 3)), min_size=1, max_size=9
)


def kindred_of(lots: list[tuple[list[int], int]]) -> Kindred:
    homes = np.array([home + [-1] * (3 - len(home)) for home, _ in lots])
    return Kindred(homes, np.array([yarn for _, yarn in lots]), 0.4)


def how_far(one: tuple[list[int], int], other: tuple[list[int], int]) -> float:
    if set(one[0]) & set(other[0]):
        return 1.0
    return 0.4 if one[1] == other[1] >= 0 else 0.0


@pytest.mark.parametrize("crowd", [64, 2])
def test_every_pair_is_listed_or_told_of(crowd: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mates, "_CROWD", crowd)

    @given(LOTS)
    def hold(lots: list[tuple[list[int], int]]) -> None:
        found = mates.mates_of(np.arange(len(lots)), kindred_of(lots))
        listed = dict(zip(zip(found.first.tolist(), found.second.tolist(), strict=True), found.kindred, strict=True))
        for one, other in np.ndindex(len(lots), len(lots)):
            far = how_far(lots[one], lots[other]) if one != other else 0.0
            assert listed.get((one, other), far if found.unlisted[one] >= far else -1.0) == far
        assert crowd == 2 or not found.unlisted.any()

    hold()


def test_no_thread_of_which_not_all_pairs_are_listed_belongs_to_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """Threads of two and three, as far as the least related two of their strands, and of these and any other pool."""
    monkeypatch.setattr(mates, "_CROWD", 3)
    further = Counter[bool]()

    def hold(lots: list[tuple[list[int], int]]) -> None:
        found = mates.mates_of(np.arange(len(lots)), kindred_of(lots))
        listed = set(zip(found.first.tolist(), found.second.tolist(), strict=True))
        threads = (one for number in (2, 3) for one in combinations(range(len(lots)), number))
        for thread in threads:
            pairs = list(combinations(thread, 2))
            if all(pair in listed for pair in pairs):
                continue
            own = min(how_far(lots[one], lots[other]) for one, other in pairs)
            for other in set(range(len(lots))) - set(thread):
                far = min(own, *(how_far(lots[one], lots[other]) for one in thread))
                assert far <= found.astray[list(thread)].min()
                further[far > found.unlisted[list(thread)].min()] += 1

    # Two of one large yarn, each from a garment of its own, beside what was left over from both garments.
    hold([([0], 0), ([1], 0), ([0, 1], -1), ([], 0), ([], 0), ([0, 1], 1)])
    assert further[True]
    given(LOTS)(hold)()


@given(LOTS, st.data())
def test_the_best_that_belongs_to_each(lots: list[tuple[list[int], int]], data: st.DataObject) -> None:
    drawn = data.draw(st.lists(st.integers(-2, 2), min_size=len(lots), max_size=len(lots)))
    values = np.array([float(one) if one > -2 else -np.inf for one in drawn])
    kindred = kindred_of(lots)
    found = best_mates(values[None], sharers_of(np.arange(len(lots)), kindred), 0.5)[0]
    for one, mine in enumerate(lots):
        others = ((how_far(mine, theirs), values[at]) for at, theirs in enumerate(lots) if at != one)
        assert found[one] == max((value + 0.5 * far for far, value in others if far > 0), default=-np.inf)


@given(LOTS)
def test_no_more_is_hoped_for_than_there_is_and_no_less(lots: list[tuple[list[int], int]]) -> None:
    """Of all together, and of those that a stock is cut to."""
    kindred = kindred_of(lots)
    for pools in (np.arange(len(lots)), np.arange(0, len(lots), 2)):
        for number in (1, 2, 3):
            most = kindred.most_among(pools, number)
            for place, one in enumerate(pools.tolist()):
                far = sorted((how_far(lots[one], lots[at]) for at in pools.tolist() if at != one), reverse=True)
                assert most[place] >= sum(far[:number]) - 1e-12
