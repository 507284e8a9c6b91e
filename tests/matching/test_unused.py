"""A lot is used for nothing just where no assignment has it; it is said of no other."""

from __future__ import annotations

from unittest import mock

import generated
from agreement import Question, enumerated, examples, questions, ready
from hypothesis import given

from matcher.actions.desk import Desk
from matcher.matching.ranking import among, could_be, found
from matcher.matching.ranking.search import search_scope
from matcher.matching.ranking.unused import why_unused


def hold(question: Question) -> None:
    bin, entries, wishes = question
    catalogue = generated.cut(entries)
    plain = enumerated(bin, catalogue, wishes)
    first = {lot.name: pool.name for pool in plain.pools for lot in pool.lots}
    used = {name for one in plain.all() for name in one.lots}
    pools = Desk(bin, catalogue).shelf.pools
    searcher, scope = ready(bin, catalogue, wishes)
    for met in ((), search_scope(searcher, scope).met):
        unused = {one.lot for one in why_unused(pools, searcher, scope, met)}
        for lot in bin.lots:
            assert (lot.name in unused) == (first.get(lot.name) not in used), lot.name


@given(questions(most=5, roles=2, together=False))
@examples(25)
def test_of_single_strands(question: Question) -> None:
    hold(question)


@given(questions(most=4, roles=2, together=True))
@examples(20)
def test_of_strands_held_together(question: Question) -> None:
    hold(question)


@given(questions(most=4, roles=2, together=True))
@examples(15)
def test_where_not_all_is_tried_it_is_said_of_no_other(question: Question) -> None:
    bin, entries, wishes = question
    catalogue = generated.cut(entries)
    asked = Desk(bin, catalogue).shelf.pools, *ready(bin, catalogue, wishes)
    whole = {one.lot for one in why_unused(*asked, ())}
    with mock.patch.object(found, "_MOST_LOOKED_AT", 0):
        assert {one.lot for one in why_unused(*asked, ())} <= whole


@given(questions(most=6, roles=2, together=True))
@examples(20)
def test_where_a_few_are_looked_at_first(question: Question) -> None:
    with mock.patch.multiple(among, _FEW=1, _TEX_STEPS=1, _LIGHTNESSES=1), mock.patch.multiple(could_be, _SOME=1):
        hold(question)
