"""Mitts and mittens: two hands that mirror each other, a gusset and a thumb with every count, a tip that keeps its motif."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from listed import CATALOGUE, FABRIC, gauges

from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.cast_ons import Wearing, fits
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.pattern.counting import counted_steps
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.metres import needs_of_pattern
from matcher.knitting.pattern.pattern import Course, Finish, Pattern, PickUp, Piece, TakeUp
from matcher.knitting.pattern.words import lines_of

KEYS = [
    key
    for key, entry in sorted(CATALOGUE.accessories.items())
    if entry.kind == "mitts" and any(zone.shape == "triangle" for zone in entry.zones)
]
TAKES = {"k2tog": 2, "ssk": 2, "s2kp": 3, "m1l": 0, "m1r": 0, "co": 0}
LEAVES = {"hold": 0}
PLAIN = replace(next(iter(CATALOGUE.motifs.values())), grid=(".",), roles={".": "main"})


def made(key: str, size: str, gauge: Gauge) -> Pattern:
    entry = CATALOGUE.accessories[key]
    motif = next((CATALOGUE.motifs[zone.motif] for zone in entry.zones if zone.motif), PLAIN)
    wearing = Wearing(entry, size, CATALOGUE.sizes, gauge, FABRIC, CATALOGUE.fitting[entry.kind])
    return pattern_of(Making(entry, fits(wearing, motif)[0], FABRIC))


def all_gauges(key: str) -> list[Gauge]:
    return list(gauges(CATALOGUE.accessories[key]))


def hand_courses(piece: Piece) -> list[Course]:
    """What is knitted before the thumb."""
    return [step for section in piece.sections[:-1] for step in section.steps if isinstance(step, Course)]


def held_round(piece: Piece) -> int:
    return next(
        place for place, course in enumerate(hand_courses(piece)) if any(one.op == "hold" for one in course.stitches)
    )


@pytest.mark.parametrize("key", KEYS)
def test_every_size_and_gauge_is_knitted_to_its_end_in_the_metres_that_it_needs(key: str) -> None:
    """A gusset's first stitches, a stitch over the gap and its colour: a few stitches are all that words and sums may
    differ by."""
    for size in CATALOGUE.accessories[key].sizes:
        for gauge in all_gauges(key)[::2]:
            pattern = made(key, size, gauge)
            assert len(pattern.pieces) == 2
            for piece in pattern.pieces:
                assert piece.times == 1
                assert [after for _, _, after in counted_steps(piece)][-1] == 0
                assert lines_of(piece, pattern)
            needed = {one.role: one.length_m - one.tail_m for one in needs_of_fitted(pattern.fitted, FABRIC)}
            taken = {one.role: one.length_m - one.tail_m for one in needs_of_pattern(pattern, FABRIC)}
            assert taken == pytest.approx(needed, abs=4 * gauge.loop_cm / 100)


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("size", ["adult small", "adult large"])
def test_the_hands_are_mirror_images(key: str, size: str) -> None:
    """Every round of a hand above the cuff, stitch by stitch, leaning the other way."""
    leaning = {"k2tog": "ssk", "ssk": "k2tog", "m1l": "m1r", "m1r": "m1l"}
    pattern = made(key, size, all_gauges(key)[1])
    right, left = (hand_courses(piece) for piece in pattern.pieces)
    assert len(right) == len(left)
    compared = 0
    for one, other in zip(right, left, strict=True):
        if one.structure == "rib":
            continue
        compared += 1
        mirrored = [(leaning.get(op, op), role) for op, role in reversed(one.stitches)]
        there = [tuple(stitch) for stitch in other.stitches]
        # Whether the stitches wait before or after a stitch is cast on is the same.
        assert sorted(mirrored, key=lambda it: it[0] == "co") == sorted(there, key=lambda it: it[0] == "co")
    assert compared > 20


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("size", CATALOGUE.accessories[KEYS[0]].sizes)
def test_the_thumb(key: str, size: str) -> None:
    """It grows by two from one stitch, near the beginning of the right hand's rounds; it is as wide as the body's thumb
    with its ease; all that waits is taken back, and closed or bound off."""
    for gauge in all_gauges(key):
        right, left = made(key, size, gauge).pieces
        courses = hand_courses(right)
        top = held_round(right)
        grows = [
            sum(one.op in ("m1l", "m1r") for one in course.stitches)
            for course in courses[:top]
            if course.structure != "rib"
        ]
        made_in = [number for number in grows if number and number <= 2]
        held = sum(one.op == "hold" for one in courses[top].stitches)
        assert made_in[-(held // 2) :] == [2] * (held // 2)
        assert held % 2 == 1
        before = [one.op for one in courses[top].stitches].index("hold")
        behind = [one.op for one in reversed(hand_courses(left)[top].stitches) if one.op != "co"].index("hold")
        assert before == behind <= len(courses[top].stitches) / 6
        steps = right.sections[-1].steps
        assert isinstance(steps[0], TakeUp)
        picked = next(step for step in steps if isinstance(step, PickUp))
        assert picked.stitches == 3
        around = sum(LEAVES.get(one.op, 1) for one in next(step for step in steps if isinstance(step, Course)).stitches)
        assert around == held + 1
        body = CATALOGUE.sizes.dimension(size, "thumb") * 1.05 * gauge.stitches_10cm / 10
        assert around == pytest.approx(max(6, body), abs=1.5)  # whole stitches, and of these an even number
        end = steps[-1]
        assert isinstance(end, Finish)
        assert end.how == ("bind off" if key.startswith("mitts") else "draw through")


@pytest.mark.parametrize("key", [key for key in KEYS if CATALOGUE.accessories[key].several_colours])
def test_a_gusset_in_two_colours_changes_them_stitch_by_stitch(key: str) -> None:
    right = made(key, "adult medium", all_gauges(key)[0]).pieces[0]
    section = next(one for one in right.sections if str(one.heading) == "thumb gusset")
    checked = 0
    rows = [step for step in section.steps if isinstance(step, Course)]
    for course in rows[:-2]:
        (gusset,) = [one for one in course.charted if one.chart not in {first.chart for first in course.charted[:1]}]
        stitches = course.stitches[gusset.start : gusset.end]
        roles = [role for _, role in stitches]
        if len({role for _, role in course.stitches}) > 1:
            checked += all(one != other for one, other in pairwise(roles))
        else:
            assert set(roles) == {"main"}
    assert checked >= 5


def columns_of(course: Course, live: list[int]) -> list[tuple[int, str]]:
    """Which column of the round below each stitch stands on, with its role: of two together the one on top."""
    found, at = [], 0
    for op, role in course.stitches:
        taken = live[at : at + TAKES.get(op, 1)]
        at += len(taken)
        found.append(({"k2tog": taken[-1], "ssk": taken[0], "s2kp": taken[len(taken) // 2]}.get(op, taken[0]), role))
    return found


@pytest.mark.parametrize("key", ["mittens-stranded", "mittens-three-colours"])
@pytest.mark.parametrize("hand", [0, 1])
def test_a_tip_keeps_the_columns_of_the_motif(key: str, hand: int) -> None:
    """Each stitch of the tip shows what the motif, which runs on in its column, would show there."""
    entry = CATALOGUE.accessories[key]
    pattern = made(key, "adult medium", all_gauges(key)[0])
    piece = pattern.pieces[hand]
    tip = [step for step in piece.sections[-2].steps if isinstance(step, Course)]
    motif = CATALOGUE.motifs[next(zone.motif for zone in entry.zones if zone.motif)]
    wide = pattern.fitted.repeat
    assert pattern.fitted.plain_columns == 0
    tall = len(motif.grid)
    rounds = sum(len(part.rows) for part in pattern.fitted.parts if part.rows and part.shape == "tube")
    live = list(range(pattern.fitted.stitches))
    for number, course in enumerate(tip, start=rounds):
        row = motif.grid[number % tall]
        shown = columns_of(course, live)
        live = [column for column, _ in shown]
        for column, role in shown:
            # The right hand is worked from the right edge of the motif; the left one from its left edge.
            place = wide - 1 - column % wide if not hand else column % wide
            assert motif.roles[row[place]] == role
    half = len(live) // 2
    assert [column % (pattern.fitted.stitches // 2) for column in live] == 2 * live[:half]
