"""A large stock is searched in two rounds; what comes out is what plain enumeration finds."""

from __future__ import annotations

import agreement
import pytest
from agreement import agree, agree_on_rich, agree_varied, examples, questions
from hypothesis import given
from test_exactness_varied import agree_on_varied, question

from matcher.matching.rounds import cells, lightness, pairs, sample, search
from matcher.matching.rounds.search import search_rounds


@pytest.fixture(autouse=True, params=["cells of one", "two cells", "one pool looked at"])
def in_rounds(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The search of the agreement, in rounds; so that small bins have cells of several, and first bars that are low."""
    monkeypatch.setattr(agreement, "search_scope", search_rounds)
    way = agreement.without_tables if request.param == "two cells" else agreement.with_tables
    monkeypatch.setattr(agreement, "WAYS", (way,))
    monkeypatch.setattr(pairs, "_FEW", 0)
    monkeypatch.setattr(search, "_MOST_BACK", 1.0)
    monkeypatch.setattr(search, "_MANY", 1 if request.param == "two cells" else 1_500)
    if request.param == "two cells":
        monkeypatch.setattr(cells, "_GROUPS", (1, 2))
        monkeypatch.setattr(lightness, "_MOST_APART", 1.1)  # so that lightness is always asked
    if request.param == "one pool looked at":
        monkeypatch.setattr(sample, "_FIRST", (1, 1, 1))


@given(questions(most=7, roles=4, together=False))
@examples(4)
def test_single_strands(question: agreement.Question) -> None:
    agree(*question)


@given(questions(most=5, roles=3, together=True))
@examples(3)
def test_strands_held_together(question: agreement.Question) -> None:
    agree(*question)


@pytest.mark.parametrize(("lots", "roles", "together"), [(9, 2, False), (7, 3, False), (6, 2, True)])
def test_rich_bins(lots: int, roles: int, together: bool) -> None:
    assert agree_on_rich(lots, roles, 3, together)


def test_varied_lists() -> None:
    assert any(main >= 3 for main, _ in agree_on_varied(4, False))


def test_a_varied_list_held_together() -> None:
    agree_varied(*question(1, True))  # one: plain enumeration takes minutes for some bins
