"""Entries of the catalogue as patterns and as their printed pages: what the tests of patterns start from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import pytest
from knitter import Off, knit

from matcher.drawing.pattern_text import pattern_text
from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import Gauge, gauges_of_class, mid_gauge
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.metres import needs_of_pattern
from matcher.knitting.pattern.pattern import Pattern
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric
USUAL = Gauge.from_stitches(22.0, FABRIC)


def listed(entry: Accessory | str, size: str = "", gauge: Gauge = USUAL) -> Pattern:
    """The pattern of an entry; its largest size if none is named."""
    one = CATALOGUE.accessories[entry] if isinstance(entry, str) else entry
    asked = (one, size or one.sizes[-1], gauge, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC, CATALOGUE.fitting)
    return pattern_of(Making(one, as_listed(*asked), FABRIC))


def page(pattern: Pattern, style: Style = PLAIN) -> str:
    return pattern_text(pattern, FABRIC, style=style)


def knitted(pattern: Pattern) -> list[Off]:
    """The pieces off the needles of the knitter who reads the page."""
    return knit(page(pattern))


def gauges(entry: Accessory) -> Iterator[Gauge]:
    """The usual gauges of all its classes."""
    for number in entry.classes:
        yield from gauges_of_class(number, FABRIC, CATALOGUE.classes, entry.firmness)


def middle(entry: Accessory, number: int) -> Gauge:
    """The middle of the usual gauges of one class."""
    return mid_gauge(number, FABRIC, CATALOGUE.classes, entry.firmness)


def sizes_of(keys: Iterable[str]) -> list[object]:
    """Each entry in each of its sizes, as cases of a test."""
    return [pytest.param(key, size, id=f"{key}, {size}") for key in keys for size in CATALOGUE.accessories[key].sizes]


def check(pattern: Pattern) -> None:
    """What holds of every pattern: a knitter finishes it, and it takes what its fit needs."""
    assert knitted(pattern)
    needs = {need.role: need for need in needs_of_fitted(pattern.fitted, FABRIC)}
    found = {need.role: need for need in needs_of_pattern(pattern, FABRIC)}
    assert found.keys() == needs.keys()
    for role, need in needs.items():
        assert found[role].float_m == pytest.approx(need.float_m), role
        assert found[role].length_m - found[role].tail_m == pytest.approx(need.length_m - need.tail_m), role
