"""Needles against the yarn weight standard's ranges, and lengths that a round reaches round."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.needles import Needles, circular_cm, needle_mm, needles_of, rib_needle_mm
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric


@pytest.mark.parametrize(
    ("number", "per_4in"),
    [(one.number, at) for one in CATALOGUE.classes if 1 <= one.number <= 5 for at in (0.0, 0.5, 1.0)],
)
def test_the_size_lies_in_the_range_of_the_class(number: int, per_4in: float):
    weight = next(one for one in CATALOGUE.classes if one.number == number)
    in_4_inches = weight.gauge_min_4in + per_4in * (weight.gauge_max_4in - weight.gauge_min_4in)
    mm = needle_mm(Gauge.from_stitches(in_4_inches / 1.016, FABRIC), FABRIC)
    # Where the ranges of two classes overlap, the gauge may be the neighbour's.
    near = [one for one in CATALOGUE.classes if abs(one.number - number) <= 1]
    assert min(one.needle_mm_min for one in near) <= mm <= max(one.needle_mm_max for one in near)
    if per_4in == 0.5:
        assert weight.needle_mm_min <= mm <= weight.needle_mm_max


@given(st.floats(10, 34), st.floats(0.1, 4))
def test_a_finer_gauge_of_one_class_never_takes_a_thicker_needle(stitches: float, more: float):
    loose, tight = (Gauge.from_stitches(one, FABRIC) for one in (stitches, stitches + more))
    # Classes overlap by a stitch or two, and there the heavier one's needle may be a size thicker.
    assert needle_mm(tight, FABRIC) <= needle_mm(loose, FABRIC) + 0.5


def test_firm_socks_are_knitted_thinner_than_the_band_says():
    band, firm = Gauge.from_stitches(28, FABRIC), Gauge.from_stitches(32, FABRIC, 32 / 28)
    assert needle_mm(firm, FABRIC) < needle_mm(band, FABRIC)


def test_rib_is_half_a_millimetre_to_one_thinner():
    for mm in FABRIC.needles.diameters_mm:
        if 2 <= mm <= 10:
            assert 0.5 <= mm - rib_needle_mm(mm, FABRIC) <= 1.0


@given(st.integers(8, 400), st.floats(10, 34))
def test_a_circular_needle_is_never_longer_than_its_round(stitches: int, in_10cm: float):
    gauge = Gauge.from_stitches(in_10cm, FABRIC)
    around = stitches * 10 / in_10cm
    long, short = circular_cm(stitches, gauge, FABRIC), circular_cm(stitches, gauge, FABRIC, shortest=True)
    assert (long is None) == (short is None) == (around < 40)
    if long is not None and short is not None:
        assert short <= long <= around


def test_needles_in_words():
    needles = Needles(4.0, 3.5, (40.0,), double_pointed=True)
    said = "4 mm, circular, {long} long and double-pointed where it is too narrow for that; the same in 3.5 mm for the rib; "
    assert str(needles.words()) == said.format(long="40 cm") + "or the size that gives you the gauge"
    british = Style(units="imperial", british=True)
    assert british.say(needles.words()) == said.format(long="16 in") + "or the size that gives you the tension"


def fit(*stitches: int) -> Fitted:
    parts = tuple(FittedPart("tube", "stocking", one, one, 10, "main") for one in stitches)
    return Fitted(Gauge.from_stitches(20.0, FABRIC), stitches[0], 1, stitches[0], 0, parts, {}, 0.0, 0.0, 0.0, 0.0)


def test_a_longer_needle_is_told_where_the_widest_round_would_not_lie_on_the_shortest():
    """At 2 stitches to the cm: 80 stitches lie on 40 cm, and so do 200; 220 are 110 cm, more than two and a half times."""
    assert needles_of(fit(80, 200), FABRIC).circular_cm == (40.0,)
    assert needles_of(fit(220, 80), FABRIC).circular_cm == (40.0, 100.0)
    assert needles_of(fit(40, 60), FABRIC).circular_cm == ()
    assert "circular, 40 cm and 100 cm long" in str(needles_of(fit(220, 80), FABRIC).words())


def test_a_rib_has_needles_of_its_own_only_where_thinner_ones_are_sold():
    tight, usual = (
        replace(
            fit(80),
            gauge=Gauge.from_stitches(stitches, FABRIC),
            parts=tuple(FittedPart("tube", one, 80, 80, 10, "main") for one in ("rib", "stocking")),
        )
        for stitches in (60.0, 20.0)
    )
    thinnest = min(FABRIC.needles.diameters_mm)
    assert (needles_of(tight, FABRIC).mm, needles_of(tight, FABRIC).rib_mm) == (thinnest, None)
    assert "for the rib" not in str(needles_of(tight, FABRIC).words())
    rib_mm = needles_of(usual, FABRIC).rib_mm
    assert rib_mm is not None
    assert rib_mm < needles_of(usual, FABRIC).mm
