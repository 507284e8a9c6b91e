"""Needs: metres of each role from zones, against counts by hand and rules that must hold for any entry."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.knitting.accessory import Accessory, Dimension, Role, Zone, contrast_pairs, longest_float
from matcher.knitting.fabric import Gauge, gauges_of_class
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.needs import RoleNeed, needs_of, needs_table
from matcher.knitting.shapes import zone_shape
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric
GAUGE = Gauge.from_stitches(20, FABRIC)
CHECKS = Motif("checks", "checks", ("xx..", "..xx"), {".": "main", "x": "contrast 1"})
SIZE = "adult medium"


def entry(*zones: Zone, roles: tuple[str, ...] = ("main",)) -> Accessory:
    return Accessory(
        key="any", name="any", kind="cowl", sizes=(SIZE,), classes=(4,),
        roles=tuple(Role(role) for role in roles), zones=zones,
    )  # fmt: skip


def tube(around_cm: float, height_cm: float, structure: str = "stocking", motif: str | None = None) -> Zone:
    return Zone(
        "tube", "tube", structure, around=Dimension(cm=around_cm), height=Dimension(cm=height_cm),
        motif=motif, role=None if motif else "main",
    )  # fmt: skip


def needs(accessory: Accessory, gauge: Gauge = GAUGE) -> tuple[RoleNeed, ...]:
    return needs_of(accessory, SIZE, gauge, CATALOGUE.sizes, {"checks": CHECKS}, FABRIC)


def test_a_plain_tube_by_hand() -> None:
    """20 stitches in 10 cm: l = 4.2 / 2 = 2.1 cm, 26.19 rows; 50 cm by 10 cm is 100 stitches by 26 rows."""
    (need,) = needs(entry(tube(50, 10)))
    (line,) = need.working
    assert (line.first, line.last, line.rows, line.stitches) == (100, 100, 26, 2600)
    assert line.loop_cm == pytest.approx(2.1)
    assert line.length_m == pytest.approx(2600 * 2.1 / 100)
    assert need.edge_m == pytest.approx(2 * FABRIC.edge_rounds * 100 * 2.1 / 100)
    assert need.tail_m == pytest.approx(2 * FABRIC.tail_m)
    assert need.length_m == pytest.approx(line.length_m + need.edge_m + need.tail_m)
    assert need.shared_sd_m == pytest.approx(math.hypot(0.15, 0.10) * need.length_m)
    assert need.sd_m == pytest.approx(math.hypot(0.15, 0.10, 0.03) * need.length_m)


def test_a_swatch_narrows_the_spread_and_sets_the_loop() -> None:
    swatch = Gauge.from_swatch(20, 28, FABRIC)
    (need,) = needs(entry(tube(50, 10)), swatch)
    assert need.working[0].rows == 28
    assert need.working[0].loop_cm == pytest.approx(math.sqrt(23.1 / (2.0 * 2.8)))
    assert need.shared_sd_m == pytest.approx(math.hypot(FABRIC.gauge_sd_swatch, FABRIC.bias_sd) * need.length_m)


def test_shapes_by_hand() -> None:
    """26 rounds: a crown of 100 stitches in 7 sections, since 8 have decreases for 25 at most: 98 in the first round,
    then 7 fewer in every second one down to 21 and in each of the last two. A frustum from 100 to 52, 12 steps of four
    being as near to 50 as 13: with 14 plain rounds, so two before each of the first two. A triangle begins on 3 and
    gains two at a time, 49 times, even about the middle of its rows: 40, since 39 end in half a ridge.
    """

    def shape(zone: Zone) -> list[int]:
        found = zone_shape(zone, SIZE, GAUGE, CATALOGUE.sizes, FABRIC)
        return [found.first, found.last, found.rows, found.pieces, found.total]

    whole = Dimension(cm=50)
    high = Dimension(cm=10)
    half = Dimension(cm=25)
    crown = Zone("a", "crown", "stocking", around=whole, height=high, role="main")
    assert shape(crown) == [100, 7, 26, 1, 2 * sum(range(21, 99, 7)) + 14 + 7]
    frustum = Zone("b", "frustum", "stocking", around=whole, around_end=half, height=high, role="main")
    assert shape(frustum) == [100, 52, 26, 1, 2 * 100 + 96 + 2 * sum(range(56, 97, 4)) + 52]
    triangle = Zone("c", "triangle", "garter", around=whole, height=high, role="main", count=2)
    assert shape(triangle) == [3, 101, 40, 2, 2 * 40 * 52]
    assert shape(Zone("d", "piece", "rib", stitches=60, rows=40, role="main")) == [60, 60, 40, 1, 2400]
    assert shape(Zone("e", "piece", "rib", stitches=60, height=high, role="main"))[2] == 26


def test_dimensions_follow_the_rule_of_ease() -> None:
    head = CATALOGUE.sizes.dimension(SIZE, "head")
    around = Dimension(of="head", times=0.5, ease_percent=-10, ease_cm=2)
    assert around.in_cm(CATALOGUE.sizes, SIZE) == pytest.approx(head * 0.5 * 0.9 + 2)
    with pytest.raises(KeyError, match="has no dimension"):
        Dimension(of="chest").in_cm(CATALOGUE.sizes, "1 month")


@given(st.floats(20, 120), st.floats(5, 60), st.floats(1, 4), st.sampled_from(["stocking", "rib", "garter"]))
def test_needs_scale_with_height(around_cm: float, height_cm: float, times: float, structure: str) -> None:
    """Yarn of the fabric grows with its height, but for whole rows, two in garter: half of that at each end."""
    low, high = (
        needs(entry(tube(around_cm, height, structure)))[0].working[0] for height in (height_cm, height_cm * times)
    )
    row_m = low.first * low.loop_cm / 100 * (2 if structure == "garter" else 1)
    assert abs(high.length_m - times * low.length_m) <= row_m * (0.5 + 0.5 * times) + 1e-9


@given(st.floats(20, 120), st.floats(5, 60), st.sampled_from([10.0, 16.0, 22.0, 30.0]))
def test_a_stranded_round_takes_at_least_1_238_of_a_plain_one(
    around_cm: float, height_cm: float, stitches_10cm: float
) -> None:
    gauge = Gauge.from_stitches(stitches_10cm, FABRIC)
    (plain,) = needs(entry(tube(around_cm, height_cm)), gauge)
    both = needs(entry(tube(around_cm, height_cm, "stranded", "checks"), roles=("main", "contrast 1")), gauge)
    fabric_m = sum(need.working[0].length_m for need in both)
    assert fabric_m >= 1.238 * plain.working[0].length_m
    assert fabric_m == pytest.approx((1 + 1 / FABRIC.Kw) * plain.working[0].length_m)
    assert sum(need.float_m for need in both) == pytest.approx(plain.working[0].length_m / FABRIC.Kw)


def test_tails_are_paid_for_every_zone_that_a_role_enters() -> None:
    zones = (replace(tube(40, 5), count=2), tube(40, 5, "stranded", "checks"))
    main, contrast = needs(entry(*zones, roles=("main", "contrast 1")))
    assert main.tail_m == pytest.approx(2 * FABRIC.tail_m * 3)
    assert contrast.tail_m == pytest.approx(2 * FABRIC.tail_m)
    assert contrast.edge_m == 0


def test_pairs_are_the_edges_of_the_motifs() -> None:
    accessory = entry(tube(40, 5, "stranded", "checks"), roles=("main", "contrast 1"))
    assert contrast_pairs(accessory, {"checks": CHECKS}) == {("main", "contrast 1"): 4 + 8}
    assert longest_float(accessory, {"checks": CHECKS}) == 2


@pytest.mark.parametrize("accessory", CATALOGUE.accessories.values(), ids=lambda one: one.key)
def test_every_entry_of_the_catalogue(accessory: Accessory) -> None:
    """The working adds up; a bigger size takes no less; a finer gauge takes more metres.

    Of the roles of a tall motif that holds only for all together: in a little more height other bands of it stand whole.
    """
    fabric = FABRIC
    before: dict[str, float] = {}
    tall = {
        role
        for zone in accessory.zones
        if zone.motif
        for role in CATALOGUE.motifs[zone.motif].role_names
        if zone_shape(zone, accessory.sizes[0], GAUGE, CATALOGUE.sizes, fabric).rows
        < 3 * CATALOGUE.motifs[zone.motif].height
    }
    for size in accessory.sizes:
        whole = 0.0
        for need in needs_of(accessory, size, GAUGE, CATALOGUE.sizes, CATALOGUE.motifs, fabric):
            total = sum(line.length_m for line in need.working) + need.edge_m + need.tail_m
            assert need.length_m == pytest.approx(total)
            assert need.length_m > 0
            assert need.stitches > 0
            assert need.length_m >= before.get(need.role, 0) * 0.95 or need.role in tall
            before[need.role] = need.length_m
            whole += need.length_m
        assert whole >= before.get("all", 0) * 0.95
        before["all"] = whole
    metres = [
        sum(
            need.length_m
            for need in needs_of(accessory, accessory.sizes[-1], gauge, CATALOGUE.sizes, CATALOGUE.motifs, fabric)
        )
        for number in sorted(accessory.classes, reverse=True)
        for gauge in gauges_of_class(number, fabric, CATALOGUE.classes, accessory.firmness)
    ]
    assert all(after > 0.97 * first for first, after in pairwise(metres))


def test_table_holds_plain_values() -> None:
    accessory = next(one for one in CATALOGUE.accessories.values() if len(one.roles) > 1)
    rows = needs_table(accessory, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC, CATALOGUE.classes)
    assert len(rows) == len(accessory.sizes) * len(accessory.classes)
    first = rows[0]
    assert first["size"] == accessory.sizes[0]
    assert first["class"] == accessory.classes[0]
    role = first["roles"][0]
    assert role["grams"] == pytest.approx(role["metres"] * first["tex"] / 1000)
    assert set(role) >= {"role", "metres", "sd", "grams", "stitches", "zones"}
    one = needs_table(accessory, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC, CATALOGUE.classes, accessory.sizes[0], 3)
    assert [(row["size"], row["class"]) for row in one] == [(accessory.sizes[0], 3)]
    swatch = Gauge.from_swatch(22, 30, FABRIC)
    assert needs_table(
        accessory, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC, CATALOGUE.classes, gauge=swatch
    )[0]["class"] == 3  # fmt: skip
