"""How far colours of several parts are apart, against the same written plainly, one pair of colours at a time."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.materials.colours.apart import seen_apart
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.colours.difference import ciede2000_of_two

CODES = st.integers(0, 0xFFFFFF).map(lambda code: parse_colour(f"#{code:06x}", {}).parts[0][0])


@st.composite
def any_colour(draw: st.DrawFn) -> Colour:
    labs = draw(st.lists(CODES, min_size=1, max_size=4, unique=True))
    weights = draw(st.lists(st.integers(1, 20), min_size=len(labs), max_size=len(labs)))
    kind = "solid" if len(labs) == 1 else draw(st.sampled_from(["variegated", "heather"]))
    return Colour(kind, tuple((lab, weight / sum(weights)) for lab, weight in zip(labs, weights, strict=True)))


def one_way(a, b) -> float:
    return sum(share * min(ciede2000_of_two(x, y) for y, _ in b) for x, share in a)


@settings(deadline=None, max_examples=60)
@given(any_colour(), st.lists(any_colour(), min_size=1, max_size=4))
def test_it_is_what_plain_counting_gives(seen: Colour, lots: list[Colour]):
    whole, scrap = seen_apart(seen, lots, whole=True), seen_apart(seen, lots, whole=False)
    for place, lot in enumerate(lots):
        both = max(one_way(seen.parts, lot.parts), one_way(lot.parts, seen.parts))
        assert whole[place] == pytest.approx(both, abs=3e-4)
        assert scrap[place] == pytest.approx(one_way(seen.stitches(), lot.stitches()), abs=3e-4)


def test_a_scrap_may_show_some_of_the_colours_and_a_photograph_shows_all():
    lot = parse_colour("#a8304f 45%, #e9b7c0 35%, #5b2a4a 20%", {})
    end = parse_colour("#e9b7c0", {})
    assert seen_apart(end, [lot], whole=False)[0] == 0.0
    assert seen_apart(end, [lot], whole=True)[0] > 20.0


def test_a_scrap_of_a_heather_shows_its_mean():
    heather = parse_colour("heather #000000 50%, #ffffff 50%", {})
    assert seen_apart(parse_colour("#bcbcbc", {}), [heather], whole=False)[0] < 0.3
