"""The search finds what plain enumeration finds: the same accessories in the same order, the same scores.

The enumeration beside this file was written apart from the search, from the definitions. A longer run by hand:
`EXAMPLES=50 python -m pytest tests/matching/test_exactness.py`.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from random import Random

import enumeration
import generated
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.actions.desk import Desk
from matcher.matching.pools import stock_of
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import Catalogue

Entries = dict[str, tuple[str, ...]]
Question = tuple[Bin, Entries, Wishes]
TIMES = int(os.environ.get("EXAMPLES", "1"))
NEAR = 1e-9
LEVELS = (None, None, "quiet", "readable", "clear")
CHANCES = (None, 0.5, 0.5, 0.8, 0.999)
AROUND = [(0,), (0, 1), (1, 2), (2, 3), (3,), (3, 4), (4,), (4, 5), (5, 6)]


def examples(number: int) -> settings:
    return settings(
        max_examples=number * TIMES,
        deadline=None,
        derandomize=TIMES == 1,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )


def found_in(bin: Bin, catalogue: Catalogue, wishes: Wishes) -> list[Found]:
    stock = stock_of(Desk(bin, catalogue).shelf.pools, catalogue.together)
    scope = scope_of(Desk(Bin(()), catalogue).variants, wishes)
    return list(search_scope(searcher_of(stock, scope, catalogue), scope).found[: wishes.top])


def identity(found: Found, names: Sequence[str]) -> tuple[object, ...]:
    strands = tuple(tuple(sorted((names[place], count) for place, count in thread)) for thread in found.threads)
    return found.variant.accessory.key, found.variant.size, found.variant.gauge.stitches_10cm, strands


def agree(bin: Bin, entries: Entries, wishes: Wishes) -> int:
    """Hold the search against the enumeration; the length of the list."""
    catalogue = generated.cut(entries)
    plain = enumeration.Enumeration(
        bin,
        catalogue,
        chance=wishes.sure,
        least_contrast=wishes.least_contrast,
        held_together=wishes.held_together,
        lots=wishes.lots,
        garment=wishes.garment,
        sizes=wishes.sizes,
    )
    every = {one.identity: one for one in plain.all()}
    expected = plain.ranked(every.values(), wishes.each, wishes.top)
    found = found_in(bin, catalogue, wishes)
    assert [one.score for one in found] == pytest.approx([one.score for one in expected], abs=NEAR)
    for one, other in zip(found, expected, strict=True):
        # Of accessories that score alike to the ninth place, rounding decides which name comes first.
        assert one.variant.accessory.name == other.name or _tied(one.score, expected) > 1
    names = [pool.name for pool in plain.pools]
    chosen = [identity(one, names) for one in found]
    assert len(set(chosen)) == len(chosen), "the same assignment stands twice in the list"
    for one, chose in zip(found, chosen, strict=True):
        assert chose in every, "an assignment that is not allowed"
        assert one.score == pytest.approx(every[chose].score, abs=NEAR)
        assert one.sure == pytest.approx(every[chose].sure, abs=NEAR)
    return len(found)


def _tied(score: float, expected: Sequence[object]) -> int:
    return sum(abs(one.score - score) <= 2 * NEAR for one in expected)  # type: ignore[attr-defined]


@st.composite
def wishes(draw: st.DrawFn, together: bool) -> Wishes:
    return Wishes(
        sure=draw(st.sampled_from(CHANCES)),
        top=draw(st.sampled_from([1, 10, 10])),
        each=draw(st.sampled_from([1, 1, 3])),
        least_contrast=draw(st.sampled_from(LEVELS)),
        held_together=together,
    )


@st.composite
def questions(draw: st.DrawFn, most: int, roles: int, together: bool) -> Question:
    """A bin, a catalogue cut to what such yarn can become, and a wish."""
    classes = draw(st.sampled_from(AROUND))
    reached = tuple({up for one in classes for up in range(one, one + (4 if together else 1))})
    bin = draw(generated.bins(most, classes, least=most - 4))
    return bin, draw(generated.entries(reached, roles)), draw(wishes(together))


@given(questions(most=12, roles=3, together=False))
@examples(50)
def test_single_strands(question: Question) -> None:
    agree(*question)


@given(questions(most=6, roles=5, together=False))
@examples(25)
def test_single_strands_in_many_roles(question: Question) -> None:
    agree(*question)


@given(questions(most=5, roles=3, together=True))
@examples(60)
def test_strands_held_together(question: Question) -> None:
    agree(*question)


@pytest.mark.parametrize(("lots", "roles", "number"), [(12, 2, 10), (12, 3, 12), (8, 4, 10), (7, 5, 12)])
def test_single_strands_of_rich_bins(lots: int, roles: int, number: int) -> None:
    assert _rich(lots, roles, number, together=False) >= 3


@pytest.mark.parametrize(("lots", "roles", "number"), [(6, 1, 8), (6, 2, 10), (5, 3, 8)])
def test_strands_held_together_of_rich_bins(lots: int, roles: int, number: int) -> None:
    assert _rich(lots, roles, number, together=True) >= 3


def _rich(lots: int, roles: int, number: int, together: bool) -> int:
    """How many of the bins could become anything; every one of them is held against the enumeration."""
    made: list[int] = []

    @given(st.integers(0, 10**9), wishes(together))
    @examples(number)
    def hold(seed: int, wishes: Wishes) -> None:
        made.append(agree(*generated.rich(seed, lots, roles, together), wishes))

    hold()
    return sum(length > 0 for length in made)


@given(questions(most=6, roles=2, together=True), st.data())
@examples(40)
def test_a_lot_or_a_garment_that_must_be_used(question: Question, data: st.DataObject) -> None:
    bin, entries, wishes = question
    lots = data.draw(st.lists(st.sampled_from([lot.name for lot in bin.lots]), max_size=2, unique=True))
    garment = data.draw(st.sampled_from([None, *bin.garments]))
    agree(bin, entries, replace(wishes, lots=tuple(lots), garment=garment))


@given(st.integers(0, 10**9), st.integers(0, 5), st.booleans(), wishes(False))
@examples(20)
def test_one_of_many_lots_must_be_used(seed: int, place: int, owned: bool, wishes: Wishes) -> None:
    bin, entries = generated.rich(seed, 9, 2, False)
    wish = replace(wishes, garment="first") if owned else replace(wishes, lots=(bin.lots[place].name,))
    agree(bin, entries, wish)


@given(st.integers(0, 10**9), st.booleans(), wishes(True), st.randoms(use_true_random=False))
@examples(25)
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
