"""Yokes against the percentage system of the seamless sweater, and rib against weighed swatches.

yoke_and_rib.csv: each figure with how it was obtained.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import PLAIN, Gauge, mid_gauge, piece_length
from matcher.knitting.needs import needs_of
from matcher.knitting.shapes import ZoneShape, zone_shape
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC, SIZES = CATALOGUE.fabric, CATALOGUE.sizes
YOKES = [one for one in CATALOGUE.accessories.values() if one.kind == "yoke"]
EASE = 1.08  # of the body over the chest: the entries' own choice
with (Path(__file__).parent / "yoke_and_rib.csv").open(encoding="utf-8", newline="") as file:
    TOLD = {row["key"]: float(row["value"]) for row in csv.DictReader(file)}
EVERY = pytest.mark.parametrize(
    ("yoke", "size", "number"),
    [(one, size, number) for one in YOKES for size in one.sizes for number in one.classes],
    ids=lambda value: value.key if isinstance(value, Accessory) else str(value),
)


def shapes(yoke: Accessory, size: str, gauge: Gauge) -> list[ZoneShape]:
    """The knitting from the joining round to the neck, without the collar."""
    *yoke_zones, collar = yoke.zones
    assert collar.structure == "rib"
    assert all(zone.structure == "stranded" for zone in yoke_zones)
    return [zone_shape(zone, size, gauge, SIZES, FABRIC) for zone in yoke_zones]


def body_cm(size: str) -> float:
    return EASE * SIZES.dimension(size, "chest")


def test_there_are_eight_yokes() -> None:
    assert len(YOKES) == 8


@EVERY
def test_stitches_and_decreases_are_those_of_the_percentages(yoke: Accessory, size: str, number: int) -> None:
    gauge = mid_gauge(number, FABRIC, CATALOGUE.classes)
    *bands, collar = (zone_shape(zone, size, gauge, SIZES, FABRIC) for zone in yoke.zones)
    wanted = body_cm(size) * gauge.stitches_10cm / 10 * TOLD["join_stitches"]
    for band, share in zip(
        (*bands, collar),
        (0.0, TOLD["first_decreases"], TOLD["second_decreases"], TOLD["third_decreases"]),
        strict=True,
    ):
        wanted *= 1 - share
        assert band.first == band.last
        assert abs(band.first - wanted) <= 0.5 + 1e-6


@EVERY
def test_depth_is_a_quarter_of_the_body_and_half_of_it_lies_below_the_decreases(
    yoke: Accessory, size: str, number: int
) -> None:
    gauge = mid_gauge(number, FABRIC, CATALOGUE.classes)
    rows = [one.rows for one in shapes(yoke, size, gauge)]
    whole = body_cm(size) * TOLD["depth"] * gauge.rows_10cm / 10
    assert abs(sum(rows) - whole) <= 1.5
    assert abs(rows[0] - whole * TOLD["before_first_decreases"]) <= 0.5 + 1e-6


@EVERY
def test_loops_are_those_of_the_area(yoke: Accessory, size: str, number: int) -> None:
    """Three rings of the percentages, counted as an area: sqrt(Ks * stitches in a square centimetre) of yarn on each."""
    gauge = mid_gauge(number, FABRIC, CATALOGUE.classes)
    around, upper = body_cm(size), TOLD["depth"] * (1 - TOLD["before_first_decreases"]) / 2
    first = TOLD["join_stitches"]
    second = first * (1 - TOLD["first_decreases"])
    third = second * (1 - TOLD["second_decreases"])
    lower = TOLD["depth"] * TOLD["before_first_decreases"]
    area_cm2 = around**2 * (first * lower + (second + third) * upper)
    loops_m = area_cm2 * math.sqrt(FABRIC.Ks * gauge.stitches_10cm * gauge.rows_10cm / 100) / 100
    needs = needs_of(yoke, size, gauge, SIZES, CATALOGUE.motifs, FABRIC)
    lines = [line for need in needs for line in need.working if line.structure == "stranded"]
    # Whole rows and stitches: half a row in each of three rings.
    assert sum(line.stitches * line.loop_cm for line in lines) / 100 == pytest.approx(loops_m, rel=0.03)
    # The area that such a yoke has, without the model: 0.272 of the square of the body's circumference.
    assert area_cm2 / around**2 == pytest.approx(0.272, abs=0.001)


def test_every_yoke_of_one_size_has_the_same_stitches() -> None:
    gauge = mid_gauge(3, FABRIC, CATALOGUE.classes)
    for size in YOKES[0].sizes:
        assert len({tuple(one[:4] for one in shapes(yoke, size, gauge)) for yoke in YOKES}) == 1


def test_rib_takes_as_much_yarn_a_stitch_as_stocking_stitch() -> None:
    gauge = mid_gauge(3, FABRIC, CATALOGUE.classes)
    rib, plain = (piece_length(one, 30, 40, gauge, FABRIC) for one in ("rib", PLAIN))
    assert rib.body == pytest.approx(TOLD["rib_to_stocking"] * plain.body)
