"""A motif that runs into a crown, against sections that are narrowed one by one."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from matcher.knitting.fit.crowns import kept, whole_crown
from matcher.knitting.fit.fitted import FittedPart


@given(st.integers(6, 9), st.integers(1, 12), st.integers(2, 20))
def test_each_section_loses_the_column_beside_its_last(sections: int, repeats: int, wide: int):
    """Sections of whole repeats: each round a section is its first columns and its last one."""
    each = repeats * wide
    part = FittedPart(
        "crown",
        "stranded",
        sections * each,
        sections,
        each - 1,
        rows=(("." * (wide - 1) + "x"),) * (each - 1),
        shape="crown",
    )
    rows = whole_crown(part).rows
    for number, row in enumerate(rows, start=1):
        worked = row[::-1]
        assert len(worked) == sections * (each - number)
        motif = ("x" + "." * (wide - 1)) * repeats
        assert worked == (motif[: each - number - 1] + motif[-1]) * sections


@given(st.integers(2, 200), st.data())
def test_what_is_kept_is_in_order_and_nothing_twice(before: int, data: st.DataObject):
    after = data.draw(st.integers(-(-before // 2), before))
    left = kept(range(before), after)
    assert len(left) == after
    assert left == sorted(set(left))
    assert not left or left[-1] == before - 1
