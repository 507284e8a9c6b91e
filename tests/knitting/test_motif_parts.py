"""What of a motif goes into so many rounds, against plain rules written apart."""

from __future__ import annotations

from itertools import groupby

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.knitting.motifs.parts import (
    bands,
    ground_of,
    place,
    shown,
    symmetric_part,
    whole_bands,
    with_plain_columns,
    without_plain_edges,
)
from matcher.store.catalogue.catalogue import load_catalogue

MOTIFS = load_catalogue().motifs
ROWS = st.lists(st.text(".xo", min_size=3, max_size=3), min_size=1, max_size=9).map(tuple)
STACK = settings(deadline=None, max_examples=150)


def within(part: tuple[str, ...], rows: tuple[str, ...]) -> bool:
    """Whether a part lies in the motif stacked upon itself."""
    stacked = rows * 3
    return any(stacked[start : start + len(part)] == part for start in range(len(rows) + len(part)))


@STACK
@given(ROWS, st.integers(1, 12))
def test_a_symmetrical_part_reads_alike_from_both_ends_and_has_room(rows: tuple[str, ...], most: int):
    part = symmetric_part(rows, most, ".")
    assert part == part[::-1]
    assert len(part) <= min(most, len(rows))
    assert within(part, rows)
    # One row is always symmetrical, so there is a part wherever a row shows anything.
    assert bool(part) is any(set(row) != {"."} for row in rows)


@STACK
@given(ROWS, st.integers(1, 12))
def test_no_symmetrical_part_in_as_many_colours_is_much_taller(rows: tuple[str, ...], most: int):
    part = symmetric_part(rows, most, ".")
    spans = [(rows * 3)[low : low + tall] for tall in range(1, min(most, len(rows)) + 1) for low in range(len(rows))]
    alike = [without_plain_edges(span, ".") for span in spans if span == span[::-1]]
    alike = [span for span in alike if set("".join(span)) != {"."}]
    tallest = max((len(span) for span in alike), default=0)
    assert 2 * len(part) >= tallest
    tall = [span for span in alike if 2 * len(span) >= tallest]
    assert len(set("".join(part))) == max((len(set("".join(span))) for span in tall), default=0)


@STACK
@given(ROWS, st.integers(1, 12))
def test_bands_are_cut_between_rows_of_one_colour(rows: tuple[str, ...], most: int):
    part = whole_bands(rows, most, ".")
    assert len(part) <= most
    if not part:
        return
    edged = ("one", *rows, "one")
    places = [at for at in range(1, len(rows) + 1) if edged[at : at + len(part)] == part]
    assert any(
        (edged[at - 1] == "one" or len(set(edged[at - 1])) == 1)
        and (edged[at + len(part)] == "one" or len(set(edged[at + len(part)])) == 1)
        for at in places
    )


@STACK
@given(ROWS, st.integers(1, 30), st.integers(0, 10), st.integers(0, 2))
def test_what_is_placed_has_room(rows: tuple[str, ...], rounds: int, spare: int, margin: int):
    placed = place(rows, ".", rounds, spare, margin)
    assert len(placed.rows) <= rounds + spare
    if placed.how in ("part", "bands", "middle"):
        assert len(placed.rows) <= max(1, rounds + spare - margin)
    if len(rows) <= rounds:
        assert placed.how == "whole"
        assert placed.rows == rows * (rounds // len(rows))
    elif placed.how == "trimmed":
        assert placed.rows == without_plain_edges(rows, ".")


def test_a_yoke_motif_in_the_room_of_a_hat():
    """The demo's yoke of 29 rows: whole without its plain edges in 26 rounds, cut alike at both ends in 16."""
    motif = MOTIFS["yoke-three"]
    ground = ground_of(motif)
    assert place(motif.grid, ground, 29).how == "whole"
    whole = place(motif.grid, ground, 16, spare=10)
    assert (whole.how, len(whole.rows)) == ("trimmed", 25)
    part = place(motif.grid, ground, 16)
    assert part.how == "part"
    assert part.rows == part.rows[::-1]
    assert {motif.roles[mark] for mark in "".join(part.rows)} == set(motif.role_names)


@pytest.mark.parametrize("key", sorted(MOTIFS))
@pytest.mark.parametrize("rounds", [8, 16, 26])
def test_every_motif_of_the_catalogue_finds_a_place(key: str, rounds: int):
    motif = MOTIFS[key]
    placed = place(motif.grid, ground_of(motif), rounds)
    assert 2 * len(placed.rows) >= min(rounds, motif.height) or placed.how == "part"


def test_plain_columns_go_on_in_a_row_of_one_colour():
    assert with_plain_columns(("xx.x", "oooo", "...."), 2, ".") == ("xx.x..", "oooooo", "......")
    assert with_plain_columns(("x.",), 0, ".") == ("x.",)


def test_of_parts_that_are_equal_the_lowest():
    rows = ("x.", "xx", ".x", "xx")
    assert symmetric_part(rows, 1, ".") == ("x.",)
    assert symmetric_part(rows[2:] + rows[:2], 1, ".") == (".x",)


@STACK
@given(ROWS, st.integers(2, 40))
def test_bands_lie_whole_between_plain_rounds(rows: tuple[str, ...], rounds: int):
    """The first and the last round are plain; what stands between plain rounds does so in the motif too."""
    told_rows, plain = bands(rows, rounds, "."), "..."
    assert len(told_rows) == rounds
    assert told_rows[0] == told_rows[-1] == plain
    if plain not in rows:
        return
    first = rows.index(plain)
    told = {"/".join(band) for band in _bands((*rows[first:], *rows[:first]), plain)}
    assert {"/".join(band) for band in _bands(told_rows, plain)} <= told


def _bands(rows: tuple[str, ...], plain: str) -> list[tuple[str, ...]]:
    """Runs of rows that are not plain."""
    found: list[list[str]] = [[]]
    for row in rows:
        if row == plain:
            found.append([])
        else:
            found[-1].append(row)
    return [tuple(band) for band in found if band]


@pytest.mark.parametrize("key", ["even-stripes", "narrow-stripes", "three-stripes"])
def test_stripes_on_the_ground_are_never_cut(key: str):
    """Of a stripe that is cut one lone round may be left, which looks like a mistake."""
    motif = MOTIFS[key]
    ground = ground_of(motif)
    whole = {(row, len(list(run))) for row, run in groupby(motif.grid)}
    for rounds in range(len(motif.grid), 12 * len(motif.grid)):
        rows = shown(motif.grid, ground, rounds).rows
        stripes = [(row, len(list(run))) for row, run in groupby(rows)]
        assert {one for one in stripes if one[0][0] != ground} <= whole
        assert {one for one in stripes[1:-1] if one[0][0] == ground} <= whole
        assert rounds - 1 <= len(rows) <= rounds
