"""Every entry of the catalogue is knitted from its printed page, and is what the entry says: yarn, widths and heights.

By default each entry in one size after the other, a class each; `-m long` knits all sizes and all gauges of all classes.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from knitter import knit
from likeness import beside_needs, mirrored, pair, untold_floats, yarn_amiss
from listed import CATALOGUE, FABRIC, gauges, listed, middle
from listed import page as page_of
from measures import cut_m, misfits, rounding_share
from printed_page import read_page

from matcher.knitting.accessory import Accessory
from matcher.knitting.construction import construction_of
from matcher.knitting.fabric import Gauge
from matcher.knitting.needs import needs_of

ENTRIES = list(CATALOGUE.accessories.values())

Case = tuple[Accessory, str, Gauge]


def some() -> Iterator[Case]:
    """Each entry in a few sizes, each at the middle of another of its classes, so that all sizes and classes come up."""
    for place, one in enumerate(ENTRIES):
        for number, weight in enumerate(one.classes[place % 2 :: 2]):
            size = one.sizes[(place + number) % len(one.sizes)]
            yield one, size, middle(one, weight)


def every(one: Accessory) -> Iterator[Case]:
    """All sizes and all usual gauges of all classes: each gauge in every third size, each size at every third gauge."""
    apart = min(3, len(one.sizes))
    for place, size in enumerate(one.sizes):
        for number, gauge in enumerate(gauges(one)):
            if (place + number) % apart == 0:
                yield one, size, gauge


def named(case: Case) -> str:
    return f"{case[0].key}-{case[1]}-{case[2].stitches_10cm:.3g}"


def check(case: Case) -> None:
    one, size, gauge = case
    pattern = listed(one, size, gauge)
    fitted, page = pattern.fitted, page_of(pattern)
    offs = knit(page)
    assert misfits(offs, one, size, gauge, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC) == []
    assert yarn_amiss(offs, fitted, FABRIC) == {}
    told = needs_of(one, size, gauge, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC)
    share = rounding_share(one, size, gauge, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC)
    cut = cut_m(one, size, gauge, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC)
    for knitted, needed in beside_needs(offs, gauge, told, FABRIC).values():
        assert abs(knitted - needed) <= share * needed + cut  # what a suggestion says
    printed = read_page(page)
    assert len(printed.colours) == len(fitted.roles)
    assert untold_floats(offs, printed.notes.get("Before you begin", [])) == {}
    if construction_of(one) == "mitts":
        right, left = pair(offs)
        assert mirrored(right, left)


@pytest.mark.parametrize("case", list(some()), ids=named)
def test_an_entry_is_knitted_from_its_page(case: Case):
    check(case)


@pytest.mark.long  # hundreds of pages are knitted stitch by stitch
@pytest.mark.parametrize("one", ENTRIES, ids=lambda one: one.key)
def test_an_entry_is_knitted_in_every_size_and_at_every_gauge(one: Accessory):
    for case in every(one):
        check(case)
