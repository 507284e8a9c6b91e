"""What can be made at all, whatever a bar kept out of the list: just what plain enumeration can make."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any
from unittest import mock

import definitions
import generated
import pytest
from agreement import Question, enumerated, examples, in_small_steps, outcome_in, questions, ready
from hypothesis import given

from matcher.matching.ranking import among, found, made
from matcher.matching.ranking import search as searching
from matcher.matching.ranking.made import can_be_made
from matcher.matching.ranking.near_miss import near_misses
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import search, search_all, search_scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant


def hold(question: Question) -> None:
    bin, entries, wishes = question
    wishes = replace(wishes, top=1, each=1)
    catalogue = generated.cut(entries)
    plain = enumerated(bin, catalogue, wishes)
    possible = {one.key for one in plain.all()}
    searcher, scope = ready(bin, catalogue, wishes)
    made = can_be_made(searcher, scope, outcome_in(bin, catalogue, wishes))
    assert made == possible
    for key, several in scope.variants.items():
        any_of_it = search(searcher, several, scope.least[key], any_will_do=True)
        assert len(any_of_it) == len(search(searcher, several, scope.least[key])) == (key in possible)
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
    with in_small_steps():
        hold(question)


@given(questions(most=6, roles=2, together=True))
@examples(20)
def test_where_a_few_are_looked_at_first(question: Question) -> None:
    with mock.patch.multiple(among, _FEW=1, _TEX_STEPS=1, _LIGHTNESSES=1):
        hold(question)


def test_of_a_large_bin_most_is_settled_among_a_few_pools(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is kept out of the list by its bar alone is made of a few pools; the whole is searched for the others."""
    bin, _ = generated.rich(5, 1_300, 2, together=False)
    wishes = Wishes(sure=0.8, top=1, each=1, held_together=False)
    searcher, scope = ready(bin, generated.WHOLE, wishes)
    asked: list[int] = []

    def counted(searcher: Searcher, *rest: Any, **named: Any) -> object:
        asked.append(len(searcher.stock))
        return search_all(searcher, *rest, **named)

    monkeypatch.setattr(made, "search_all", counted)
    outcome = search_scope(searcher, scope)
    possible = can_be_made(searcher, scope, outcome)
    assert len(searcher.stock) > 1_000
    assert len(outcome.open) > 20
    among_all = [one for one in asked if one == len(searcher.stock)]
    assert len(asked) - len(among_all) == len(outcome.open)
    assert len(among_all) < len(outcome.open) / 2
    assert possible == {
        key for key in scope.variants if search(searcher, scope.variants[key], scope.least[key], any_will_do=True)
    }


def test_of_what_is_not_tried_to_the_end_it_is_not_said_that_it_cannot_be_made(monkeypatch: pytest.MonkeyPatch) -> None:
    bin, entries = generated.rich(2, 6, 3, together=True)
    wishes = Wishes(sure=0.999999, top=1, each=1)
    searcher, scope = ready(bin, generated.cut(entries), wishes)
    assert not can_be_made(searcher, scope, search_scope(searcher, scope))
    monkeypatch.setattr(found, "_MOST_LOOKED_AT", 0)
    outcome = search_scope(searcher, scope)
    assert outcome.untold
    assert can_be_made(searcher, scope, outcome) == outcome.untold
    # Of what a bar kept from being looked into it is asked anew.
    left_open = replace(outcome, untold=frozenset(), open=frozenset(entries))
    assert frozenset() < can_be_made(searcher, scope, left_open) <= outcome.untold


def looked_at(searcher: Searcher, several: Sequence[Variant], least: float) -> tuple[list[float], bool]:
    """The gauges in the order in which any assignment is looked for, and whether there is one."""
    gauges: list[float] = []

    class Told(searching.Block):
        def __init__(self, searcher: Searcher, variants: Sequence[Variant], least: float) -> None:
            gauges.append(variants[0].gauge.stitches_10cm)
            super().__init__(searcher, variants, least)

    with mock.patch.object(searching, "Block", Told):
        return gauges, bool(search(searcher, several, least, any_will_do=True))


def long_enough(bin_question: Question, key: str) -> Mapping[float, int]:
    """By gauge, how many pools have enough of a suiting yarn for every role, in the size that takes least."""
    bin, entries, wishes = bin_question
    catalogue = generated.cut(entries)
    plain = enumerated(bin, catalogue, wishes)
    most: dict[float, float] = {}
    for way in plain.ways[key]:
        if way.needs:
            takes = max(need.length_m for need in way.needs)
            most[way.gauge.stitches_10cm] = min(takes, most.get(way.gauge.stitches_10cm, takes))
    gauges = {way.gauge.stitches_10cm: way.gauge for way in plain.ways[key]}
    return {
        stitches: sum(
            pool.free.mean >= takes and definitions.suits(pool.yarn.tex.mean, gauges[stitches], catalogue)
            for pool in plain.pools
        )
        for stitches, takes in most.items()
    }


@pytest.mark.parametrize("seed", range(12))
def test_any_is_looked_for_first_where_most_lots_are_long_enough(seed: int) -> None:
    """And where it is found, no other gauge is looked at."""
    bin, entries = generated.rich(seed, 9, 2, together=False)
    wishes = Wishes(sure=0.5, top=1, each=1, held_together=False, least_contrast="quiet")
    searcher, scope = ready(bin, generated.cut(entries), wishes)
    alone = 0
    for key, several in scope.variants.items():
        number = long_enough((bin, entries, wishes), key)
        gauges, found = looked_at(searcher, several, scope.least[key])
        assert [number[one] for one in gauges] == sorted((number[one] for one in gauges), reverse=True)
        assert found or len(gauges) == len(number)
        alone += found and len(gauges) == 1 < len(number)
    assert alone or all(not looked_at(searcher, one, scope.least[key])[1] for key, one in scope.variants.items())
