"""The search finds what plain enumeration finds where a lot must be used; and whatever the order of the rows."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import generated
from agreement import Question, agree, examples, found_in, questions, wishes
from hypothesis import given
from hypothesis import strategies as st

from matcher.matching.ranking.found import Found
from matcher.matching.ranking.scope import Wishes


@given(questions(most=6, roles=2, together=True), st.data())
@examples(20)
def test_a_lot_or_a_garment_that_must_be_used(question: Question, data: st.DataObject) -> None:
    bin, entries, wishes = question
    lots = data.draw(st.lists(st.sampled_from([lot.name for lot in bin.lots]), max_size=2, unique=True))
    garment = data.draw(st.sampled_from([None, *bin.garments]))
    agree(bin, entries, replace(wishes, lots=tuple(lots), garment=garment))


@given(st.sampled_from(range(10**9)), st.integers(0, 5), st.booleans(), wishes(False))
@examples(10)
def test_one_of_many_lots_must_be_used(seed: int, place: int, owned: bool, wishes: Wishes) -> None:
    bin, entries = generated.rich(seed, 9, 2, False)
    wish = replace(wishes, garment="first") if owned else replace(wishes, lots=(bin.lots[place].name,))
    agree(bin, entries, wish)


@given(st.sampled_from(range(10**9)), st.booleans(), wishes(True), st.randoms(use_true_random=False))
@examples(12)
def test_shuffled_rows_give_the_same_list(seed: int, like: bool, wishes: Wishes, order: Random) -> None:
    bin, entries = generated.rich(seed, 7, 2, True)
    if like:  # two of everything, so that many assignments score the same
        twins = (replace(lot, name=f"{lot.name} again", dye_lot="9") for lot in bin.lots)
        bin = replace(bin, lots=(*bin.lots, *twins))
    catalogue = generated.cut(entries)
    lots, garments = list(bin.lots), list(bin.garments.items())
    order.shuffle(lots)
    order.shuffle(garments)
    told = [_told(one) for one in found_in(bin, catalogue, wishes)]
    shuffled = replace(bin, lots=tuple(lots), garments=dict(garments))
    assert told == [_told(one) for one in found_in(shuffled, catalogue, wishes)]


def _told(one: Found) -> tuple[object, ...]:
    return one.score, one.sure, one.threads, one.variant.accessory.key, one.variant.size, one.variant.gauge
