"""The laws of more and less yarn, of a search in rounds by itself."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import generated
import numpy as np
import pytest
import test_monotone as laws
from agreement import examples
from hypothesis import given
from hypothesis import strategies as st

from matcher.actions.desk import Desk
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Scope, Wishes, scope_of
from matcher.matching.rounds import cells, pairs, sample, search
from matcher.matching.rounds.search import search_rounds
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import Catalogue


@pytest.fixture(autouse=True)
def coarsely(monkeypatch: pytest.MonkeyPatch) -> None:
    """In rounds; cells of several pools, and first bars that are low, although the bins are small."""
    monkeypatch.setattr(laws, "search_scope", search_rounds)
    monkeypatch.setattr(cells, "_GROUPS", (1, 2))
    monkeypatch.setattr(sample, "_FIRST", (1, 1, 1))
    monkeypatch.setattr(pairs, "_FEW", 0)
    monkeypatch.setattr(search, "_MOST_BACK", 1.0)
    monkeypatch.setattr(search, "_MANY", 1)


def test_a_heavier_lot_never_gives_fewer() -> None:
    lists, shrank = laws.count(14, laws.heavier, laws.as_it_is)
    assert lists >= 3
    assert shrank >= 1


def test_more_reserve_never_gives_more() -> None:
    lists, shrank = laws.count(8, laws.by_hand, laws.more_by_hand)
    assert lists >= 3
    assert shrank >= 1


def test_a_garment_that_needs_more_never_gives_more() -> None:
    lists, shrank = laws.count(5, laws.kept("gone"), laws.kept("worn"), laws.kept("worn", plans=True))
    assert lists >= 2
    assert shrank >= 1


def test_to_be_surer_never_gives_more() -> None:
    shrank: list[int] = []

    @given(st.sampled_from(range(10**9)))
    @examples(6)
    def hold(seed: int) -> None:
        bin, catalogue, _, _ = laws.some_bin(seed)
        found = [laws.made(bin, catalogue, sure) for sure in (0.5, 0.8, 0.95, 0.999)]
        for less, more in pairwise(found):
            assert more <= less
        shrank.append(len(found[0]) - len(found[-1]))

    hold()
    assert sum(number > 0 for number in shrank) >= 1


def best(stock: Stock, scope: Scope, catalogue: Catalogue) -> dict[str, float]:
    """By accessory, what its best scores."""
    outcome = search_rounds(searcher_of(stock, scope, catalogue), scope)
    return {one.variant.accessory.key: one.score for one in outcome.chosen}


@pytest.mark.parametrize("together", [False, True])
def test_of_a_part_of_the_yarn_nothing_is_better_than_of_all(together: bool) -> None:
    """What a score hangs on is in the assignment alone, so that it stands as high in any stock that holds its yarn."""
    worse: list[bool] = []

    @given(st.sampled_from(range(10**9)))
    @examples(5 if together else 12)
    def hold(seed: int) -> None:
        pick = Random(seed)
        bin, entries = generated.rich(seed, 4 if together else 7, 2, together)
        catalogue = generated.cut(entries)
        stock = stock_of(Desk(bin, catalogue).shelf.pools, catalogue.together)
        wishes = Wishes(sure=0.5, top=laws.ALL, held_together=together)
        scope = scope_of(Desk(Bin(()), catalogue).variants, wishes)
        of_all = best(stock, scope, catalogue)
        rows = np.array(sorted(pick.sample(range(len(stock)), max(1, len(stock) - 2))), dtype=np.intp)
        of_some = best(stock.take(rows), scope, catalogue)
        assert set(of_some) <= set(of_all)
        for key, score in of_some.items():
            assert score <= of_all[key] + 1e-9, key
        worse.append(any(of_some.get(key, 0.0) < score - 1e-9 for key, score in of_all.items()))

    hold()
    assert any(worse)
