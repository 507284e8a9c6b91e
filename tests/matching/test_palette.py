"""Pairs and triples that read well together: against plain enumeration with the slow judge, one pair at a time."""

from __future__ import annotations

import math
from itertools import combinations

import definitions
import pytest

from matcher.actions.desk import Desk, read_bin
from matcher.actions.keeping.triage import triage
from matcher.matching.contrast import judge
from matcher.matching.palette import ALONE, EACH, STRAND, factors, read_together, readings, uses_of
from matcher.matching.pools import stock_of
from matcher.matching.together import beside, factor, handling_of, thickness
from matcher.materials.lots import Bin
from matcher.materials.uncertain import normal_z
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.catalogue.folders import demo_folder

CATALOGUE = load_catalogue()


@pytest.fixture(scope="module")
def shelf():
    return Desk(read_bin(demo_folder()), CATALOGUE).shelf


LEAST_Z = normal_z(CATALOGUE.ranking.sure_at_least)


def uses(shelf) -> dict[str, str]:
    found = uses_of(shelf.pools, Desk(Bin(()), CATALOGUE).variants, CATALOGUE.fabric, LEAST_Z)
    return {pool.name: use for pool, use in zip(shelf.pools, found, strict=True)}


def useful(shelf):
    found = uses(shelf)
    return [pool for pool in shelf.pools if found[pool.name] == ALONE]


def worth_of(a, b) -> float:
    verdicts = (thickness(a.yarn.tex.mean, b.yarn.tex.mean, CATALOGUE.together),)
    verdicts += beside(*(handling_of(one.yarn, CATALOGUE.together) for one in (a, b)))
    return factor(verdicts, CATALOGUE.together)


def test_readings_are_those_of_the_judge(shelf):
    stock = stock_of(shelf.pools, CATALOGUE.together)
    table = readings(stock, CATALOGUE.contrast, CATALOGUE.vision)
    goes = factors(stock, CATALOGUE.together)
    # Every seventh pair, and all those of yarns of several colours.
    for number, (a, b) in enumerate(combinations(range(len(stock.pools)), 2)):
        one, other = stock.pools[a], stock.pools[b]
        if number % 7 == 0 or len(one.colour.stitches()) > 1:
            judged = judge(one.colour, other.colour, CATALOGUE.vision, CATALOGUE.contrast, "readable")
            assert table[a, b] == table[b, a] == pytest.approx(judged.reading, abs=1e-9), (one.name, other.name)
            assert goes[a, b] == pytest.approx(worth_of(one, other)), (one.name, other.name)


@pytest.mark.parametrize("number", [2, 3])
def test_the_list_is_that_of_plain_enumeration(shelf, number: int):
    pools = sorted(useful(shelf), key=lambda one: one.name)[:16]
    reads = {
        (a.name, b.name): judge(a.colour, b.colour, CATALOGUE.vision, CATALOGUE.contrast, "readable").reading
        for a, b in combinations(pools, 2)
    }
    ranked = []
    for group in combinations(pools, number):
        sides = list(combinations(group, 2))
        reading, together = min(reads[a.name, b.name] for a, b in sides), min(worth_of(a, b) for a, b in sides)
        if reading >= 0.5 and together > 0:
            metres = min(one.free.mean for one in group)
            ranked.append((-round(reading * together, 6), -metres, [one.name for one in group]))
    wanted, times = [], dict.fromkeys((one.name for one in pools), 0)
    for _, _, names in sorted(ranked):
        if all(times[name] < EACH for name in names):
            wanted.append(set(names))
            for name in names:
                times[name] += 1
    found = read_together(pools, number, 6, CATALOGUE.contrast, CATALOGUE.together, CATALOGUE.vision)
    assert [{pool.name for pool in one.pools} for one in found] == wanted[:6]
    assert len(found) >= 4
    for one in found:
        light = [sum(lab[0] * share for lab, share in pool.colour.stitches()) for pool in one.pools]
        assert light == sorted(light)
        assert one.worth == pytest.approx(one.reading * one.together)


def test_only_what_can_make_something_is_offered(shelf):
    """Of each lot that is left out, too little is free for any role at a gauge that suits its yarn; of the others enough."""
    kept = {pool.name for pool in useful(shelf)}
    assert 0 < len(kept) < len(shelf.pools)
    variants = [variant for several in Desk(Bin(()), CATALOGUE).variants.values() for variant in several]
    for pool in shelf.pools:
        suiting = [variant for variant in variants if definitions.suits(pool.yarn.tex.mean, variant.gauge, CATALOGUE)]
        # The chance by itself, on the logarithm, from each need's own doubt; the rule takes the largest at a gauge.
        sure = [
            math.log(pool.free.mean / need.length_m)
            >= LEAST_Z * math.hypot(definitions.on_logarithm(pool.free), need.shared_sd, need.own_sd)
            for variant in suiting
            for need in variant.filled
        ]
        assert any(sure) == (pool.name in kept), pool.name


def test_what_can_only_be_a_strand_is_what_triage_says_of_it(shelf):
    """The demo's mohair: no gauge suits it alone, and held with another yarn there is enough of it."""
    found = uses(shelf)
    assert found["dusty pink mohair"] == STRAND
    advice = triage(read_bin(demo_folder()), catalog=None).advice
    strands = {one.lot.name for one in advice if "hold together with another yarn" in str(one.because)}
    assert "dusty pink mohair" in strands
    assert {found[name] for name in strands} == {STRAND}
    assert {found[pool.name] for pool in shelf.pools if all(lot.name not in strands for lot in pool.lots)} <= {
        ALONE,
        "",
    }


def test_nothing_comes_of_nothing():
    shelf = Desk(Bin(()), CATALOGUE).shelf
    assert useful(shelf) == []
    assert read_together((), 2, 5, CATALOGUE.contrast, CATALOGUE.together, CATALOGUE.vision) == ()
