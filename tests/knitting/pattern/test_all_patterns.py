"""Every entry of the catalogue is knitted from its printed page, and is what the entry says: yarn, widths and heights.

By default each entry in one size after the other, a class each; `-m long` knits all sizes at all gauges of all classes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

import pytest
from knitter import Off, knit
from likeness import metres, mirrored
from measures import misfits
from printed_page import read_page

from matcher.drawing.pattern_text import pattern_text
from matcher.knitting.accessory import Accessory
from matcher.knitting.construction import construction_of
from matcher.knitting.fabric import Gauge, gauges_of_class, mid_gauge
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric
ENTRIES = list(CATALOGUE.accessories.values())

LATER = ("bunting", "hat-earflap", "pouch-tiny", "socks-ankle", "socks-bed")
Case = tuple[Accessory, str, Gauge]


def some() -> Iterator[Case]:
    """Each entry in a few sizes, each at the middle of another of its classes, so that all sizes and classes come up."""
    for place, one in enumerate(ENTRIES):
        for number, weight in enumerate(one.classes[place % 2 :: 2]):
            size = one.sizes[(place + number) % len(one.sizes)]
            yield one, size, mid_gauge(weight, FABRIC, CATALOGUE.classes, one.firmness)


def every() -> Iterator[Case]:
    """All sizes at all usual gauges of all classes."""
    for one in ENTRIES:
        for size in one.sizes:
            for weight in one.classes:
                for gauge in gauges_of_class(weight, FABRIC, CATALOGUE.classes, one.firmness):
                    yield one, size, gauge


def named(case: Case) -> str:
    return f"{case[0].key}-{case[1]}-{case[2].stitches_10cm:.3g}"


def fitted_and_page(case: Case, style: Style) -> tuple[Fitted, str]:
    one, size, gauge = case
    fitted = as_listed(one, size, gauge, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC, CATALOGUE.fitting)
    return fitted, pattern_text(pattern_of(Making(one, fitted, FABRIC)), FABRIC, style=style)


def letters(role: str) -> str:
    return "MC" if role == "main" else "CC" + role.removeprefix("contrast ")


def check(case: Case) -> None:
    one, size, gauge = case
    fitted, page = fitted_and_page(case, Style())
    offs = knit(page)
    taken = metres(offs, gauge.loop_cm, gauge.loop_cm / FABRIC.Kw)
    needs = {letters(need.role): need.length_m - need.tail_m for need in needs_of_fitted(fitted, FABRIC)}
    if len(needs) == 1:
        needs = {"": needs.popitem()[1]}
    assert set(taken) == set(needs)
    if construction_of(one) != "socks":
        assert misfits(offs, one, size, gauge, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC) == []
    if one.key in LATER or one.kind == "yoke":
        return
    for colour, metre in taken.items():
        assert metre == pytest.approx(needs[colour], abs=rounding_m(fitted, gauge)), colour
    printed = read_page(page).colours
    assert len(printed) == len(needs)
    if construction_of(one) == "mitts":
        right, left = pair(offs)
        assert mirrored(right, left)


def rounding_m(fitted: Fitted, gauge: Gauge) -> float:
    """What the need leaves open [m]: whether a stitch that is added or taken away between two parts is counted with the
    round below or with the one above; and of a thumb, in which colour the stitch over its gap is cast on and taken away."""
    between = sum(abs(above.first - below.last) for below, above in pairwise(fitted.parts))
    gap = 2 if fitted.extra else 0
    return fitted.pieces * (between + gap) * gauge.loop_cm / 100.0 + 1e-9


def pair(offs: list[Off]) -> tuple[Off, Off]:
    """The right and the left piece."""
    hands = {side: [off for off in offs if re.search(rf"\b{side}\b", off.name, re.I)] for side in ("right", "left")}
    ((right,), (left,)) = hands.values()
    return right, left


@pytest.mark.parametrize("case", some(), ids=named)
def test_an_entry_is_knitted_from_its_page(case: Case):
    check(case)


@pytest.mark.long
@pytest.mark.parametrize("one", ENTRIES, ids=lambda one: one.key)
def test_an_entry_is_knitted_in_every_size_at_every_gauge(one: Accessory):
    for case in every():
        if case[0] is one:
            check(case)
