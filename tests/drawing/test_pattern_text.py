"""A pattern as plain text: what stands on it, and that nothing is parted that belongs together."""

from __future__ import annotations

import re

import pytest

from matcher.drawing.pattern_text import WIDE, pattern_text
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.cast_ons import Wearing, fits
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
BRITISH, AMERICAN = Style(british=True), Style(units="imperial")


def page(style: Style, key: str = "hat-stranded-band") -> str:
    one = CATALOGUE.accessories[key]
    motif = CATALOGUE.motifs[next(zone.motif for zone in one.zones if zone.motif)]
    gauge = Gauge.from_stitches(22.0, CATALOGUE.fabric)
    rule = CATALOGUE.fitting[one.kind]
    fitted = fits(Wearing(one, one.sizes[-1], CATALOGUE.sizes, gauge, CATALOGUE.fabric, rule), motif)[0]
    pattern = pattern_of(Making(one, fitted, CATALOGUE.fabric))
    return pattern_text(pattern, CATALOGUE.fabric, {"main": "navy, soft"}, style)


@pytest.mark.parametrize("key", ["hat-stranded-band", "mittens-three-colours"])
@pytest.mark.parametrize("style", [BRITISH, AMERICAN])
def test_lines_are_short_and_numbers_stay_with_their_units(style: Style, key: str):
    text = page(style, key)
    assert max(len(line) for line in text.splitlines()) <= WIDE
    assert not re.search(r"\b([Rr]ounds?|rows?)\n +\d", text)
    assert not re.search(r"\d\n {4}[a-z]|\w\n {4}(MC|CC\d)\b", text)


def test_a_colour_is_said_with_its_yarn_and_metres():
    assert re.search(r"^  MC: main, navy, soft, \d+ m, give or take \d+ m$", page(BRITISH), re.M)
    assert re.search(r"^  CC1: contrast 1, \d+ yd, give or take [\d.]+ yd$", page(AMERICAN), re.M)


def test_what_narrows_at_both_sides_stands_in_the_middle_of_its_chart():
    """A mitten's tip, of which two alike go round, and its gusset; a chart that keeps its width is full."""
    found = 0
    for grid in re.findall(r"((?:^ +\|.*\|.*\n)+)", page(BRITISH, "mittens-stranded"), re.M):
        for cells in re.findall(r"\|(.*)\|", grid):
            left, right = len(cells) - len(cells.lstrip()), len(cells) - len(cells.rstrip())
            assert abs(left - right) <= 2
            found += left > 0
    assert found > 10
