"""How tightly yarns are knitted, derived anew: the standard's gauges and needles, three tables of lengths, a rule.

class_lengths.csv, yarn_weight_standard.csv and knitting_practice.csv say where each figure is from. Lengths of a class
go by ratio, so the middle of a table is the root of its two ends' product.
"""

from __future__ import annotations

import csv
import math
import statistics
from pathlib import Path

import pytest

from matcher.knitting.fabric import Gauge, class_of_gauge, gauge_of_tex, gauges_of_class, mid_gauge, tex_range
from matcher.materials.yarn import tex_from_class
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC, CLASSES = CATALOGUE.fabric, CATALOGUE.classes
SOCKS = CATALOGUE.accessories["socks-ankle"]
INCHES_4_CM = 10.16


def rows(name: str) -> list[dict[str, str]]:
    with (Path(__file__).with_name(name)).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


STANDARD = {int(row["class"]): row for row in rows("yarn_weight_standard.csv")}
PRACTICE = {row["key"]: row["value"] for row in rows("knitting_practice.csv")}
TABLES = [row for row in rows("class_lengths.csv") if 1 <= int(row["class"]) <= 5]
IDS = [f"class {row['class']} by table {row['table']}" for row in TABLES]


def ends(number: int, name: str) -> tuple[float, float]:
    return float(STANDARD[number][f"{name}_min"]), float(STANDARD[number][f"{name}_max"])


def gauges(number: int) -> tuple[float, float, float]:
    """Fewest, middle and most stitches in 10 cm."""
    low, high = (stitches * 10.0 / INCHES_4_CM for stitches in ends(number, "stitches_per_4in"))
    return low, (low + high) / 2.0, high


def usual(row: dict[str, str]) -> list[tuple[float, float]]:
    """The usual yarns of a table [tex] at their gauges: thin at most stitches, thick at fewest; one figure is a middle."""
    thin, thick = float(row["tex_low"]), float(row["tex_high"])
    few, middle, many = gauges(int(row["class"]))
    found = [(math.sqrt(thin * thick), middle)]
    return found if thin == thick else [(thin, many), *found, (thick, few)]


def tightness(tex: float, stitches_10cm: float) -> float:
    return math.sqrt(tex) / (10.0 * FABRIC.Kw / stitches_10cm)


@pytest.mark.parametrize("row", TABLES, ids=IDS)
def test_usual_yarns_suit_their_usual_gauges(row: dict[str, str]) -> None:
    for tex, stitches in usual(row):
        low, high = tex_range(Gauge.from_stitches(stitches, FABRIC), FABRIC)
        assert low < tex < high
        # And one that is tried, within two stitches.
        assert any(suits(tex, one) for one in FABRIC.gauges if abs(one - stitches) < 2)


@pytest.mark.parametrize("number", range(1, 6))
def test_windows_follow_from_the_tables(number: int) -> None:
    """Half a stitch in 10 cm beyond the loosest and the tightest, since a band gives whole ones; outwards to a tenth."""
    pairs = [pair for row in TABLES if int(row["class"]) == number for pair in usual(row)]
    loosest = min(tightness(tex, stitches - 0.5) for tex, stitches in pairs)
    tightest = max(tightness(tex, stitches + 0.5) for tex, stitches in pairs)
    window = next(one for one in FABRIC.windows if one.weight.number == number)
    assert window.loosest == pytest.approx(math.floor(10 * loosest) / 10)
    assert window.tightest == pytest.approx(math.ceil(10 * tightest) / 10)


def test_the_centre_follows_from_gauges_and_needles() -> None:
    by_gauge, by_needle = [], []
    times = 1.5 * math.pi
    assert PRACTICE["yarn_per_stitch"].startswith(f"{times:.2f} times needle diameter")
    for row in TABLES:
        number = int(row["class"])
        middle = math.sqrt(float(row["tex_low"]) * float(row["tex_high"]))
        by_gauge.append(tightness(middle, gauges(number)[1]))
        by_needle.append(math.sqrt(middle) / (times * statistics.mean(ends(number, "needle_mm")) / 10.0))
    assert (round(statistics.mean(by_gauge), 1), round(statistics.mean(by_needle), 1)) == (10.5, 10.8)
    assert FABRIC.tightness == round(statistics.mean([*by_gauge, *by_needle]), 1)
    assert FABRIC.tightness_sd == round(statistics.stdev([*by_gauge, *by_needle]), 1)


@pytest.mark.parametrize("number", range(1, 6))
def test_a_stitch_by_its_needle_is_a_stitch_by_its_gauge(number: int) -> None:
    """The two ways to a loop agree within 12 %, as the note beside the rule says."""
    needle = 1.5 * math.pi * statistics.mean(ends(number, "needle_mm")) / 10.0
    assert needle == pytest.approx(mid_gauge(number, FABRIC, CLASSES).loop_cm, rel=0.12)


def test_ends_that_no_table_gives_follow_from_the_centre() -> None:
    """Class 6 is open at its thick end and class 7 has no table: 7, 6 and 4 stitches in 4 in at the usual tightness."""
    six, seven = CLASSES[6], CLASSES[7]
    for tex, in_4_inches in ((six.tex_max, 7), (seven.tex_min, 6), (seven.tex_max, 4)):
        assert tex == round((FABRIC.tightness * FABRIC.Kw / (in_4_inches / INCHES_4_CM)) ** 2)


def suits(tex: float, stitches_10cm: float, firmness: float = 1.0) -> bool:
    low, high = tex_range(Gauge.from_stitches(stitches_10cm, FABRIC, firmness), FABRIC)
    return low <= tex <= high


def test_yarns_that_everybody_knows() -> None:
    assert suits(100_000 / 225, 22), "DK of 225 m in 100 g"
    for row in TABLES:
        if row["class"] == "1":
            thin, thick = float(row["tex_low"]), float(row["tex_high"])
            # At 30 the middle one, and as socks all of them.
            assert suits(math.sqrt(thin * thick), 30) or thin == thick, row["table"]
            assert all(any(suits(tex, one, SOCKS.firmness) for one in (30, 32, 34)) for tex in (thin, thick))
    assert suits(100_000 / 420, 30), "sock yarn of 420 m in 100 g"
    assert suits(100_000 / 285, 22), "DK of 285 m in 100 g"
    assert not suits(100_000 / 225, 30)
    assert not suits(100_000 / 420, 24)
    assert not suits(100_000 / 200, 22), "worsted"


def test_a_class_alone_is_knitted_at_its_own_gauge() -> None:
    """The usual gauge of a class's tex lies in or beside the class's published range, classes 1 to 5."""
    for one in CLASSES[1:6]:
        stitches = gauge_of_tex(one.tex.mean, FABRIC).stitches_10cm
        low, _, high = gauges(one.number)
        assert low - 1 <= stitches <= high + 1


def test_socks_are_as_firm_as_knitters_say() -> None:
    """31.5 stitches in 10 cm for sock yarn, about 15 % more than the ball band; nothing looser than 30 is offered."""
    socks, told = SOCKS, float(PRACTICE["sock_gauge"])
    assert socks.firmness == 1.15
    sock_yarn = tex_from_class(1, CLASSES)
    assert gauge_of_tex(sock_yarn.mean, FABRIC, socks.firmness).stitches_10cm == pytest.approx(told, rel=0.05)
    tried = [gauge for number in socks.classes for gauge in gauges_of_class(number, FABRIC, CLASSES, socks.firmness)]
    for tex in (100_000 / 400, 100_000 / 420, sock_yarn.mean):
        suiting = [one.stitches_10cm for one in tried if suits(tex, one.stitches_10cm, socks.firmness)]
        assert min(suiting) >= 30
        assert any(abs(stitches - told) <= 1 for stitches in suiting)


def test_a_firm_thing_is_knitted_at_more_stitches_of_the_same_yarn() -> None:
    plain, firm = mid_gauge(1, FABRIC, CLASSES), mid_gauge(1, FABRIC, CLASSES, 1.15)
    assert firm.stitches_10cm == pytest.approx(1.15 * plain.stitches_10cm)
    assert firm.loop_cm == pytest.approx(plain.loop_cm / 1.15)
    assert tex_range(firm, FABRIC) == pytest.approx(tex_range(plain, FABRIC))
    assert class_of_gauge(firm.band_stitches_10cm, CLASSES) == 1
