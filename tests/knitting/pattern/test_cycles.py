"""Shaped rows that come again are said once: the same words, though on more stitches each time."""

from __future__ import annotations

import pytest

from matcher.knitting.pattern.counting import Needle
from matcher.knitting.pattern.cycles import blocks_of, cycle_at
from matcher.knitting.pattern.pattern import CastOn, Course, Step
from matcher.knitting.pattern.stitches import Stitch
from matcher.knitting.pattern.words import course_words


def row(number: int, stitches: int, wider: bool) -> Course:
    plain = [Stitch("k", "main")] * stitches
    if wider:
        plain = [Stitch("kfb", "main"), *plain[3:], Stitch("kfb", "main"), Stitch("k", "main")]
    return Course(tuple(plain), "garter", flat=True, wrong_side=number % 2 == 1)


def widening(rows: int, every: int) -> list[tuple[Step, int, int]]:
    needle, found, live = Needle(), [], 8
    needle.work(CastOn(live, "main", "garter"))
    for number in range(rows):
        course = row(number, live, wider=(number + 1) % every == 0)
        before = needle.live
        needle.work(course)
        live = needle.live
        found.append((course, before, live))
    return found


@pytest.mark.parametrize("every", [2, 3, 4])
def test_rows_that_widen_regularly_are_one_cycle(every: int):
    blocks = list(blocks_of(widening(12 * every, every)))
    assert cycle_at(blocks, 0) == (2, 12)  # plain rows are one block, the row that widens another


def test_a_row_that_widens_counts_only_what_stands_beside_the_long_run():
    assert str(course_words(row(0, 20, wider=True), several=False)) == "kfb, knit to the last 2 stitches, kfb, k1"
    assert (
        str(course_words(row(0, 20, wider=True), several=True)) == "with MC, kfb, knit to the last 2 stitches, kfb, k1"
    )
    assert str(course_words(row(0, 4, wider=True), several=False)) == "(kfb, k1) 2 times"


def test_an_odd_row_out_ends_the_cycle():
    rows = widening(12, 2)
    rows[7] = (row(7, rows[7][1], wider=False), rows[7][1], rows[7][1])
    assert cycle_at(list(blocks_of(rows)), 0) == (2, 3)
