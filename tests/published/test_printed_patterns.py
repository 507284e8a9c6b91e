"""Predicted against printed grams, for every printed pattern that can be computed.

`printed_patterns.csv` holds what the patterns say; `printed_pieces.csv` turns each computable one into
stitches, height and gauge, and says where a gauge had to be borrowed. The yarn's tex is nowhere printed:
it is the tex that the printed gauges ask for by the usual tightness, one figure for each yarn (geometric
mean over that yarn's pieces that print a gauge). Grams go with the cube of the loop, so the test is hard.

What was tried: first each piece's tex came from its own gauge alone; then one tex a yarn, since several of
the pieces are knitted from one yarn and differ only in how they print their gauge. Both are shown. The second
scatters less and was kept after seeing that, and H09 was singled out after seeing it, so neither small figure
is an independent check; the larger ones stand beside them.

All printed amounts are amounts to buy: hanks and skeins of a quarter pound, or whole ounces. On the average
buying up adds half of the smallest unit sold; the table shows that unit.
"""

from __future__ import annotations

import csv
import math
import statistics
from dataclasses import dataclass
from pathlib import Path

import pytest

from matcher.knitting.fabric import FabricConstants, Gauge, piece_length, rows_for, tex_of_gauge
from matcher.store.catalogue.catalogue import load_catalogue

HERE = Path(__file__).parent
INCH_CM = 2.54
HALF_HANK_G, OUNCE_G = 56.7, 28.35

# Why a printed piece is not computed, by id; every other row of printed_patterns.csv must be computed.
NOT_COMPUTED = {
    "H10": "the height of its rib is not printed in the row; it serves for its gauge only",
    "H17": "end of the text not stored",
    "H18": "no whole description",
    "H19": "short-row shaping",
    "H20": "no gauge",
    "H21": "no gauge for the feet",
    "H22": "lace",
    "H23": "no gauge",
    "H24": "end of the text not stored",
    "H25": "mass of a skein not printed",
}


@dataclass(frozen=True)
class Outcome:
    id: str
    item: str
    structures: str
    gauge_from: str
    length_m: float
    tex: float
    predicted_g: float
    printed_g: float
    unit_g: float

    @property
    def ratio(self) -> float:
        return self.predicted_g / self.printed_g


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def gauge_of(row: dict[str, str], constants: FabricConstants) -> Gauge:
    wales_10cm = float(row["gauge_stitches"]) / (float(row["gauge_width_in"]) * INCH_CM) * 10
    return Gauge.from_stitches(wales_10cm, constants)


def tex_of_yarns(pieces: list[dict[str, str]], constants: FabricConstants) -> dict[str, float]:
    """One tex a yarn, from the gauges of its pieces; H10 is not computed but prints one of the same yarn."""
    seen: dict[str, dict[str, float]] = {"knitting-yarn": {"H10": tex_of_gauge(gauge_h10(constants), constants)}}
    for row in pieces:
        if row["gauge_from"] in ("its own", "needle"):
            seen.setdefault(row["yarn"], {})[row["id"]] = tex_of_gauge(gauge_of(row, constants), constants)
    return {yarn: statistics.geometric_mean(found.values()) for yarn, found in seen.items()}


def gauge_h10(constants: FabricConstants) -> Gauge:
    return Gauge.from_stitches(48 / (11 * INCH_CM) * 10, constants)


def outcomes(constants: FabricConstants, pooled: bool = True) -> list[Outcome]:
    """Every computable piece; pooled: one tex a yarn, else the tex that each piece's own gauge asks for."""
    pieces = rows("printed_pieces.csv")
    tex = tex_of_yarns(pieces, constants)
    found = []
    for printed in rows("printed_patterns.csv"):
        parts = [row for row in pieces if row["id"] == printed["id"]]
        if not parts:
            continue
        length_m = 0.0
        for part in parts:
            gauge = gauge_of(part, constants)
            high = rows_for(part["structure"], float(part["height_in"]) * INCH_CM, gauge, constants)
            mean = (float(part["stitches_first"]) + float(part["stitches_last"])) / 2
            length_m += float(part["pieces"]) * piece_length(part["structure"], mean, high, gauge, constants).body
        yarn = tex[parts[0]["yarn"]] if pooled else tex_of_gauge(gauge_of(parts[0], constants), constants)
        amount = printed["yarn_amount_as_printed"]
        found.append(
            Outcome(
                id=printed["id"],
                item=printed["item"],
                structures=" + ".join(dict.fromkeys(part["structure"] for part in parts)),
                gauge_from=parts[0]["gauge_from"],
                length_m=length_m,
                tex=yarn,
                predicted_g=length_m * yarn / 1000,
                printed_g=float(printed["grams"]),
                unit_g=OUNCE_G if "oz" in amount else HALF_HANK_G,
            )
        )
    return found


def rounding(one: Outcome) -> float:
    """Relative standard deviation of an amount rounded to whole units: the unit over the root of 12."""
    return one.unit_g / math.sqrt(12) / one.printed_g


def summary(found: list[Outcome]) -> dict[str, float]:
    logs = [math.log(one.ratio) for one in found]
    return {
        "pieces": len(found),
        "median error %": 100 * statistics.median(abs(one.ratio - 1) for one in found),
        "mean ratio": math.exp(statistics.mean(logs)),
        "spread %": 100 * statistics.stdev(logs),
        "buying unit explains %": 100 * statistics.median(rounding(one) for one in found),
    }


def show(found: list[Outcome]) -> str:
    """The table for people, in Markdown so that it can stand in the README."""
    lines = [
        "| id | piece | knitted in | gauge from | metres | tex | predicted g | printed g | sold by | ratio |",
        "|---|---|---|---|---|---|---|---|---|---|",
    ]
    lines += [
        f"| {one.id} | {one.item} | {one.structures} | {one.gauge_from} | {one.length_m:.0f} | {one.tex:.0f} "
        f"| {one.predicted_g:.0f} | {one.printed_g:.0f} | {one.unit_g:.0f} g | {one.ratio:.2f} |"
        for one in found
    ]
    without = [one for one in found if one.id != "H09"]
    alone = outcomes(load_catalogue().fabric, pooled=False)
    for name, some in (("all", found), ("without H09", without), ("tex of each piece alone", alone)):
        figures = ", ".join(f"{key} {value:.3g}" for key, value in summary(some).items())
        lines += ["", f"{name}: {figures}"]
    for structure in ("stocking", "garter", "rib"):
        ratios = [one.ratio for one in found if structure in one.structures.split(" + ")]
        lines.append(f"{structure}: {len(ratios)} pieces, mean ratio {statistics.geometric_mean(ratios):.2f}")
    return "\n".join(lines)


@pytest.fixture(scope="module")
def found() -> list[Outcome]:
    return outcomes(load_catalogue().fabric)


def test_every_printed_piece_is_computed_or_says_why_not() -> None:
    computed = {row["id"] for row in rows("printed_pieces.csv")}
    printed = {row["id"] for row in rows("printed_patterns.csv")}
    assert computed | set(NOT_COMPUTED) == printed
    assert not computed & set(NOT_COMPUTED)


def test_predicted_against_printed(found: list[Outcome]) -> None:
    print("\n" + show(found))
    measured = summary(found)
    # The scatter is the model's; the level is the tex's, which goes with the square of the tightness that is usual
    # today. At this one the same nine pieces come out right on the average, so those wools were knitted looser.
    assert measured["spread %"] == pytest.approx(20.7, abs=3)
    tightness = load_catalogue().fabric.tightness
    assert tightness / math.sqrt(measured["mean ratio"]) == pytest.approx(9.3, abs=0.1)
    # The model asks for more than was printed, not for less: on the safe side for someone who may run short.
    assert measured["median error %"] == pytest.approx(39.1, abs=3)
    assert all(0.7 < one.ratio < 1.7 for one in found)


def test_without_the_worst_piece(found: list[Outcome]) -> None:
    """H09 names a whole quarter pound for a pair of mittens, twice what H08 names for the same stitches."""
    others = [one for one in found if one.id != "H09"]
    assert summary(others)["spread %"] == pytest.approx(13, abs=3)


def test_rib_and_garter_need_no_factor_of_their_own(found: list[Outcome]) -> None:
    """The choice of 1 for rib and garter: neither departs from all pieces by more than their own scatter."""
    by_structure = {
        structure: [math.log(one.ratio) for one in found if structure in one.structures.split(" + ")]
        for structure in ("stocking", "garter", "rib")
    }
    everywhere = statistics.mean(math.log(one.ratio) for one in found)
    for logs in by_structure.values():
        assert abs(statistics.mean(logs) - everywhere) < 0.15


def test_the_spread_used_is_what_is_left_after_rounding(found: list[Outcome]) -> None:
    """gauge_sd_no_swatch 0.15 lies between the spread less the rounding and that without the worst piece."""
    by_rounding = summary(found)["buying unit explains %"]
    largest = math.sqrt(max(summary(found)["spread %"] ** 2 - by_rounding**2, 0))
    smallest = summary([one for one in found if one.id != "H09"])["spread %"]
    used = 100 * load_catalogue().fabric.gauge_sd_no_swatch
    assert min(smallest, largest) - 1 <= used <= max(smallest, largest) + 1


def test_with_each_piece_alone_the_scatter_is_wider() -> None:
    """The first way that was tried: a gauge that is printed a little off goes in with its third power."""
    alone = summary(outcomes(load_catalogue().fabric, pooled=False))
    assert alone["spread %"] == pytest.approx(28, abs=4)
    assert alone["median error %"] == pytest.approx(39, abs=4)
