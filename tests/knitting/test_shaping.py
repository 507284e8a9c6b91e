"""Shaping round by round: it ends where it should, within the rounds, by steps that can be knitted."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.knitting.shaping import Change, by_round, changes_of, crown_end, frustum_end, spread, triangle_end
from matcher.store.catalogue.catalogue import load_catalogue

FABRIC = load_catalogue().fabric
LEAST, MOST, USUAL = 6, 9, 8
STITCHES = st.integers(1, 400)
ROUNDS = st.integers(1, 200)


def crown(first: int, rounds: int) -> tuple[int, ...]:
    return by_round("crown", first, crown_end(first, rounds, USUAL, LEAST, MOST), rounds)


def gaps(changes: tuple[Change, ...]) -> list[int]:
    """Plain rounds between one change and the next."""
    return [after.number - before.number - 1 for before, after in pairwise(changes)]


def test_the_catalogue_has_the_sections_of_common_practice():
    """Published row crown_sections: 6 to 9."""
    assert (FABRIC.crown_least_sections, FABRIC.crown_most_sections) == (LEAST, MOST)
    assert FABRIC.crown_end_stitches == USUAL


@given(st.integers(0, 600), st.integers(0, 600))
def test_evenly_is_the_published_rule(stitches: int, changes: int):
    """Published row decrease_rule: positions floor(i n / k); the runs between differ by at most one."""
    runs = spread(stitches, changes)
    assert len(runs) == changes
    if changes:
        assert [sum(runs[:number]) for number in range(changes)] == [n * stitches // changes for n in range(changes)]
        assert sum(runs) == stitches
        assert max(runs) - min(runs) <= 1


@given(STITCHES, ROUNDS)
def test_a_crown_closes_by_rounds_that_can_be_knitted(first: int, rounds: int):
    counts = crown(first, rounds)
    assert len(counts) == rounds
    assert all(after <= before <= 2 * after for before, after in pairwise((first, *counts)))
    # It can be drawn together wherever halving in every round would get there.
    assert counts[-1] <= MOST or counts[-1] == -(-first // 2**rounds)


@given(st.integers(10, 400), ROUNDS)
def test_a_crown_has_6_to_9_sections_and_a_stitch_fewer_in_each(first: int, rounds: int):
    counts = crown(first, rounds)
    changes, sections = changes_of(first, counts), counts[-1]
    if rounds < -(-first // MOST) - 1:
        return  # too few rounds for one stitch a section
    assert LEAST <= sections <= MOST
    assert all(one.by == -sections and one.before % sections == 0 for one in changes[1:])
    assert 0 < -changes[0].by <= sections
    assert changes[-1].number == rounds - 1
    # Every second round first, then every round, and never back; what is left over stands before the first.
    assert gaps(changes) == sorted(gaps(changes), reverse=True)
    assert set(gaps(changes)) <= {0, 1}
    if 0 in gaps(changes):
        assert changes[0].number == 0


@given(st.integers(10, 400), ROUNDS)
def test_a_crown_takes_the_sections_that_divide_its_stitches_where_the_rounds_allow(first: int, rounds: int):
    sections = crown_end(first, rounds, USUAL, LEAST, MOST)

    def suits(number: int) -> bool:
        times = -(-first // number) - 1
        return times <= rounds <= 2 * times + 1

    whole = [number for number in range(LEAST, MOST + 1) if suits(number) and first % number == 0]
    if whole:
        assert sections in whole
    elif suits(USUAL):
        assert sections == USUAL


@pytest.mark.parametrize(("first", "sections"), [(96, 8), (112, 7), (108, 9), (84, 7), (104, 8), (120, 6), (100, 8)])
def test_a_crown_of_rib_takes_the_sections_that_hold_whole_ribs(first: int, sections: int):
    rounds = 2 * (-(-first // sections) - 1)
    assert crown_end(first, rounds, USUAL, LEAST, MOST, 4) == sections


@pytest.mark.parametrize(
    ("first", "rounds", "expected"),
    [
        (96, 22, (88, 88, 80, 80, 72, 72, 64, 64, 56, 56, 48, 48, 40, 40, 32, 32, 24, 24, 16, 16, 8)),
        (14, 3, (14, 14, 7)),  # an egg cosy in thick yarn
        (100, 14, (96, 96, 88, 88, 80, 72, 64, 56, 48, 40, 32, 24, 16, 8)),
        (5, 2, (5, 5)),
        (40, 2, (20, 10)),
    ],
)
def test_crowns_by_hand(first: int, rounds: int, expected: tuple[int, ...]):
    assert crown(first, rounds) == (first,) * (rounds - len(expected)) + expected


@given(STITCHES, st.integers(1, 400), ROUNDS)
def test_a_tip_narrows_by_two_stitches_at_either_side(first: int, wanted: int, rounds: int):
    last = frustum_end(first, min(wanted, first))
    counts = by_round("frustum", first, last, rounds)
    changes = changes_of(first, counts)
    assert all(after <= before <= 2 * after for before, after in pairwise((first, *counts)))
    assert (first - last) % 4 == 0
    assert last == first or last >= 4
    assert abs(last - wanted) <= 2 or first < 8 or wanted < 6 or wanted > first
    if (first - last) // 4 <= rounds:
        assert counts[-1] == last
        assert {one.by for one in changes} <= {-4}
        spaced = [changes[0].number, *gaps(changes)] if changes else []
        assert spaced[1:] == sorted(spaced[1:], reverse=True)
        assert not spaced or max(spaced) - min(spaced) <= 1


@given(st.integers(1, 40), st.integers(1, 400), ROUNDS)
def test_a_triangle_gains_a_stitch_at_either_edge(first: int, wanted: int, rows: int):
    last = triangle_end(first, max(first, wanted))
    counts = by_round("triangle", first, last, rows)
    assert abs(last - max(first, wanted)) <= 1
    assert counts[-1] == last
    assert rows == 1 or counts[0] == first
    assert all(one.by > 0 and one.by % 2 == 0 for one in changes_of(counts[0], counts))
    for number, stitches in enumerate(counts[: rows - 1]):
        assert abs(stitches - (first + (last - first) * number / (rows - 1))) <= max(3.0, 0.04 * (last - first))
    assert by_round("triangle", last, first, rows)[::-1] == counts or rows == 1


@pytest.mark.parametrize(("last", "rows"), [(175, 125), (23, 43), (131, 97), (97, 91), (243, 173)])
def test_a_triangle_widens_in_rows_that_come_again(last: int, rows: int):
    """All but some rows at the point are one short rule over and over, so that it can be knitted without counting."""
    counts = by_round("triangle", 3, last, rows)
    gains = [after > before for before, after in pairwise(counts)]
    over = [
        next(place for place in range(rows) if gains[place:-cycle] == gains[place + cycle :]) for cycle in range(1, 9)
    ]
    assert min(over) <= 0.15 * rows


@settings(max_examples=50)
@given(st.integers(8, 100), st.integers(0, 24), st.integers(25, 60))
def test_what_widens_is_what_narrows_read_downwards(first: int, times: int, rounds: int):
    wide = first + 4 * times
    down = (wide, *by_round("frustum", wide, first, rounds))
    assert (first, *by_round("frustum", first, wide, rounds)) == down[::-1]


@given(st.sampled_from(["tube", "flat", "piece"]), STITCHES, ROUNDS)
def test_what_is_not_shaped_stays_as_it_is(shape: str, first: int, rounds: int):
    assert by_round(shape, first, first, rounds) == (first,) * rounds


def test_a_thumb_gusset_grows_by_two_in_every_third_round():
    """Published row thumb_gusset: two stitches every third round; from 3 to 15 in 19 rounds."""
    assert gaps(changes_of(3, by_round("triangle", 3, 15, 19))) == [2] * 5
