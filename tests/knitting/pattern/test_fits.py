"""Fits with motifs nobody drew, five hundred of them with `-m long`: the knitter knits each from its page, and it takes the yarn it should."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from knitter import Off, knit
from likeness import loops_and_floats, mirrored, pair, yarn_amiss
from listed import CATALOGUE, FABRIC, gauges

from matcher.drawing.pattern_text import pattern_text
from matcher.knitting.accessory import Accessory
from matcher.knitting.construction import construction_of
from matcher.knitting.fit.cast_ons import Wearing, fits
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.pattern import letter_of
from matcher.reasons.style import Style

MARKS = {".": "main", "x": "contrast 1", "o": "contrast 2", "+": "contrast 3"}
FITTED = [one for one in CATALOGUE.accessories.values() if construction_of(one) in ("tube", "mitts")]


@st.composite
def motifs(draw: st.DrawFn) -> Motif:
    wide, high = draw(st.integers(1, 12)), draw(st.integers(1, 14))
    used = "".join(draw(st.lists(st.sampled_from(list(MARKS)), min_size=2, max_size=4, unique=True)))
    rows = st.text(used, min_size=wide, max_size=wide)
    grid = tuple(draw(st.lists(rows, min_size=high, max_size=high)))
    seen = {mark for row in grid for mark in row}
    return Motif("random", "random", grid, {mark: role for mark, role in MARKS.items() if mark in seen})


@st.composite
def fitteds(draw: st.DrawFn) -> tuple[Accessory, Fitted]:
    one = draw(st.sampled_from(FITTED))
    gauge = draw(st.sampled_from(list(gauges(one))))
    wearing = Wearing(
        one, draw(st.sampled_from(one.sizes)), CATALOGUE.sizes, gauge, FABRIC, CATALOGUE.fitting[one.kind]
    )
    return one, draw(st.sampled_from(fits(wearing, draw(motifs()))))


def expected(fitted: Fitted) -> tuple[Counter[str], Counter[str], dict[str, int]]:
    """Loops, stitches passed and longest floats of each colour, counted round by round from the fit."""
    loops: Counter[str] = Counter()
    passed: Counter[str] = Counter()
    for _, row in fitted.rounds():
        for role in set(row):
            loops[letter_of(role)] += row.count(role)
            passed[letter_of(role)] += len(row) - row.count(role)
    return loops, +passed, {letter_of(role): longest for role, longest in fitted.longest_floats.items()}


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(fitteds(), st.booleans())
def test_what_is_printed_is_what_was_fitted(made: tuple[Accessory, Fitted], british: bool):
    check(made, british)


@pytest.mark.long  # two hundred pages are knitted stitch by stitch
@settings(deadline=None, max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(fitteds(), st.booleans())
def test_two_hundred_of_them(made: tuple[Accessory, Fitted], british: bool):
    check(made, british)


def check(made: tuple[Accessory, Fitted], british: bool) -> None:
    one, fitted = made
    pattern = pattern_of(Making(one, fitted, FABRIC))
    offs = knit(pattern_text(pattern, FABRIC, style=Style(british=british)))
    assert yarn_amiss(offs, fitted, FABRIC) == {}
    if construction_of(one) == "mitts":
        assert mirrored(*pair(offs))
    elif not fitted.extra:
        (off,) = offs
        as_charted(off, fitted)


def as_charted(off: Off, fitted: Fitted) -> None:
    """A tube, round by round: as many loops and floats of each colour as its chart shows, none of them longer."""
    loops, passed, longest = expected(fitted)
    single = len(fitted.roles) == 1
    knitted, floated = loops_and_floats([off])
    # Stitches that are added or taken away between two parts are so in the last round of the lower one.
    between = sum(abs(above.first - below.last) for below, above in pairwise(fitted.parts))
    for colour, count in ({"": loops.total()} if single else loops).items():
        assert abs(knitted[colour] - fitted.pieces * count) <= fitted.pieces * between
    assert floated == Counter({colour: fitted.pieces * count for colour, count in passed.items()})
    floats = [course.longest_floats for course in off.courses]
    for colour, most in longest.items():
        assert max((here.get(colour, 0) for here in floats), default=0) == (0 if single else most)
    assert len(off.courses) == len(fitted.rounds())
