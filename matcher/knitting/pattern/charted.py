"""What a pattern's charts show: its own charts, and those of shaped parts, which its words tell round by round.

Rows as they are seen from the right side, each with the number of the round or row that it is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matcher.knitting.pattern.pattern import Course, Pattern, Piece
from matcher.knitting.pattern.stitches import OPERATIONS, Stitch, from_the_right_side
from matcher.reasons.reason import Words

_LEAST_CHANGES = 3  # a shaped part is charted where at least so many of its rounds narrow or widen, ...
_LEAST_TIMES = 2  # ... they repeat at least so often round the needle ...
_WIDEST = 40  # ... and one repeat has no more stitches than this
_UNEVEN = 3  # so many first rounds may be uneven, and are told by words alone


@dataclass(frozen=True)
class SeenRow:
    """A row of a chart from left to right, as the right side shows it.

    number: as the words call it. courses: which rounds of the piece it is. gap: cells that are no stitch to its left.
    """

    stitches: tuple[Stitch, ...]
    number: int
    courses: tuple[int, ...] = ()
    wrong_side: bool = False
    gap: int = 0

    @property
    def cells(self) -> tuple[Stitch, ...]:
        """What stands in each box: a stitch that takes or gives several has as many boxes as it leaves."""
        return tuple(
            Stitch(one.op if not more else "k", one.role)
            for one in self.stitches
            for more in range(OPERATIONS[one.op].leaves)
        )


@dataclass(frozen=True)
class SeenChart:
    """One repeat, lowest row first. name: a letter, or what is shaped. times: how often side by side, in each of its
    rows; several where that differs. flat: knitted in rows. columns: boxes from side to side.
    beside: other stitches stand beside it in a round."""

    name: Words
    lettered: bool
    rows: tuple[SeenRow, ...]
    times: tuple[int, ...]
    flat: bool
    columns: int
    beside: bool = False


def seen_charts(pattern: Pattern) -> tuple[SeenChart, ...]:
    """The charts by their letters, then the shaped parts as they are knitted."""
    lettered = tuple(_lettered(pattern))
    return (*lettered, *dict.fromkeys(one for piece in pattern.pieces for one in _shaped(piece)))


def _lettered(pattern: Pattern) -> Iterator[SeenChart]:
    for chart in pattern.charts:
        used = [
            (row, number, course)
            for piece in pattern.pieces
            for number, course in _numbered(piece)
            for row in course.charted
            if row.chart == chart.name
        ]
        behind = {row.row for row, _, course in used if course.wrong_side}
        rows = [
            SeenRow(
                from_the_right_side(stitches, number in behind),
                number,
                tuple(dict.fromkeys(at for row, at, _ in used if row.row == number)),
                number in behind,
            )
            for number, stitches in enumerate(chart.rows, start=1)
        ]
        times = tuple(dict.fromkeys(row.times for row, _, _ in used))
        flat = any(course.flat for *_, course in used)
        beside = any((row.start, row.end) != (0, None) for row, *_ in used)
        yield SeenChart(chart.name, True, *_placed(rows, times, flat), beside)


def _numbered(piece: Piece) -> Iterator[tuple[int, Course]]:
    """The courses with the numbers that the words give them."""
    for section in _sections(piece):
        yield from section[1]


def _sections(piece: Piece) -> Iterator[tuple[Words, list[tuple[int, Course]]]]:
    number = 0
    for section in piece.sections:
        if section.anew:
            number = 0
        courses = [step for step in section.steps if isinstance(step, Course)]
        yield section.heading, list(enumerate(courses, start=number + 1))
        number += len(courses)


def _shaped(piece: Piece) -> Iterator[SeenChart]:
    """Rounds that narrow or widen and are in no chart yet, where they repeat round the needle."""
    for heading, courses in _sections(piece):
        changing = [at for at, (_, course) in enumerate(courses) if course.changes and not course.charted]
        if len(changing) < _LEAST_CHANGES:
            continue
        run = courses[changing[0] : changing[-1] + 1]
        if any(course.charted or course.flat or course.holder for _, course in run):
            continue
        for start in range(min(_UNEVEN, len(run) - 1)):
            found = _repeating(heading, run[start:])
            if found is not None:
                yield found
                break


def _repeating(heading: Words, run: Sequence[tuple[int, Course]]) -> SeenChart | None:
    most = math.gcd(*(len(course.stitches) for _, course in run))
    for times in range(most, _LEAST_TIMES - 1, -1):
        if most % times == 0 and all(_comes_again(course.stitches, times) for _, course in run):
            widest = max(len(course.stitches) for _, course in run) // times
            if widest > _WIDEST:
                return None
            rows = [
                SeenRow(from_the_right_side(course.stitches[: len(course.stitches) // times], False), number, (number,))
                for number, course in run
            ]
            return SeenChart(heading, False, *_placed(rows, (times,), False))
    return None


def _comes_again(stitches: tuple[Stitch, ...], times: int) -> bool:
    return stitches[: len(stitches) // times] * times == stitches


def _placed(
    rows: Sequence[SeenRow], times: tuple[int, ...], flat: bool
) -> tuple[tuple[SeenRow, ...], tuple[int, ...], bool, int]:
    """Each row above the stitches that it is worked into: where it narrows or widens, it does so at the side at which
    its decreases or increases stand."""
    gaps, gap = [], 0.0
    for place, row in enumerate(rows):
        middle, at = len(row.stitches) / 2, 0.0
        for one in row.stitches if place else ():
            less = OPERATIONS[one.op].takes - OPERATIONS[one.op].leaves
            gap += less * (1.0 if at + 0.5 < middle else 0.5 if at + 0.5 == middle else 0.0)
            at += 1
        gaps.append(math.floor(gap))
    least = min(gaps)
    placed = tuple(
        SeenRow(row.stitches, row.number, row.courses, row.wrong_side, gap - least)
        for row, gap in zip(rows, gaps, strict=True)
    )
    return placed, times, flat, max(row.gap + len(row.cells) for row in placed)
