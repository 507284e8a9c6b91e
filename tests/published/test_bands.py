"""Needs of adult hats, cowls and mitts against the lengths of common practice.

common_practice_lengths.csv: from memory, a sanity band whose upper part is what is bought rather than used.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import mid_gauge
from matcher.knitting.needs import needs_of
from matcher.store.catalogue.catalogue import load_catalogue

HERE = Path(__file__).parent
SIZE = "adult medium"
# An exempt entry is held against the bands of its kind; mitts against both kinds of mitts.
ITEMS = {"hat": ("hat",), "cowl": ("cowl, one loop",), "mitts": ("fingerless mitts, pair", "mittens, pair")}


def bands() -> dict[tuple[str, int], tuple[float, float]]:
    with (HERE / "common_practice_lengths.csv").open(encoding="utf-8", newline="") as file:
        return {
            (row["item"], int(row["class"])): (float(row["length_m_min"]), float(row["length_m_max"]))
            for row in csv.DictReader(file)
        }


BANDS = bands()
ENTRIES = [one for one in load_catalogue().accessories.values() if one.kind in ITEMS]


def lengths(entry: Accessory) -> dict[int, float]:
    """Metres of all roles in adult medium by class, at the middle of the class's gauges."""
    catalogue = load_catalogue()
    found = {}
    for number in entry.classes:
        gauge = mid_gauge(number, catalogue.fabric, catalogue.classes)
        needs = needs_of(entry, SIZE, gauge, catalogue.sizes, catalogue.motifs, catalogue.fabric)
        found[number] = sum(need.length_m for need in needs)
    return found


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.key)
def test_inside_the_band_or_says_why_not(entry: Accessory) -> None:
    if SIZE not in entry.sizes:
        assert entry.practice_exempt, "no adult size, and no word on it"
        return
    found = lengths(entry)
    if entry.practice:
        assert entry.practice in {item for item, _ in BANDS}
        compared = [number for number in entry.classes if (entry.practice, number) in BANDS]
        assert compared, f"none of the classes {entry.classes} has a band"
        for number in compared:
            low, high = BANDS[entry.practice, number]
            assert low <= found[number] <= high, f"class {number}: {found[number]:.0f} m, band {low:.0f}-{high:.0f} m"
        return
    assert entry.practice_exempt, "neither a practice nor a reason for having none"
    for item in ITEMS[entry.kind]:
        inside = [
            BANDS[item, number][0] <= metres <= BANDS[item, number][1]
            for number, metres in found.items()
            if (item, number) in BANDS
        ]
        assert not inside or not all(inside), f"lies inside every band of {item!r}, so it needs no exemption"


def test_there_is_something_to_compare() -> None:
    kinds = {entry.kind for entry in ENTRIES if entry.practice}
    assert kinds == set(ITEMS)
