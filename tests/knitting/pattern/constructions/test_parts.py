"""Entries of her own, of any zones: each comes as a pattern that can be knitted, whatever it is to be."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from listed import CATALOGUE, FABRIC, knitted, page
from test_as_listed import entries

from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory, Dimension, Role, Zone
from matcher.knitting.construction import construction_of
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.metres import needs_of_pattern
from matcher.knitting.pattern.pattern import Pattern


def made(entry: Accessory, motifs: dict[str, Motif], stitches: float) -> Pattern:
    gauge = Gauge.from_stitches(stitches, FABRIC)
    fitted = as_listed(entry, entry.sizes[0], gauge, CATALOGUE.sizes, motifs, FABRIC, CATALOGUE.fitting)
    return pattern_of(Making(entry, fitted, FABRIC))


def without_tails(pattern: Pattern) -> dict[str, float]:
    return {need.role: need.length_m - need.tail_m for need in needs_of_pattern(pattern, FABRIC)}


@settings(deadline=None, max_examples=20, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(entries(), st.sampled_from([10, 14, 18, 22, 26, 30, 34]))
def test_any_zones_are_knitted_from_their_page(one: tuple[Accessory, dict[str, Motif]], stitches: int):
    entry, motifs = one
    try:
        pattern = made(entry, motifs, stitches)
    except BadInput:
        assume(False)
    assert knitted(pattern)
    if construction_of(entry) != "parts":
        return
    needs = {need.role: need.length_m - need.tail_m for need in needs_of_fitted(pattern.fitted, FABRIC)}
    assert without_tails(pattern) == pytest.approx(needs)


def test_each_zone_is_a_piece_and_the_page_says_what_is_sewn_to_what():
    zones = (
        Zone("back", "flat", "garter", around=Dimension(cm=20), height=Dimension(cm=10), role="main"),
        Zone("cup", "tube", "stocking", around=Dimension(cm=20), height=Dimension(cm=8), role="main"),
        Zone("tips", "triangle", "garter", 3, around=Dimension(cm=7), height=Dimension(cm=6), role="main"),
    )
    entry = Accessory("own", "own thing", "small", ("one size",), (3,), (Role("main"),), zones)
    pattern = made(entry, {}, 22.0)
    offs = knitted(pattern)
    assert sorted((off.name, off.times) for off in offs) == [("Back", 1), ("Cup", 1), ("Tips", 3)]
    assert [off.closed for off in offs] == [["bind off"]] * 3
    said = " ".join(page(pattern).split())
    assert "Sew back to cup: their edges are both 20 cm long" in said


def test_of_two_crowns_each_is_a_piece_and_none_stands_on_the_other():
    """Twice as many tubes as the body stand at both its ends; what narrows can't."""
    zones = (
        Zone("cup", "tube", "stocking", around=Dimension(cm=20), height=Dimension(cm=8), role="main"),
        Zone("strap", "flat", "garter", around=Dimension(cm=5), height=Dimension(cm=10), role="main"),
        Zone("lids", "crown", "stocking", 2, around=Dimension(cm=20), height=Dimension(cm=6), role="main"),
    )
    entry = Accessory("own", "own thing", "small", ("one size",), (3,), (Role("main"),), zones)
    pattern = made(entry, {}, 22.0)
    assert {(off.name, off.times) for off in knitted(pattern)} == {("Cup", 1), ("Strap", 1), ("Lids", 2)}
