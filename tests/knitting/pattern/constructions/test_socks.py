"""Socks: every row of the heel, every count of the gusset, a toe in halves; nothing waits at the end."""

from __future__ import annotations

import pytest
from listed import CATALOGUE, FABRIC, gauges, listed

from matcher.errors import BadInput
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.cast_ons import Wearing, fits
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.pattern.counting import counted_steps
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.metres import needs_of_pattern
from matcher.knitting.pattern.pattern import Course, Finish, Pattern
from matcher.knitting.pattern.words import lines_of
from matcher.reasons.style import PLAIN

KEYS = ["socks-ankle", "socks-bed"]


def each(key: str) -> list[Pattern]:
    entry = CATALOGUE.accessories[key]
    return [listed(entry, size, gauge) for size in entry.sizes for gauge in gauges(entry)]


def courses(pattern: Pattern, heading: str) -> list[Course]:
    (piece,) = pattern.pieces
    section = next(one for one in piece.sections if str(one.heading) == heading)
    return [step for step in section.steps if isinstance(step, Course)]


def ops(course: Course) -> list[str]:
    return [op for op, _ in course.stitches]


@pytest.mark.parametrize("key", KEYS)
def test_every_size_and_gauge_is_knitted_to_its_end_in_the_metres_that_it_needs(key: str) -> None:
    for pattern in each(key):
        (piece,) = pattern.pieces
        assert piece.times == 2
        assert lines_of(piece, pattern)
        assert [after for _, _, after in counted_steps(piece)][-1] == 0
        (needed,), (taken,) = needs_of_fitted(pattern.fitted, FABRIC), needs_of_pattern(pattern, FABRIC)
        assert taken.length_m - taken.tail_m == pytest.approx(needed.length_m - needed.tail_m)


@pytest.mark.parametrize("key", KEYS)
def test_the_heel_row_by_row(key: str) -> None:
    """A flap on half the leg, with as many rows as stitches or nearly; the turn begins beyond its middle, takes in a
    stitch in each row and leaves none beside; a stitch for every second row is picked up on both sides, one in the
    corner; then two fewer in every second round down to the foot."""
    for pattern in each(key):
        flap, turn, gusset = (courses(pattern, one) for one in ("heel flap", "heel turn", "gusset"))
        leg = len(ops(courses(pattern, "leg")[-1]))
        wide = len(ops(flap[0])) - 1
        assert wide == leg / 2
        assert len(flap) % 2 == 0
        assert len(flap) == pytest.approx(wide, abs=0.1 * wide + 1)
        assert [course.wrong_side for course in flap] == [False, True] * (len(flap) // 2)
        assert ops(flap[0]) == ["sl"] + ["k"] * (wide - 1) + ["turn"]
        assert ops(flap[1]) == ["sl"] + ["p"] * (wide - 1) + ["turn"]
        right, left = wide, 0  # stitches to the left and to the right of the gap that the last row has left
        middle = ops(turn[1]).count("p") - 1
        for number, course in enumerate(turn[:-1]):
            worked = ops(course)
            knit, together = ("p", "p2tog") if number % 2 else ("k", "ssk")
            run = middle + number - 1 if number else worked.count("k") - 1
            assert worked == ["sl", *[knit] * run, together, knit, "turn"]
            beyond = right if not number % 2 else left
            used = run + 4
            if not number:
                right = beyond - used
                assert used - 3 >= wide / 2
                left = used - 1
            elif number == 1:
                left -= used
                assert left == right
            elif number % 2:
                left -= 2
            else:
                right -= 2
        assert (left, right) == (0, 0)
        heel = wide - len(turn[:-1])
        assert ops(turn[-1]) == ["k"] * (heel // 2) + ["pm"]
        picked = ops(gusset[0]).count("pu") // 2
        assert picked == len(flap) // 2 + 1
        live = heel + 2 * picked + leg // 2
        assert sum(op not in ("k2tog", "ssk") or 1 for op in ops(gusset[0])) == live
        foot = pattern.fitted.parts[-1].first
        for number, course in enumerate(gusset[1:], start=1):
            narrows = [op for op in ops(course) if op not in ("k",)]
            if narrows:
                assert narrows == ["k2tog", "ssk"]
                # They stand at either side of the instep, with a stitch between.
                first, last = ops(course).index("k2tog"), ops(course).index("ssk")
                assert last - first - 1 == foot // 2 + 2
                live -= 2
            assert number % 2 == 1 or not narrows or len(gusset) > 2 * number - len(gusset)
        assert live == foot
        assert [bool({"k2tog"} & set(ops(course))) for course in gusset[1:4]] == [True, False, True]


@pytest.mark.parametrize("key", KEYS)
def test_the_toe_in_halves(key: str) -> None:
    """Four fewer a round, at both sides of sole and upper half; as many are left of both, and grafted."""
    for pattern in each(key):
        toe = courses(pattern, "toe")
        foot = pattern.fitted.parts[-1].first
        begin, live = foot // 4, foot
        for course in toe[:-1]:
            worked = ops(course)
            if set(worked) == {"k"}:
                assert len(worked) == live
                continue
            begin -= 1
            half = live // 2 - 2
            live -= 4
            assert [at for at, op in enumerate(worked) if op in ("k2tog", "ssk")] == [
                begin - 2, begin + 1, begin + half - 2, begin + half + 1,
            ]  # fmt: skip
            assert [op for op in worked if op != "k"] == ["k2tog", "ssk"] * 2
        assert ops(toe[-1]) == ["k"] * begin + ["pm"]
        assert live == 4 * begin
        end = pattern.pieces[0].sections[-1].steps[-1]
        assert isinstance(end, Finish)
        assert end.how == "graft"


def test_a_sock_of_64_stitches() -> None:
    """The heel of 32 stitches that many printed socks have, in words; its rows are worked out by hand."""
    pattern = listed("socks-ankle", "adult small", Gauge.from_stitches(31.5, FABRIC, 1.15))
    said = [PLAIN.sentence(line.words) for part in lines_of(pattern.pieces[0], pattern) for line in part.lines]
    for line in (
        "Cast on 64 stitches.",
        "Row 1 (right side): sl1, k31, turn.",
        "Row 1 (right side): sl1, k16, ssk, k1, turn: 63 stitches.",
        "Row 2 (wrong side): sl1, p3, p2tog, p1, turn: 62 stitches.",
        "Row 15 (right side): k9, pm.",
        "Round 1: k9, pu17, k32, pu17, k9: 84 stitches.",
        "Round 2: k23, k2tog, k34, ssk, k23: 82 stitches.",
    ):
        assert line in said


def test_a_motif_begins_above_the_gusset() -> None:
    """Rounds beside a gusset are plain, since the motif would not come out there; so is the toe."""
    entry = CATALOGUE.accessories["socks-bed"]
    gauge = Gauge.from_stitches(22.0, FABRIC)
    wearing = Wearing(entry, "adult medium", CATALOGUE.sizes, gauge, FABRIC, CATALOGUE.fitting["socks"])
    pattern = pattern_of(Making(entry, fits(wearing, CATALOGUE.motifs["checks"])[0], FABRIC))
    for heading in ("gusset", "toe"):
        assert not any(course.charted for course in courses(pattern, heading))
    assert any(course.charted for course in courses(pattern, "foot"))
    needed = {one.role: one.length_m - one.tail_m for one in needs_of_fitted(pattern.fitted, FABRIC)}
    taken = {one.role: one.length_m - one.tail_m for one in needs_of_pattern(pattern, FABRIC)}
    assert taken == pytest.approx(needed)


def test_a_heel_too_small_to_turn_says_so() -> None:
    with pytest.raises(BadInput, match="heel"):
        listed("socks-bed", "adult small", Gauge.from_stitches(4.0, FABRIC))
