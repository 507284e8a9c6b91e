"""What can be made at all, whatever a bar kept out of the list: just what plain enumeration can make."""

from __future__ import annotations

from dataclasses import replace

import generated
from agreement import Question, enumerated, examples, outcome_in, questions, ready, without_tables
from hypothesis import given

from matcher.matching.ranking.near_miss import near_misses
from matcher.matching.ranking.search import can_be_made


def hold(question: Question) -> None:
    bin, entries, wishes = question
    wishes = replace(wishes, top=1, each=1)
    catalogue = generated.cut(entries)
    plain = enumerated(bin, catalogue, wishes)
    possible = {one.key for one in plain.all()}
    searcher, scope = ready(bin, catalogue, wishes)
    made = can_be_made(searcher, scope, outcome_in(bin, catalogue, wishes))
    assert made == possible
    near = [one.found.variant.accessory.key for one in near_misses(searcher, scope, catalogue, made)]
    assert len(set(near)) == len(near)
    assert not possible & set(near)


@given(questions(most=5, roles=3, together=False))
@examples(25)
def test_of_single_strands(question: Question) -> None:
    hold(question)


@given(questions(most=4, roles=2, together=True))
@examples(20)
def test_of_strands_held_together(question: Question) -> None:
    with without_tables():
        hold(question)
