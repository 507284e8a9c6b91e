"""Pairs and triples that read well together: against plain enumeration with the slow judge, one pair at a time."""

from __future__ import annotations

from itertools import combinations

import pytest

from matcher.actions.desk import Desk
from matcher.matching.contrast import judge
from matcher.matching.palette import EACH, can_make_something, factors, read_together, readings
from matcher.matching.pools import stock_of
from matcher.matching.together import beside, factor, handling_of, thickness
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()


@pytest.fixture(scope="module")
def shelf():
    from matcher.actions.desk import read_bin
    from matcher.store.catalogue.catalogue import demo_folder

    return Desk(read_bin(demo_folder()), CATALOGUE).shelf


def useful(shelf):
    return can_make_something(shelf.pools, Desk(Bin(()), CATALOGUE).variants, CATALOGUE.together, CATALOGUE.fabric)


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
    """Of each lot that is left out, less is free than the shortest role at any gauge that suits its yarn takes."""
    kept = {pool.name for pool in useful(shelf)}
    left = [pool for pool in shelf.pools if pool.name not in kept]
    assert left
    variants = [variant for several in Desk(Bin(()), CATALOGUE).variants.values() for variant in several]
    for pool in left:
        suiting = [
            variant.shortest_m
            for variant in variants
            if 9.0
            <= pool.yarn.tex.mean**0.5 / variant.gauge.loop_cm
            <= 10.8  # the tightness window of fabric/constants.csv
        ]
        assert all(pool.free.mean < least for least in suiting), pool.name


def test_nothing_comes_of_nothing():
    shelf = Desk(Bin(()), CATALOGUE).shelf
    assert useful(shelf) == ()
    assert read_together((), 2, 5, CATALOGUE.contrast, CATALOGUE.together, CATALOGUE.vision) == ()
