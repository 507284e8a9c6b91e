"""The search finds what plain enumeration finds, with strands of different lots held together."""

from __future__ import annotations

import pytest
from agreement import Question, agree, agree_on_rich, examples, questions
from hypothesis import given


@given(questions(most=5, roles=3, together=True))
@examples(20)
def test_strands_held_together(question: Question) -> None:
    agree(*question)


@pytest.mark.parametrize(("lots", "roles", "number"), [(6, 1, 5), (6, 2, 4), (5, 3, 4)])
def test_strands_held_together_of_rich_bins(lots: int, roles: int, number: int) -> None:
    assert agree_on_rich(lots, roles, number, together=True) >= 3
