"""Shaping against the rules of the trade, seen in what the knitter has knitted from the page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from knitter import Knitted, Off, knit

from matcher.drawing.pattern_text import pattern_text
from matcher.knitting.accessory import Zone
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric
HAT = CATALOGUE.accessories["hat-striped"]
FEWEST_SECTIONS, MOST_SECTIONS = 6, 9  # common practice: knitting_practice crown_sections


def knitted(*parts: FittedPart) -> Off:
    """A tube of these parts off the needles, from its page."""
    gauge, first = Gauge.from_stitches(22.0, FABRIC), parts[0].first
    around = first / 2.2
    fitted = Fitted(gauge, first, 1, first, 0, parts, {}, around, around, 0.0, 0.0)
    zones = tuple(Zone(str(part.part), part.shape, part.structure) for part in parts)
    (off,) = knit(pattern_text(pattern_of(Making(replace(HAT, zones=zones), fitted, FABRIC)), FABRIC))
    return off


def hat(stitches: int, sections: int, rounds: int) -> list[Knitted]:
    """The rounds of a crown."""
    body = FittedPart("body", "stocking", stitches, stitches, 1, "main")
    off = knitted(body, FittedPart("crown", "stocking", stitches, sections, rounds, "main", shape="crown"))
    assert off.closed == ["draw"]
    return off.sections()["Crown"]


def changes_at(course: Knitted) -> list[int]:
    """Where its stitches are added or taken away, counted in those that were on the needle before."""
    found, at = [], 0
    for work in course.works:
        at += {"k2tog": 2, "ssk": 2, "p2tog": 2, "k": 1, "p": 1}.get(work.op, 0)
        if work.op in ("k2tog", "ssk", "p2tog", "m1l", "m1r"):
            found.append(at)
    return found


def floors(stitches: int, changes: int) -> list[int]:
    """The published rule: the i-th of k changes over n stitches stands at floor(i n / k)."""
    return [number * stitches // changes for number in range(1, changes + 1)]


@pytest.mark.parametrize("sections", range(FEWEST_SECTIONS, MOST_SECTIONS + 1))
@pytest.mark.parametrize("left_over", [0, 1, -1])
@pytest.mark.parametrize("plain", ["none", "some", "between all", "more"])
def test_a_crown_narrows_in_sections(sections: int, left_over: int, plain: str):
    stitches = 12 * sections + left_over
    times = 12 if left_over == 1 else 11
    rounds = times + {"none": 0, "some": 4, "between all": times - 1, "more": times + 2}[plain]
    crown = hat(stitches, sections, rounds)
    assert len(crown) == rounds
    narrowing = [place for place, course in enumerate(crown) if course.after != course.before]
    assert len(narrowing) == times
    assert crown[-1].after == sections
    taken = [crown[place].before - crown[place].after for place in narrowing]
    assert taken[1:] == [sections] * (times - 1)  # every section loses a stitch at once
    assert 1 <= taken[0] <= sections  # the first round brings an uneven count to a multiple of the sections
    gaps = [later - earlier for earlier, later in pairwise(narrowing)]
    assert gaps == sorted(gaps, reverse=True)  # every second round first, then every round near the top
    assert set(gaps) <= {1, 2}


@settings(deadline=None, max_examples=60)
@given(st.integers(FEWEST_SECTIONS, MOST_SECTIONS), st.integers(4, 14))
def test_sections_meet_at_the_top_in_straight_lines(sections: int, width: int):
    """The decreases of each round stand in the same sections, one above the other, evenly round."""
    for course in hat(sections * width, sections, 2 * (width - 1) - 1):
        if course.after != course.before:
            assert changes_at(course) == floors(course.before, sections)


@settings(deadline=None, max_examples=120)
@given(st.integers(8, 240), st.data())
def test_added_stitches_stand_where_the_published_rule_puts_them(below: int, data: st.DataObject):
    below *= 4 if below < 60 else 1
    more = data.draw(st.integers(1, below // 3), label="more")
    rib, body = FittedPart("rib", "rib", below - below % 4, below - below % 4, 3, "main"), below - below % 4 + more
    off = knitted(rib, FittedPart("body", "stocking", body, body, 3, "main"))
    assert _changing(off.courses) == [floors(rib.first, more)]


@settings(deadline=None, max_examples=120)
@given(st.integers(12, 240), st.data())
def test_stitches_taken_away_stand_where_the_published_rule_puts_them(body: int, data: st.DataObject):
    fewer = data.draw(st.integers(1, body // 4), label="fewer")
    top = body - fewer
    off = knitted(
        FittedPart("body", "stocking", body, body, 3, "main"), FittedPart("top", "garter", top, top, 3, "main")
    )
    assert _changing(off.courses) == [floors(body, fewer)]


def _changing(courses: Iterable[Knitted]) -> list[list[int]]:
    return [changes_at(course) for course in courses if course.after != course.before]
