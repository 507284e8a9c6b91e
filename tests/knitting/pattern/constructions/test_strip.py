"""Flat pieces and what becomes of them, read off the page and knitted."""

from __future__ import annotations

from itertools import pairwise

import pytest
from listed import CATALOGUE, check, gauges, knitted, listed, page, sizes_of

KEYS = ["bookmark", "coaster", "cowl-garter", "hair-tie", "key-fob", "neck-warmer", "pincushion"]
GARTER = [key for key in KEYS if key not in ("hair-tie", "pincushion")]


@pytest.mark.parametrize(("key", "size"), sizes_of(KEYS))
def test_it_is_knitted_at_every_usual_gauge(key: str, size: str):
    for gauge in gauges(CATALOGUE.accessories[key]):
        check(listed(key, size, gauge))


@pytest.mark.parametrize("key", KEYS)
def test_it_measures_what_the_entry_says(key: str):
    pattern = listed(key)
    zone, gauge, size = pattern.accessory.zones[0], pattern.fitted.gauge, pattern.fitted.size
    assert zone.around is not None
    assert zone.height is not None
    (off,) = knitted(pattern)
    assert off.times == zone.count
    garter = 1.95 if zone.structure == "garter" else gauge.rows_10cm / gauge.stitches_10cm  # rows a stitch is wide
    wide, high = (10 / gauge.stitches_10cm, 10 / (garter * gauge.stitches_10cm))
    repeat = 4 if zone.motif else 1
    assert abs(off.courses[0].after * wide - zone.around.in_cm(CATALOGUE.sizes, size)) <= repeat * wide / 2
    assert abs(len(off.courses) * high - zone.height.in_cm(CATALOGUE.sizes, size)) <= high


@pytest.mark.parametrize("key", GARTER)
def test_garter_is_knitted_in_every_row_and_ends_with_a_whole_ridge(key: str):
    (off,) = knitted(listed(key))
    assert {work.op for course in off.courses for work in course.works} <= {"k", "k2tog", "yo"}
    assert all(course.flat for course in off.courses)
    assert [course.wrong_side for course in off.courses] == [number % 2 == 1 for number in range(len(off.courses))]
    assert len(off.courses) % 2 == 0


def test_stocking_stitch_shows_knit_stitches_on_its_right_side():
    (off,) = knitted(listed("hair-tie"))
    assert {show for course in off.courses for show, _ in course.shows} == {"k"}


@pytest.mark.parametrize("size", CATALOGUE.accessories["neck-warmer"].sizes)
def test_buttonholes_are_made_on_the_right_side_evenly_spread(size: str):
    pattern = listed("neck-warmer", size)
    (off,) = knitted(pattern)
    (row,) = [course for course in off.courses if any(work.op == "yo" for work in course.works)]
    assert not row.wrong_side
    assert row.before == row.after
    at, holes = 0, []
    for work in row.works:
        holes += [at] if work.op == "yo" else []
        at += 2 if work.op == "k2tog" else 0 if work.op == "yo" else 1
    between = [then - one for one, then in pairwise(holes)]
    assert max(between) - min(between) <= 1
    assert abs(holes[0] - (row.before - holes[-1])) <= 2
    assert f"the {len(holes)} buttonholes" in page(pattern)
    rows_left = len(off.courses) - off.courses.index(row) - 1
    assert rows_left * 2 * 10 / (1.95 * pattern.fitted.gauge.stitches_10cm) == pytest.approx(4.0, abs=1.0)


def test_columns_stand_upright_on_both_squares():
    pattern = listed("pincushion")
    (off,) = knitted(pattern)
    assert off.times == 2
    assert any(course.wrong_side for course in off.courses)
    upright = {tuple(course.shows[::-1] if course.wrong_side else course.shows) for course in off.courses}
    assert len(upright) == 1
    colours = [colour for _, colour in next(iter(upright))]
    runs = [colours[at : at + 2] for at in range(0, len(colours), 2)]
    assert all(len(set(run)) == 1 for run in runs)
    assert all(one != then for one, then in pairwise(run[0] for run in runs))
    assert [len(chart.rows) for chart in pattern.charts] == [2]


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("cowl-garter", "Sew its two ends together"),
        ("neck-warmer", "sew a button under each"),
        ("key-fob", "Draw the strip through the ring"),
        ("hair-tie", "elastic"),
        ("pincushion", "Stuff it firmly"),
        ("bookmark", "It measures"),
        ("coaster", "It measures"),
    ],
)
def test_the_page_says_what_becomes_of_it(key: str, said: str):
    assert said in " ".join(page(listed(key)).split())
