"""Pouches: closed at the bottom, open at the top, with a base and a cord or without."""

from __future__ import annotations

import pytest
from listed import CATALOGUE, check, gauges, knitted, listed, page, sizes_of

KEYS = ["glasses-pouch", "pouch-tiny"]


@pytest.mark.parametrize(("key", "size"), sizes_of(KEYS))
def test_it_is_knitted_at_every_usual_gauge(key: str, size: str):
    for gauge in gauges(CATALOGUE.accessories[key]):
        check(listed(key, size, gauge))


def test_a_pouch_without_a_base_begins_closed_half_on_each_needle_or_is_sewn_up():
    for gauge in gauges(CATALOGUE.accessories["glasses-pouch"]):
        pattern = listed("glasses-pouch", "", gauge)
        first, said = pattern.fitted.parts[0].first, " ".join(page(pattern).split())
        assert (f"{first // 2} loops on each" in said) == (first % 2 == 0)
        assert ("Sew up the bottom" in said) == (first % 2 == 1)


def test_stitches_picked_up_round_the_base_make_the_bag():
    for gauge in gauges(CATALOGUE.accessories["pouch-tiny"]):
        bag, cord = knitted(listed("pouch-tiny", "", gauge))
        sections = bag.sections()
        base, first = sections["Base"], sections["Bag"][0]
        assert all(course.flat for course in base)
        assert not base[-1].wrong_side  # so that the yarn is where the picking up begins
        assert not any(course.flat for course in sections["Bag"])
        # All round the base is as far as round the bag, to a stitch a side.
        rows_high = len(base) * gauge.stitches_10cm / gauge.rows_10cm
        assert first.before == pytest.approx(2 * (base[0].before + rows_high), abs=4)
        assert cord.courses[0].before in (2, 3, 4, 5)
        assert not any(course.flat for course in cord.courses)


def test_the_cord_comes_out_where_it_goes_in():
    for gauge in gauges(CATALOGUE.accessories["pouch-tiny"]):
        bag, _ = knitted(listed("pouch-tiny", "", gauge))
        (row,) = [course for course in bag.courses if any(work.op == "yo" for work in course.works)]
        assert sum(work.op == "yo" for work in row.works) % 2 == 0
        assert row.before == row.after
        assert len(bag.courses) - bag.courses.index(row) > 3  # below the welt
