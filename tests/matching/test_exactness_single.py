"""The search finds what plain enumeration finds, with single strands."""

from __future__ import annotations

import pytest
from agreement import Question, agree, agree_on_rich, examples, questions
from hypothesis import given


@given(questions(most=12, roles=3, together=False))
@examples(20)
def test_single_strands(question: Question) -> None:
    agree(*question)


@given(questions(most=6, roles=5, together=False))
@examples(12)
def test_single_strands_in_many_roles(question: Question) -> None:
    agree(*question)


@pytest.mark.parametrize(("lots", "roles", "number"), [(12, 2, 5), (12, 3, 6), (8, 4, 5), (7, 5, 8)])
def test_single_strands_of_rich_bins(lots: int, roles: int, number: int) -> None:
    assert agree_on_rich(lots, roles, number, together=False) >= 3
