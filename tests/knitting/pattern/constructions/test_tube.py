"""Hats, cowls, headbands and cuffs in the terms of the trade: edges, brims, even increases, crowns, turn-overs, flaps."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, example, given, reject, settings
from hypothesis import strategies as st
from knitter import knit
from listed import CATALOGUE, FABRIC, listed

from matcher.drawing.pattern_text import pattern_text
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory, Dimension, Role, Zone
from matcher.knitting.construction import construction_of
from matcher.knitting.fabric import Gauge, gauges_of_class
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.fit.cast_ons import Wearing, fits, fitted, girth_of
from matcher.knitting.fit.crowns import whole_crown
from matcher.knitting.fit.fitted import CastOn as Casting
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.metres import needs_of_pattern
from matcher.knitting.pattern.pattern import CastOn, Course, Finish, Join, Pattern, Remark, Step, TakeUp
from matcher.knitting.pattern.words import lines_of

TUBES = [
    key for key, entry in sorted(CATALOGUE.accessories.items()) if construction_of(entry) in ("tube", "earflap hat")
]
HATS = [key for key in TUBES if CATALOGUE.accessories[key].zones[-1].shape == "crown"]


def made(key: str, size: str = "", stitches: float = 22.0) -> Pattern:
    return listed(key, size, Gauge.from_stitches(stitches, FABRIC, CATALOGUE.accessories[key].firmness))


def steps(pattern: Pattern) -> list[Step]:
    (piece,) = pattern.pieces
    return list(piece.steps())


def courses(pattern: Pattern, heading: str = "") -> list[Course]:
    (piece,) = pattern.pieces
    return [
        step
        for section in piece.sections
        if not heading or str(section.heading) == heading
        for step in section.steps
        if isinstance(step, Course)
    ]


def left(course: Course) -> int:
    """Stitches that a course leaves: each of its operations leaves one, but what is made twice."""
    return sum(2 if op in ("kfb", "pfb") else 1 for op, _ in course.stitches)


@pytest.mark.parametrize("key", TUBES)
def test_every_size_and_gauge_comes_out_and_takes_what_is_needed(key: str):
    """At the finest and the coarsest usual gauge of each class, one of them a size in turn and all for the first and
    the last size; `test_all_patterns` knits every one with -m long."""
    entry = CATALOGUE.accessories[key]
    usual = (gauges_of_class(number, FABRIC, CATALOGUE.classes, entry.firmness) for number in entry.classes)
    gauges = [*dict.fromkeys(gauge for of_class in usual for gauge in (of_class[0], of_class[-1]))]
    for place, size in enumerate(entry.sizes):
        turn = [gauges[place % len(gauges)]]
        for gauge in gauges if size in (entry.sizes[0], entry.sizes[-1]) else turn:
            pattern = listed(entry, size, gauge)
            for piece in pattern.pieces:
                lines_of(piece, pattern)
            needed = {need.role: need.length_m for need in needs_of_fitted(pattern.fitted, FABRIC)}
            for need in needs_of_pattern(pattern, FABRIC):
                # The tips of two flaps are counted with tails of their own, and are knitted on with the same yarn.
                tails = 2 * 2 * FABRIC.tail_m if key == "hat-earflap" else 0.0
                assert need.length_m == pytest.approx(needed[need.role] - tails, abs=1e-6), (size, gauge, need.role)


@pytest.mark.parametrize("key", TUBES)
def test_it_is_cast_on_joined_and_ends(key: str):
    pattern = made(key)
    order = [type(step) for step in steps(pattern) if not isinstance(step, Course | Remark)]
    if key != "hat-earflap":
        assert order == [CastOn, Join, Finish]
    finish = steps(pattern)[-1]
    assert isinstance(finish, Finish)
    assert finish.how == ("draw through" if key in HATS else "bind off")
    assert finish.loose == (key not in HATS)
    first = next(step for step in steps(pattern) if isinstance(step, CastOn))
    assert ("stretches" in str(first.how)) == (first.structure == "rib")


@pytest.mark.parametrize("key", [key for key in HATS if key != "egg-cosy"])
def test_a_crown_narrows_in_6_to_9_sections_every_second_round_first(key: str):
    crown = courses(made(key), "crown")
    counts = [left(course) for course in crown]
    assert 6 <= counts[-1] <= 9
    changed = [
        number
        for number, course in enumerate(crown)
        if any(op in ("k2tog", "ssk", "p2tog") for op, _ in course.stitches)
    ]
    gaps = [after - before for before, after in pairwise(changed)]
    assert gaps == sorted(gaps, reverse=True)
    assert set(gaps) <= {1, 2}
    for before, after in pairwise(changed[1:]):
        assert counts[before] - counts[after] == counts[-1]


@pytest.mark.parametrize("size", CATALOGUE.accessories["hat-ribbed"].sizes)
@pytest.mark.parametrize("stitches", [14.0, 18.0, 22.0, 26.0, 30.0])
def test_a_crown_of_rib_keeps_its_columns(size: str, stitches: float):
    """Followed column by column: each stitch is worked as it shows, and so is what two of them become."""
    gauge = Gauge.from_stitches(stitches, FABRIC)
    entry = CATALOGUE.accessories["hat-ribbed"]
    around = listed("hat-ribbed", size, gauge).fitted.stitches
    rows = entry.zones[-1].height
    assert rows is not None
    rounds = round(rows.in_cm(CATALOGUE.sizes, size) * gauge.rows_10cm / 10)
    parts = (
        FittedPart("brim and body", "rib", around, around, 10, "main"),
        FittedPart("crown", "rib", around, 8, rounds, "main", shape="crown"),
    )
    whole = Fitted(gauge, around, 1, around, 0, parts, {}, 50.0, 50.0, 0.0, 0.0)
    columns = list("kkpp" * (around // 4))
    ribbed = True
    for course in courses(pattern_of(Making(entry, whole, FABRIC)), "crown"):
        at, after = 0, []
        for op, _ in course.stitches:
            taken = columns[at : at + (2 if op in ("ssk", "p2tog", "k2tog") else 1)]
            at += len(taken)
            ribbed = ribbed and op != "k2tog"
            if ribbed:
                assert (
                    op == {"k": "k", "p": "p"}[taken[0]]
                    if len(taken) == 1
                    else op == {"k": "ssk", "p": "p2tog"}[taken[0]]
                )
            after.append(taken[0])
        assert at == len(columns)
        columns = after
    assert len(columns) <= 9


def test_a_brim_is_folded_in_half_and_its_edge_lies_where_the_rib_ends():
    pattern = made("hat-plain")
    rib = len(courses(pattern, "brim"))
    said = str(pattern.finishing[0])
    assert (
        said
        == f"Turn the edge up to the outside along round {round(rib / 2)}, so that it lies along round {2 * round(rib / 2)}"
    )


@pytest.mark.parametrize("key", ["hat-slouch", "wrist-warmers-stranded", "boot-cuffs-stranded", "headband-stranded"])
def test_stitches_that_are_added_after_the_rib_stand_evenly(key: str):
    """The published rule: the i-th of k changes over n stitches stands at floor(i n / k)."""
    entry, checked = CATALOGUE.accessories[key], 0
    for course in (
        one for size in entry.sizes for stitches in (18.0, 22.0, 26.0) for one in courses(made(key, size, stitches))
    ):
        ops = [op for op, _ in course.stitches]
        added = ops.count("m1l")
        if added:
            before = len(ops) - added
            stands = [place - number for number, place in enumerate(at for at, op in enumerate(ops) if op == "m1l")]
            assert stands == [number * before // added for number in range(1, added + 1)]
            checked += 1
    assert checked


def test_a_hat_changes_needles_before_the_first_round_that_is_too_short():
    pattern = made("hat-plain")
    order = [step for step in steps(pattern) if isinstance(step, Course | Remark)]
    told = next(
        place for place, step in enumerate(order) if isinstance(step, Remark) and "double-pointed" in str(step.words)
    )
    before, after = order[told - 1], order[told + 1]
    assert isinstance(before, Course)
    assert isinstance(after, Course)
    assert left(before) * 10 / 22 >= 40 > left(after) * 10 / 22


def test_rib_is_knitted_on_thinner_needles_below_and_above():
    said = [str(step.words) for step in steps(made("cowl-stranded")) if isinstance(step, Remark)]
    assert said == ["Begin on 3.5 mm needles", "Change to 4 mm needles", "Change to 3.5 mm needles"]


def test_a_turn_over_is_knitted_from_the_other_side_and_upside_down():
    entry = CATALOGUE.accessories["boot-cuffs-stranded"]
    gauge = Gauge.from_stitches(22.0, FABRIC)
    arrow = Motif("arrow", "arrow", ("..x...", ".xxx..", "xxxxx."), {".": "main", "x": "contrast 1"})
    wearing = Wearing(entry, "adult medium", CATALOGUE.sizes, gauge, FABRIC, CATALOGUE.fitting["cuffs"])
    fit = fits(wearing, arrow)[0]
    pattern = pattern_of(Making(entry, fit, FABRIC))
    turned = next(
        place
        for place, step in enumerate(steps(pattern))
        if isinstance(step, Remark) and "inside out" in str(step.words)
    )
    before = [step for step in steps(pattern)[:turned] if isinstance(step, Course)]
    assert {course.structure for course in before} == {"rib"}
    (motif,) = [part for part in fit.parts if part.rows]
    knitted = [course for course in courses(pattern) if course.charted]
    # Read from the right, the first round is the top row of what is seen, from its left edge.
    assert [[fit.marks[mark] for mark in row] for row in reversed(motif.rows)] == [
        [role for _, role in course.stitches][: len(motif.rows[0])] for course in knitted
    ]
    assert str(pattern.finishing[0]).startswith("Turn the last")


def test_rib_that_is_turned_over_needs_no_turning_of_the_work():
    pattern = made("boot-cuffs")
    assert not [step for step in steps(pattern) if isinstance(step, Remark) and "inside out" in str(step.words)]
    assert str(pattern.finishing[0]).startswith("Turn the last")


def test_flaps_that_are_wider_than_their_edge_are_refused():
    """As a pattern's file may ask for: a cast-on of few stitches, and a gauge at which the flaps have more."""
    entry = CATALOGUE.accessories["hat-earflap"]
    rule = CATALOGUE.fitting[entry.kind]
    wearing = Wearing(entry, "adult medium", CATALOGUE.sizes, Gauge.from_stitches(22.0, FABRIC), FABRIC, rule)
    one = Motif("mine", "mine", ("..x",), {".": "main", "x": "contrast 1"})
    with pytest.raises(BadInput, match=r"flaps of \d+ stitches in all are wider than their edge of 3 stitches"):
        fitted(wearing, wearing.outline, girth_of(wearing.outline, rule), one, Casting(3, 1, 0))


@pytest.mark.parametrize("size", CATALOGUE.accessories["hat-earflap"].sizes)
def test_both_flaps_are_taken_into_the_first_round(size: str):
    pattern = made("hat-earflap", size, 18.0)
    (piece,) = pattern.pieces
    flaps, edge, *_ = piece.sections
    rows = [step for step in flaps.steps if isinstance(step, Course)]
    assert flaps.times == 2
    assert left(rows[0]) == 3 or left(rows[0]) == 5
    assert rows[-1].wrong_side
    taken = next(step for step in edge.steps if isinstance(step, TakeUp))
    assert taken.holder == "flaps"
    first = next(step for step in edge.steps if isinstance(step, Course))
    runs = [(op, len(list(same))) for op, same in _runs(first)]
    (_, back), (_, one), (_, front), (_, other), (_, behind) = runs
    assert [op for op, _ in runs] == ["co", "k", "co", "k", "co"]
    assert one == other == left(rows[-1])
    assert abs(back - behind) <= 1
    assert front > back + behind
    assert back + one + front + other + behind == pattern.fitted.parts[0].first


def _runs(course: Course) -> list[tuple[str, list[str]]]:
    found: list[tuple[str, list[str]]] = []
    for op, _ in course.stitches:
        if not found or found[-1][0] != op:
            found.append((op, []))
        found[-1][1].append(op)
    return found


def test_what_it_measures_is_said_as_it_is_worn():
    pattern = made("hat-plain")
    rounds = {str(part.part): part.rounds for part in pattern.fitted.parts}
    rows = pattern.fitted.gauge.rows_10cm
    high = 10 * (rounds["brim"] / 2 + rounds["body"] + rounds["crown"]) / rows
    assert f"is {high:.1f} cm high" in str(pattern.before[0]) or f"is {high:.0f} cm high" in str(pattern.before[0])


def test_a_motif_that_runs_into_a_crown_is_charted_by_sections():
    entry = CATALOGUE.accessories["hat-stranded-band"]
    gauge = Gauge.from_stitches(22.0, FABRIC)
    row = "x" + "." * 11  # seen from the right side: worked last
    parts = (
        FittedPart("band", "stranded", 96, 96, 6, rows=(row,) * 6),
        FittedPart("crown", "stranded", 96, 8, 16, rows=((row,) * 16), shape="crown"),
    )

    whole = tuple(whole_crown(part) for part in parts)
    fit = Fitted(gauge, 96, 12, 8, 0, whole, {".": "main", "x": "contrast 1"}, 43.6, 43.6, 0.0, 0.0)
    zones = (replace(entry.zones[0], name="band", turned=0.0), replace(entry.zones[-1], name="crown"))
    pattern = pattern_of(Making(replace(entry, zones=zones), fit, FABRIC))
    crown = courses(pattern, "crown")
    for course in crown:
        (charted,) = course.charted
        assert charted.times == 8
        # The line of the contrast stands at the end of each section, from the band up to the top.
        wide = len(course.stitches) // 8
        assert [place for place, (_, role) in enumerate(course.stitches) if role == "contrast 1"] == list(
            range(wide - 1, 8 * wide, wide)
        )


@st.composite
def own_entries(draw: st.DrawFn) -> Accessory:
    """An entry of her own: some tubes, perhaps tapered ones, perhaps a crown, of any structure, plain or in a motif."""

    def zone(number: int, shape: str) -> Zone:
        around, end = (Dimension(cm=draw(st.integers(16, 70))) for _ in range(2))
        height, motif = Dimension(cm=draw(st.integers(5 if shape == "frustum" else 1, 12))), None
        structure = draw(st.sampled_from(["stocking", "rib", "garter"]))
        if draw(st.booleans()):
            motif = draw(st.sampled_from(["checks", "little-diamonds", "bricks", "even-stripes"]))
            structure = "stocking" if motif == "even-stripes" else "stranded"
        role = None if motif else "main"
        name = f"zone {number}"
        if shape == "frustum":
            return Zone(name, shape, structure, 1, around, end, height, role, motif)
        return Zone(name, shape, structure, 1, around, None, height, role, motif)

    shapes = ["tube", *draw(st.lists(st.sampled_from(["tube", "frustum"]), max_size=3))]
    shapes += ["crown"] * draw(st.booleans())
    zones = tuple(zone(number, shape) for number, shape in enumerate(shapes))
    roles = (Role("main"), Role("contrast 1"))
    return Accessory("own", "own", "hat", ("adult medium",), (3,), roles, zones, own=True)


def _funnel() -> Accessory:
    """From 22 stitches to 98 at once, at 14 stitches in 10 cm."""
    tube = Zone("zone 0", "tube", "stocking", 1, Dimension(cm=16), None, Dimension(cm=1), "main", None)
    motif = replace(tube, name="zone 1", structure="stranded", role=None, motif="checks")
    top = Zone("zone 2", "frustum", "stocking", 1, Dimension(cm=70), Dimension(cm=16), Dimension(cm=5), "main", None)
    roles = (Role("main"), Role("contrast 1"))
    return Accessory("own", "own", "hat", ("adult medium",), (3,), roles, (tube, motif, top), own=True)


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(own_entries(), st.sampled_from([14.0, 18.0, 22.0, 28.0]))
@example(_funnel(), 14.0)
def test_entries_of_her_own_are_knitted_from_their_page(entry: Accessory, stitches: float):
    gauge = Gauge.from_stitches(stitches, FABRIC)
    try:
        fit = as_listed(entry, "adult medium", gauge, CATALOGUE.sizes, CATALOGUE.motifs, FABRIC, CATALOGUE.fitting)
    except BadInput:
        reject()
    pattern = pattern_of(Making(entry, fit, FABRIC))
    assert construction_of(entry) == "tube"
    knit(pattern_text(pattern, FABRIC))
    if fit.extra:
        return  # sewn on, with edges of its own
    needed = {need.role: need.length_m for need in needs_of_fitted(fit, FABRIC)}
    # Where two parts have other numbers of stitches, a round of one of them makes the change, or one or two more; and as
    # many as it takes, where a round at most doubles or halves them.
    between = 0
    for below, above in pairwise(fit.parts):
        few, many = sorted((below.last, above.first))
        between += many * max(2, math.ceil(math.log2(many / few))) if few != many else 0
    for need in needs_of_pattern(pattern, FABRIC):
        assert abs(need.length_m - needed[need.role]) <= between * gauge.loop_cm / 100 + 1e-6
