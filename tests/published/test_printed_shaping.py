"""Old printed patterns whose counts are printed, knitted by the knitter made of code.

Only what `printed_patterns.csv` and `printed_pieces.csv` print is compared: stitches cast on, stitches of a band or of
the widest round, rounds, and the measures that follow from a printed gauge. What stands between, such as where six
stitches are added, is by our own rules, and no count of it is compared with anything printed.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from knitter import Off, knit
from likeness import courses_of

from matcher.drawing.pattern_text import pattern_text
from matcher.knitting.accessory import Zone
from matcher.knitting.fabric import Gauge, knittable, rows_for
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric
HERE = Path(__file__).parent
IN_CM = 2.54


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


PATTERNS = {row["id"]: row for row in rows("printed_patterns.csv")}
PIECES: dict[str, list[dict[str, str]]] = {}
for piece in rows("printed_pieces.csv"):
    PIECES.setdefault(piece["id"], []).append(piece)
# In the round, rib and all, whether the old text knits it so or sews it up: its counts are the same.
IN_THE_ROUND = ("H08", "H09", "H12", "H14", "H16")
FLAT = ("H01", "H02")


def gauge_of(piece: dict[str, str]) -> Gauge:
    return Gauge.from_stitches(float(piece["gauge_stitches"]) / (float(piece["gauge_width_in"]) * IN_CM) * 10, FABRIC)


def through_our_construction(key: str, *parts: FittedPart, pieces: int, gauge: Gauge) -> Off:
    """Knitted from the page that our own construction prints for these stitches."""
    zones = tuple(Zone(str(part.part), part.shape, part.structure, count=pieces) for part in parts)
    entry = replace(CATALOGUE.accessories[key], zones=zones)
    first = parts[0].first
    fitted = Fitted(gauge, first, 1, first, 0, parts, {}, first * 10 / gauge.stitches_10cm, 0.0, 0.0, 0.0, pieces)
    (off,) = knit(pattern_text(pattern_of(Making(entry, fitted, FABRIC)), FABRIC))
    return off


def parts_of(id_: str, pieces: list[dict[str, str]]) -> list[FittedPart]:
    found = []
    for piece in pieces:
        height = float(piece["height_in"]) * IN_CM
        rounds = knittable(rows_for(piece["structure"], height, gauge_of(pieces[0]), FABRIC))
        first, last = int(piece["stitches_first"]), int(piece["stitches_last"])
        shape = "crown" if last < first else "flat" if id_ in FLAT else "tube"
        found.append(FittedPart(piece["part"], piece["structure"], first, last, rounds, "main", shape=shape))
    return found


@pytest.mark.parametrize("id_", [*IN_THE_ROUND, *FLAT])
def test_a_printed_piece_through_our_construction(id_: str):
    printed, pieces = PATTERNS[id_], PIECES[id_]
    gauge, parts = gauge_of(pieces[0]), parts_of(id_, pieces)
    off = through_our_construction(
        "cowl-garter" if id_ in FLAT else "hat-striped", *parts, pieces=int(pieces[0]["pieces"]), gauge=gauge
    )
    assert off.courses[0].before == int(printed["stitches"])  # cast on as printed
    assert off.times == int(pieces[0]["pieces"])
    for piece, part in zip(pieces, parts, strict=True):
        here = [course for course in off.courses if course.section.casefold() == piece["part"]]
        assert len(here) == part.rounds
        tall = 10 * len(here) / (gauge.rows_10cm * FABRIC.courses(piece["structure"])) / IN_CM
        assert tall == pytest.approx(float(piece["height_in"]), abs=0.5 * 10 / gauge.rows_10cm / IN_CM + 0.01)
    if printed["width_in"] and pieces[0]["gauge_from"] == "its own":
        wide = off.courses[0].before * 10 / gauge.stitches_10cm / IN_CM
        if pieces[0]["structure"] != "rib" or id_ == "H16":
            assert wide == pytest.approx(float(printed["width_in"]), abs=0.1)


def body(*lines: str) -> Off:
    """A piece of one section in one colour, written in our words."""
    text = ["Piece", "=====", "Gauge: as printed", "", "Piece", "-----", *lines]
    (off,) = knit("\n".join(text) + "\n")
    return off


JOIN = "Join to a round: see that the edge isn't twisted, and place a marker, where each round begins."


def test_h21_a_stranded_band_on_seventy_stitches_of_a_sock_of_sixty_four():
    """Printed: 64 stitches, rib of three and one, sixteen stranded rounds on 70 stitches."""
    assert PATTERNS["H21"]["stitches"] == "64"
    assert "k3p1 rib, 16 stranded rounds on 70 st" in PATTERNS["H21"]["stitch"]
    off = body(
        "Cast on 64 stitches.",
        JOIN,
        "Rounds 1 to 10: (k3, p1) 16 times.",
        "Round 11: (k10, m1l, k11, m1l, k11, m1l) 2 times: 70 stitches.",
        "Rounds 12 to 27: knit.",
        "Round 28: (k9, k2tog, k10, k2tog, k10, k2tog) 2 times: 64 stitches.",
        "Bind off all 64 stitches.",
    )
    counts = [course.after for course in off.courses]
    assert counts[:10] == [64] * 10
    assert counts[11:27] == [70] * 16
    assert courses_of("kkkp" * 16, off) == 10


def test_h20_six_stitches_increased_to_two_hundred_and_forty():
    """Printed: 6 stitches increased to 240. In six sections that is a stitch each in 39 rounds."""
    assert PATTERNS["H20"]["stitches"] == "6 increased to 240"
    lines = ["Round 1: (k1, m1l) 6 times: 12 stitches."]
    for number in range(2, 40):
        lines.append(f"Round {number}: (k{number}, m1l) 6 times: {6 * (number + 1)} stitches.")
    off = body("Cast on 6 stitches.", JOIN, *lines, "Bind off all 240 stitches.")
    assert (off.courses[0].before, off.courses[-1].after) == (6, 240)


def test_h24_thirty_eight_rounds_of_rib_on_a_hundred_and_thirty_two():
    """Printed: 132 stitches, k2p2 rib 38 rounds, 8.5 cm, then 34 rounds, 7 cm."""
    assert (PATTERNS["H24"]["stitches"], PATTERNS["H24"]["gauge_as_printed"]) == ("132", "38 rounds = 8.5 cm")
    off = body(
        "Cast on 132 stitches.",
        JOIN,
        "Rounds 1 to 38: (k2, p2) 33 times.",
        "Rounds 39 to 72: knit.",
        "Bind off all 132 stitches.",
    )
    assert [course.after for course in off.courses] == [132] * (38 + 34)
    assert courses_of("kkpp" * 33, off) == 38


def test_h25_a_hundred_and_thirty_six_in_rib_of_one_and_one():
    """Printed: 136 stitches in rib of one and one."""
    assert (PATTERNS["H25"]["stitches"], PATTERNS["H25"]["stitch"][:8]) == ("136", "k1p1 rib")
    off = body("Cast on 136 stitches.", JOIN, "Rounds 1 to 4: (k1, p1) 68 times.", "Bind off all 136 stitches.")
    assert courses_of("kp" * 68, off) == 4


def test_h10_twenty_five_ribs_of_garter():
    """Printed: 48 stitches in garter, 25 ribs in 6 in; a rib of garter is two rows."""
    assert (PATTERNS["H10"]["stitches"], "25 ribs = 6 in" in PATTERNS["H10"]["gauge_as_printed"]) == ("48", True)
    off = body("Cast on 48 stitches.", "Rows 1 to 50: knit.", "Bind off all 48 stitches.")
    ridges = [course for course in off.courses if {one for one, _ in course.shows} == {"p"}]
    assert len(ridges) == 25
