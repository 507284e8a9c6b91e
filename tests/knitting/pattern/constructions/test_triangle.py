"""Kerchief and bunting: rows that widen at both edges alike, and flags that come together on one string."""

from __future__ import annotations

from itertools import pairwise

import pytest
from listed import CATALOGUE, check, gauges, knitted, listed, sizes_of

KEYS = ["bunting", "kerchief"]


@pytest.mark.parametrize(("key", "size"), sizes_of(KEYS))
def test_it_is_knitted_at_every_usual_gauge(key: str, size: str):
    for gauge in gauges(CATALOGUE.accessories[key]):
        check(listed(key, size, gauge))


@pytest.mark.parametrize("size", CATALOGUE.accessories["kerchief"].sizes)
def test_a_kerchief_widens_alike_at_both_edges_up_to_its_long_side(size: str):
    pattern = listed("kerchief", size)
    (off,) = knitted(pattern)
    assert off.courses[0].before == 3
    for one, then in pairwise(off.courses):
        assert then.before == one.after
        assert then.after - then.before in (0, 2)
    for course in off.courses:
        twice = [place for place, work in enumerate(course.works) if work.op == "kfb"]
        assert twice in ([], [0, len(course.works) - 2])  # what is made lies one stitch in, at either end
    zone, gauge = pattern.accessory.zones[0], pattern.fitted.gauge
    assert zone.around is not None
    assert zone.height is not None
    long, high = (one.in_cm(CATALOGUE.sizes, size) for one in (zone.around, zone.height))
    assert off.courses[-1].after * 10 / gauge.stitches_10cm == pytest.approx(long, abs=15 / gauge.stitches_10cm)
    assert len(off.courses) * 10 / (1.95 * gauge.stitches_10cm) == pytest.approx(high, abs=5 / gauge.stitches_10cm)


def test_flags_stand_evenly_along_their_string():
    (off,) = knitted(listed("bunting"))
    flags, string = (off.sections()[name] for name in ("Flags", "String"))
    rows = len(flags) // 6
    assert [course.number for course in flags] == [*range(1, rows + 1)] * 6
    wide = flags[-1].after
    along = string[0]
    assert (along.before, along.after) == (6 * wide, string[-1].after)
    works = [work.op for work in along.works]
    starts = [place for place in range(len(works)) if works[place] == "k" and (not place or works[place - 1] == "co")]
    assert len(starts) == 6
    assert all(works[place : place + wide] == ["k"] * wide for place in starts)
    gaps = [starts[0], *(then - one - wide for one, then in pairwise(starts)), len(works) - starts[-1] - wide]
    assert max(gaps) - min(gaps) <= 1
    assert sum(gaps) + 6 * wide == along.after
    assert off.closed == ["bind off"]
