"""The fabric model against published figures of plain knitting; sources stand in munden_constants.csv."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from matcher.knitting.fabric import (
    FabricConstants,
    Gauge,
    class_of_gauge,
    piece_length,
    rows_for,
    stitches_for,
)
from matcher.store.catalogue.catalogue import load_catalogue

HERE = Path(__file__).parent


def rows() -> list[dict[str, str]]:
    with (HERE / "munden_constants.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def constants() -> FabricConstants:
    return load_catalogue().fabric


def test_the_catalogue_holds_the_fully_relaxed_constants(constants: FabricConstants) -> None:
    row = next(row for row in rows() if row["state"] == "fully relaxed")
    assert (constants.Kc, constants.Kw, constants.Ks) == (
        float(row["Kc"]),
        float(row["Kw"]),
        float(row["Ks"]),
    )
    assert pytest.approx(constants.Kc * constants.Kw) == constants.Ks
    # R is printed to two decimals, cut off rather than rounded.
    assert constants.Kc / constants.Kw == pytest.approx(float(row["R"]), abs=0.005)


def test_worked_example(constants: FabricConstants) -> None:
    """GATE 2015, question 54: Kc 5.5, Kw 4.2, l 0.5 cm gives 92 loops in a square centimetre."""
    gauge = Gauge.from_stitches(10 * constants.Kw / 0.5, constants)
    assert gauge.loop_cm == pytest.approx(0.5)
    assert round(gauge.stitches_cm2) == 92


@pytest.mark.parametrize("row", [row for row in rows() if row["Ks"]], ids=lambda row: row["state"])
def test_ks_is_near_the_product(row: dict[str, str]) -> None:
    """Printed Ks was fitted by itself; it stays within 1 % of Kc * Kw in every state."""
    assert float(row["Kc"]) * float(row["Kw"]) == pytest.approx(float(row["Ks"]), rel=0.01)


def test_yarn_of_an_area_two_ways(constants: FabricConstants) -> None:
    """Yarn per area is sqrt(Ks * S); a known stitch count gives wales * height * Kc."""
    gauge = Gauge.from_stitches(22, constants)
    width_cm, height_cm = 40.0, 30.0
    stitches = stitches_for("stocking", width_cm, gauge, constants)
    high = rows_for("stocking", height_cm, gauge, constants)
    length_m = piece_length("stocking", stitches, high, gauge, constants).body
    by_area = width_cm * height_cm * math.sqrt(constants.Ks * gauge.stitches_cm2) / 100
    assert length_m == pytest.approx(by_area)
    assert length_m == pytest.approx(stitches * height_cm * constants.Kc / 100)


def test_a_swatch_of_relaxed_fabric_gives_the_same_loop(constants: FabricConstants) -> None:
    usual = Gauge.from_stitches(20, constants)
    swatch = Gauge.from_swatch(usual.stitches_10cm, usual.rows_10cm, constants)
    assert swatch.loop_cm == pytest.approx(usual.loop_cm)
    assert swatch.from_swatch_rows
    assert not usual.from_swatch_rows


def test_garter_rows_lie_between_the_two_printed_counts(constants: FabricConstants) -> None:
    printed = sorted(float(row["R"]) for row in rows() if row["structure"].startswith("garter"))
    assert constants.structure("garter").rows_per_stitch is not None
    assert printed[0] <= constants.structure("garter").rows_per_stitch <= printed[-1]
    gauge = Gauge.from_stitches(18, constants)
    in_a_square = rows_for("garter", 10, gauge, constants) / stitches_for("garter", 10, gauge, constants)
    assert in_a_square == pytest.approx(constants.structure("garter").rows_per_stitch)


def test_float_is_one_wale(constants: FabricConstants) -> None:
    row = next(row for row in rows() if row["structure"].startswith("stranded"))
    assert "0.238" in row["source"] + row["unit"]
    assert constants.float_per_stitch == pytest.approx(0.238, abs=0.0005)


def test_gauges_fall_into_the_published_classes(constants: FabricConstants) -> None:
    classes = load_catalogue().classes
    for one in classes[1:6]:
        for in_4_inches in range(int(one.gauge_min_4in), int(one.gauge_max_4in) + 1):
            holding = {other.number for other in classes if other.gauge_min_4in <= in_4_inches <= other.gauge_max_4in}
            assert one.number in holding
            assert class_of_gauge(in_4_inches / 1.016, classes) in holding
    assert {class_of_gauge(stitches, classes) for stitches in constants.gauges} >= {1, 2, 3, 4, 5, 6}
