"""Socks counted row by row on the needles, against the simple solids that the catalogue makes of them.

A flap on half the stitches, with as many rows; a turned heel, whose rows grow by one stitch and take in two; a stitch
picked up in every second row along both sides of the flap, and one in each corner; the gusset, two stitches fewer in every second round; the foot; the toe, four
fewer in every second round and then in every round. How such a heel and toe go is common practice.
"""

from __future__ import annotations

import pytest

from matcher.knitting.fabric import Gauge, gauges_of_class
from matcher.knitting.shapes import zone_shape
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
CONSTANTS, SIZES = CATALOGUE.fabric, CATALOGUE.sizes
# Ease round the foot, and along it: what a sock is shorter than the foot it is stretched over.
EASES = {"socks-ankle": (-0.08, -0.03), "socks-bed": (0.02, 0.0)}


def knitted(foot_cm: float, length_cm: float, gauge: Gauge, around: float, along: float) -> int:
    """Stitches of one sock from the flap to the toe's last round."""
    wales, courses = gauge.stitches_10cm / 10, gauge.rows_10cm / 10
    half = round(foot_cm * (1 + around) * wales / 2)
    flap = half * half
    middle = round(half / 8)
    turned = range(1, round((half - middle) / 2) + 1)
    turn = sum(middle + number for number in turned)
    picked = half // 2 + 1
    live = middle + len(turned) + 2 * picked + half
    toe_rounds = round(0.2 * length_cm * courses)
    rounds = round(length_cm * (1 + along) * courses) - len(turned) - toe_rounds
    foot = 0
    for number in range(rounds):
        foot += live
        live = max(2 * half, live - 2 * (number % 2))
    toe, live = 0, 2 * half
    plain = toe_rounds - round(2 * half * 0.65 / 4)
    for number in range(toe_rounds):
        if number % 2 and plain:
            plain -= 1
        else:
            live -= 4
        toe += live
    return flap + turn + foot + toe


@pytest.mark.parametrize("key", sorted(EASES))
@pytest.mark.parametrize("size", ["adult small", "adult medium", "adult large"])
def test_a_sock_of_solids_is_a_sock_on_the_needles(key: str, size: str) -> None:
    entry, ratios = CATALOGUE.accessories[key], []
    for number in entry.classes:
        for gauge in gauges_of_class(number, CONSTANTS, CATALOGUE.classes, entry.firmness):
            shapes = [zone_shape(zone, size, gauge, SIZES, CONSTANTS) for zone in entry.zones]
            solids = sum(
                shape.total / shape.pieces
                for zone, shape in zip(entry.zones, shapes, strict=True)
                if zone.name not in ("cuffs", "legs")
            )
            foot_cm, length_cm = SIZES.dimension(size, "foot"), SIZES.dimension(size, "foot_length")
            ratios.append(solids / knitted(foot_cm, length_cm, gauge, *EASES[key]))
    # Whole stitches and rows move a single gauge by a few in a hundred, and cancel over all of them.
    assert ratios == pytest.approx([1.0] * len(ratios), abs=0.035)
    assert sum(ratios) / len(ratios) == pytest.approx(1.0, abs=0.015)
