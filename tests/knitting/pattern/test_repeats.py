"""A long row said shortly is the same row, and says what comes again once, wherever in the row it stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pytest

from matcher.knitting.pattern.courses import changed_evenly
from matcher.knitting.pattern.repeats import Item, Repeated, Run, said_shortly
from matcher.knitting.pattern.stitches import Stitch


def spelled_out(items: Sequence[Item]) -> Iterator[Stitch]:
    for one in items:
        if isinstance(one, Run):
            yield from (one.stitch,) * one.times
        else:
            yield from tuple(spelled_out(one.items)) * one.times


def runs_said(items: Sequence[Item]) -> int:
    return sum(1 if isinstance(one, Run) else runs_said(one.items) for one in items)


@pytest.mark.parametrize(("before", "after"), [(240, 156), (324, 240), (156, 96), (96, 100), (400, 333)])
def test_an_even_change_is_said_in_a_few_words(before: int, after: int):
    row = changed_evenly(before, after, "main")
    said = said_shortly(row)
    assert tuple(spelled_out(said)) == row
    assert runs_said(said) <= 6


def test_a_row_of_one_group_over_and_over_is_that_group():
    """Each ends as it begins, so that two runs meet."""
    (said,) = said_shortly(changed_evenly(240, 156, "main"))
    assert isinstance(said, Repeated)
    assert (said.times, runs_said(said.items)) == (12, 3)


def test_what_comes_again_amid_a_long_row_is_said_once():
    """Of 193 runs, of which 16 come 12 times behind the first one."""
    again = (*(Stitch("k2tog", "main"), Stitch("k", "main")) * 7, Stitch("k2tog", "main"), Stitch("p", "main"))
    row = (Stitch("sl", "main"), *again * 12)
    said = said_shortly(row)
    assert tuple(spelled_out(said)) == row
    assert runs_said(said) == 5
