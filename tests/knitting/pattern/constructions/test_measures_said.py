"""What is no plain tube says what it measures too: as the entry's zones say, but for whole repeats, stitches and rows."""

from __future__ import annotations

import re

import pytest
from listed import CATALOGUE, gauges, listed, page

from matcher.knitting.accessory import Zone
from matcher.knitting.pattern.pattern import Pattern

_CM = r"([\d.]+) cm"
_STANDS = f"Finished, it measures {_CM} around, and is {_CM} high"


def said(pattern: Pattern, words: str) -> list[float]:
    found = re.search(words, " ".join(page(pattern).split()))
    assert found is not None, words
    return [float(one) for one in found.groups()]


def zones(key: str) -> dict[str, Zone]:
    return {zone.name: zone for zone in CATALOGUE.accessories[key].zones}


def high(key: str, *names: str) -> float:
    heights = [zones(key)[name].height for name in names]
    return sum(one.in_cm(CATALOGUE.sizes, "") for one in heights if one is not None)


@pytest.mark.parametrize(
    ("key", "around", "names"), [("glasses-pouch", 18, ("pouch", "top")), ("pouch-tiny", 14, ("bag",))]
)
def test_a_pouch_says_how_wide_and_deep_it_is(key: str, around: float, names: tuple[str, ...]):
    for gauge in gauges(CATALOGUE.accessories[key]):
        assert said(listed(key, "", gauge), _STANDS) == [
            pytest.approx(around, abs=45 / gauge.stitches_10cm),  # a motif of eight stitches
            pytest.approx(high(key, *names), abs=11 / gauge.rows_10cm),
        ]


def test_flags_say_how_wide_and_long_they_are():
    pattern = listed("bunting")
    flag = pattern.fitted.parts[0] if pattern.fitted.parts[0].shape == "triangle" else pattern.fitted.extra[0][0]
    wide, deep, _ = said(pattern, f"each {_CM} wide and {_CM} high; the string is {_CM} long")
    assert wide == pytest.approx(flag.last * 10 / 22, rel=0.02)
    assert deep == pytest.approx(high("bunting", "flags"), abs=0.5)


def test_flaps_say_how_wide_they_are_and_how_far_they_hang():
    pattern = listed("hat-earflap", "adult medium")
    wide, deep = said(pattern, f"Each flap is {_CM} wide, and hangs {_CM} below the edge")
    names = [name for name in zones("hat-earflap") if "flaps" in name]
    heights = [zones("hat-earflap")[name].height for name in names]
    wanted = sum(one.in_cm(CATALOGUE.sizes, "adult medium") for one in heights if one is not None)
    assert deep == pytest.approx(wanted, abs=1.0)
    assert 5 < wide < 20


@pytest.mark.parametrize("size", CATALOGUE.accessories["yoke-two-colours"].sizes)
def test_a_yoke_says_how_far_round_it_is_below_and_above_and_how_high(size: str):
    pattern = listed("yoke-two-colours", size)
    below, neck, deep = said(pattern, f"measures {_CM} around .* and {_CM} around at the neck, and is {_CM} high")
    assert below == pytest.approx(pattern.fitted.parts[0].first * 10 / 22, abs=0.06)
    assert 0 < neck < below / 2
    heights = [zone.height for zone in pattern.accessory.zones if zone.height is not None]
    assert deep == pytest.approx(sum(one.in_cm(CATALOGUE.sizes, size) for one in heights), abs=2.0)
