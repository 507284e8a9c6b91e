"""A stock cut into parts in any way gives the list of the whole."""

from __future__ import annotations

from random import Random

import agreement
import numpy as np
import pytest
from agreement import agree, agree_on_rich, examples, questions
from hypothesis import given
from test_exactness_varied import agree_on_varied

from matcher.matching.pools import Stock
from matcher.matching.ranking.among import placed
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import Outcome
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds import cells, sample
from matcher.matching.rounds.parts import Ask, InTurn, search_parts


def cut(stock: Stock, seed: int) -> list[np.ndarray]:
    """The places of a stock in one to seven parts, rows in any order; some parts may be empty."""
    pick = Random(seed)
    number = pick.randint(1, 7)
    part = np.array([pick.randrange(number) for _ in range(len(stock))], dtype=np.intp)
    return [
        np.array(pick.sample(rows := np.flatnonzero(part == one).tolist(), len(rows)), dtype=np.intp)
        for one in range(number)
    ]


class OnlyNames:
    """A part as it comes from a file of its own: nothing is shared with the others but names."""

    def __init__(self, stock: Stock) -> None:
        self.stock = stock

    def __call__(self, rows: np.ndarray) -> Stock:
        part = self.stock.take(rows)
        order = np.random.default_rng(len(rows)).permutation(len(part.yarn_names))
        place = np.append(np.argsort(order), -1)
        names = tuple(part.yarn_names[at] for at in order)
        object.__setattr__(part, "yarns", place[part.yarns])
        object.__setattr__(part, "yarn_names", names)
        return part


def in_parts(searcher: Searcher, scope: Scope) -> Outcome:
    """What the search gives of a searcher's stock that was cut; told in the places of the stock."""
    stock = searcher.stock
    found = search_parts(Ask(OnlyNames(stock), scope, RULES[0]), cut(stock, len(stock)), InTurn())
    assert found.lots == len(stock)
    names = {pool.name: at for at, pool in enumerate(stock.pools)}
    return placed(found.outcome, np.array([names[pool.name] for pool in found.stock.pools], dtype=np.intp))


RULES: list[object] = []


@pytest.fixture(autouse=True, params=["cells of one", "two cells, and a poor sample"])
def cut_up(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The search of the agreement, in parts."""

    def remembered(stock: Stock, scope: Scope, rules: object) -> Searcher:
        RULES[:] = [rules]
        return searcher_of(stock, scope, rules)

    monkeypatch.setattr(agreement, "searcher_of", remembered)
    monkeypatch.setattr(agreement, "search_scope", in_parts)
    way = agreement.with_tables if request.param == "cells of one" else agreement.without_tables
    monkeypatch.setattr(agreement, "WAYS", (way,))
    if request.param != "cells of one":
        monkeypatch.setattr(cells, "_GROUPS", (1, 2))
        monkeypatch.setattr(sample, "_FIRST", (1, 1, 1))


@given(questions(most=7, roles=4, together=False))
@examples(10)
def test_single_strands(question: agreement.Question) -> None:
    agree(*question)


@given(questions(most=5, roles=3, together=True))
@examples(6)
def test_strands_held_together(question: agreement.Question) -> None:
    agree(*question)


@pytest.mark.parametrize(("lots", "roles", "together"), [(9, 2, False), (7, 3, False), (6, 2, True)])
def test_rich_bins(lots: int, roles: int, together: bool) -> None:
    assert agree_on_rich(lots, roles, 4, together)


@pytest.mark.parametrize("together", [False, True])
def test_varied_lists(together: bool) -> None:
    assert any(main >= 3 for main, _ in agree_on_varied(4 if together else 8, together))
