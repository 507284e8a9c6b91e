"""What to know before the first stitch: which colour is held dominant, which floats are caught, how stripes meet."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import pairwise

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import in_role_order
from matcher.knitting.motifs.grid import longest_floats
from matcher.knitting.pattern.carried import taken_up
from matcher.knitting.pattern.pattern import Chart, Course, Piece, letter_of
from matcher.knitting.pattern.trade import GAUGE
from matcher.reasons.reason import Term, Words, counted, listed, reason


def notes_of(pieces: Sequence[Piece], charts: Sequence[Chart], constants: FabricConstants) -> tuple[Words, ...]:
    """The notes that any pattern of these pieces needs."""
    courses = [course for piece in pieces for course in piece.courses()]
    stranded = [one for one in courses if constants.structure(one.structure).stranded and len(_roles(one)) > 1]
    found: list[Words] = []
    if stranded:
        found += _held(stranded)
        found += _caught(charts, round(constants.long_float))
    if any(_striped(one, then) for one, then in pairwise(courses)):
        found.append(_STRIPES)
    found += _carried([rested for piece in pieces for rested in taken_up(piece) if rested], constants)
    return tuple(found)


_STRIPES = reason(
    "So that stripes meet where rounds begin: before the second round of each new colour lift the stitch below the "
    "first one on the needle, and knit the two together"
)


def _carried(rests: Sequence[int], constants: FabricConstants) -> Iterator[Words]:
    """What becomes of a colour while others are knitted. rests: for how many courses, each time."""
    most = round(constants.carried_courses)
    if not rests:
        return
    if max(rests) <= most:
        yield reason("Carry the colour that rests up inside, and cross it with the other in every second round or row")
    elif min(rests) > most:
        yield reason(
            "Cut a colour where it rests, since that is for more than {most} rounds or rows each time", most=most
        )
    else:
        yield reason(
            "Carry a colour up inside while it rests for {most} rounds or rows at most, and cross it with the other in "
            "every second one; cut it where it rests longer",
            most=most,
        )


def _roles(course: Course) -> list[str]:
    return sorted(course.roles, key=in_role_order)


def _striped(one: Course, then: Course) -> bool:
    """Whether a round of plain knitting follows another in another colour."""
    alike = (one.structure, one.flat) == (then.structure, then.flat) and not one.flat
    return alike and len(_roles(one)) == len(_roles(then)) == 1 and _roles(one) != _roles(then)


def _held(courses: Sequence[Course]) -> Iterator[Words]:
    """Which colour is carried below the other: what forms the motif stands out so."""
    together = sorted({tuple(_roles(course)) for course in courses}, key=lambda roles: [*map(in_role_order, roles)])
    contrasts = list(dict.fromkeys(role for roles in together for role in roles[1:]))
    ground = together[0][0]
    yield reason(
        "Where {ground} shares a {course} with {contrast}, the contrast is dominant: carry it below {ground} on the "
        "inside throughout, since what comes from below stands out",
        course=Term("row" if courses[0].flat else "round"),
        ground=letter_of(ground),
        contrast=listed(map(letter_of, sorted(contrasts, key=in_role_order)), "or"),
    )
    if any(len(roles) > 2 for roles in together):
        yield reason("In a round of three colours hold the one with the fewest stitches below the others")
    flat = "Measure your {gauge} over the motif, knitted in rows: floats draw it in"
    said = "Measure your {gauge} over the motif, knitted in the round: floats draw it in"
    yield reason(flat if courses[0].flat else said, gauge=GAUGE)


def _caught(charts: Sequence[Chart], most: int) -> Iterator[Words]:
    """Floats that are too long, by chart and row, or that none is. most: stitches that a float may pass."""
    none = True
    for chart in charts:
        rows: defaultdict[tuple[str, int], list[int]] = defaultdict(list)
        for number, row in enumerate(chart.rows, start=1):
            for role, passed in longest_floats([one.role for one in row if one.role]).items():
                if passed > most:
                    rows[role, passed].append(number)
        for (role, passed), numbers in sorted(rows.items(), key=lambda item: item[1]):
            none = False
            yield reason(
                "Chart {chart}, {rows}: {colour} passes behind {passed} stitches; catch it {times}, but not above a "
                "catch of the row below",
                chart=chart.name,
                rows=counted(len(numbers), "row {rows}", "rows {rows}", rows=listed(map(str, numbers), "and")),
                colour=letter_of(role),
                passed=passed,
                times=counted(math.ceil(passed / most) - 1, "once on its way", "{n} times on its way"),
            )
    if none:
        yield reason("No float passes behind more than {most} stitches, so none has to be caught", most=most)
