"""Yokes: body and sleeves by the percentage system, bands that come out even, decreases between them."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from knitter import Knitted, Off
from listed import CATALOGUE, check, gauges, knitted, listed, page, sizes_of

from matcher.knitting.pattern.pattern import Bring, Pattern

KEYS = sorted(key for key, entry in CATALOGUE.accessories.items() if entry.kind == "yoke")
REPEAT = 12  # of every motif of these entries
SHARES = (3 / 4, 2 / 3, 3 / 5)  # what is left by a quarter, a third and two fifths


def one_of(pattern: Pattern) -> Off:
    (off,) = knitted(pattern)
    return off


def rounds(pattern: Pattern) -> list[Knitted]:
    return one_of(pattern).courses


def numbers_in(said: str, pattern: str) -> list[int]:
    """The numbers that a page says in a sentence of this shape, which it says once."""
    (found,) = re.finditer(pattern, said)
    return [int(one) for one in found.groups()]


@pytest.mark.parametrize(("key", "size"), sizes_of(KEYS))
def test_it_is_knitted_at_every_usual_gauge(key: str, size: str):
    for gauge in list(gauges(CATALOGUE.accessories[key]))[::3]:
        check(listed(key, size, gauge))


@pytest.mark.parametrize("size", CATALOGUE.accessories[KEYS[0]].sizes)
def test_body_sleeves_and_underarms_are_those_of_the_percentage_system(size: str):
    for gauge in gauges(CATALOGUE.accessories[KEYS[0]]):
        pattern = listed(KEYS[0], size, gauge)
        left, front, right, back = (step.stitches for step in pattern.pieces[0].steps() if isinstance(step, Bring))
        said = " ".join(page(pattern).split())
        body, sleeve = numbers_in(said, r"underarms on (\d+) stitches, .* up to there on (\d+),")
        (underarm,) = numbers_in(said, r"Put (\d+) stitches at each side of the body")
        assert left == right == sleeve - underarm
        assert front + back == body - 2 * underarm
        assert abs(front - back) <= 1
        joined = left + front + right + back
        assert joined == pattern.fitted.parts[0].first
        assert joined == pytest.approx(1.34 * body, abs=2)
        assert underarm == round(0.08 * body)
        assert sleeve == pytest.approx(0.33 * body, abs=2)


@pytest.mark.parametrize("key", KEYS)
def test_stitches_fall_by_a_quarter_a_third_and_two_fifths_each_in_one_round(key: str):
    courses = rounds(listed(key))
    falls = [course for course in courses if course.after != course.before]
    assert len(falls) == 3
    assert courses[0].before % REPEAT == falls[0].after % REPEAT == falls[1].after % REPEAT == 0
    assert falls[2].after % 4 == 0
    for fall, share, step in zip(falls, SHARES, (REPEAT, REPEAT, 4), strict=True):
        wanted = fall.before * share
        assert abs(fall.after - wanted) <= step
        assert len({work.colour for work in fall.works}) == 1  # in a plain round
        # The published rule: the i-th of k changes stands at floor(i n / k).
        at, places = 0, []
        for work in fall.works:
            at += 2 if work.op == "k2tog" else 1
            places += [at] if work.op == "k2tog" else []
        fewer = fall.before - fall.after
        assert places == [number * fall.before // fewer for number in range(1, fewer + 1)]


@pytest.mark.parametrize("key", KEYS)
def test_half_of_the_yoke_lies_below_the_first_decreases(key: str):
    sections = list(one_of(listed(key)).sections().items())
    below, above = sections[0][1], [course for _, part in sections[1:-1] for course in part]
    assert abs(len(below) - len(above)) <= 2
    assert sections[-1][0].startswith("Collar")


@pytest.mark.parametrize("key", KEYS)
def test_bands_are_whole_and_parted_by_plain_rounds(key: str):
    """Nothing of a band is cut where stitches fall: a round of one colour lies on either side."""
    courses = rounds(listed(key))
    for below, fall in pairwise(courses):
        if fall.after == fall.before:
            continue
        plain = len({work.colour for work in below.works}) == 1
        chart = [one for one in courses if one.section == below.section]
        shown = [tuple(colour for _, colour in one.shows[:REPEAT]) for one in chart]
        assert plain or _ends_a_band(shown)


def _ends_a_band(rows: list[tuple[str, ...]]) -> bool:
    """Whether somewhere else in the motif a plain row follows what stands at its end."""
    ends = rows[-3:]
    return (
        any(rows[at : at + 3] == ends and len(set(rows[at + 3])) == 1 for at in range(len(rows) - 3))
        or len(set(rows[-1])) == 1
    )


def test_main_brought_or_not_the_steps_are_the_same():
    for key in (one for one in KEYS if not one.endswith("brought")):
        own, brought = (page(listed(one)).partition("Take ")[2] for one in (key, f"{key}-main-brought"))
        assert own == brought
        assert "which you bring" in " ".join(page(listed(f"{key}-main-brought")).split())
        assert "counted here" in " ".join(page(listed(key)).split())
