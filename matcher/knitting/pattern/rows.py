"""Courses of a part in whatever shape, structure and colours: a piece by itself, in rows or in rounds.

A course is laid out as the right side shows it, from its right edge, one stitch for each that is on the needle after
it; then its changes are put in, at both edges in rows, evenly round in rounds; a row of the wrong side is turned over.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.courses import RIB, ChartBook, period_of
from matcher.knitting.pattern.pattern import ChartRow, Course
from matcher.knitting.pattern.stitches import FROM_BEHIND, Stitch

_FEWER = {"k": "k2tog", "p": "p2tog"}


def rows_of(
    part: FittedPart, fitted: Fitted, book: ChartBook, constants: FabricConstants, *, wrong_side_first: bool = False
) -> tuple[Course, ...]:
    """The rows of a part that is knitted flat, its first row on as many stitches as are cast on."""
    return _courses(part, fitted, book, constants, flat=True, turned=int(wrong_side_first))


def rounds_of(part: FittedPart, fitted: Fitted, book: ChartBook, constants: FabricConstants) -> tuple[Course, ...]:
    """The rounds of a part that is knitted in the round, with decreases or increases where it has any."""
    return _courses(part, fitted, book, constants, flat=False, turned=0)


def evenly(before: int, after: Sequence[Stitch]) -> tuple[Stitch, ...]:
    """A course from `before` stitches to those given, in which every change stands at floor(i n / k).

    A decrease takes the colour of the stitch that it makes. Where more are added than there are stitches, the rest is
    cast on beside them. Raises ValueError for more decreases than a course can hold.
    """
    change = len(after) - before
    if not change:
        return tuple(after)
    if -change > before // 2:
        raise ValueError(f"{before} stitches cannot become {len(after)} in one course")
    found, place = list(after), -1
    cuts = [number * before // abs(change) for number in range(abs(change) + 1)]
    for low, high in pairwise(cuts):
        place += high - low + (1 if change > 0 else -1)
        op, role = found[place]
        found[place] = Stitch(("m1l" if high > low else "co") if change > 0 else _FEWER[op], role)
    return tuple(found)


def at_edges(before: int, after: Sequence[Stitch]) -> tuple[Stitch, ...]:
    """A row from `before` stitches to those given, as it is worked: half of the changes at either edge.

    One more is a stitch worked twice, beside the edge at the end of the row; more than a row can hold so are cast on.
    """
    change, stitches = len(after) - before, list(after)
    first, last = (abs(change) + 1) // 2, abs(change) // 2
    if change < 0:
        if -change > before // 2:
            raise ValueError(f"{before} stitches cannot become {len(after)} in one row")
        head = [Stitch("ssk" if op == "k" else "p2tog", role) for op, role in stitches[:first]]
        tail = [Stitch(_FEWER[op], role) for op, role in stitches[len(stitches) - last :]]
        return (*head, *stitches[first : len(stitches) - last], *tail)
    if change and (change > 2 or before < 3):
        head, tail = (
            [Stitch("co", role) for _, role in side] for side in (stitches[:first], stitches[len(stitches) - last :])
        )
        return (*head, *stitches[first : len(stitches) - last], *tail)
    if not change:
        return tuple(stitches)
    if len({role for _, role in stitches}) > 1:  # a stitch that is worked twice would be both in one colour
        for place in (1, -2)[:change]:
            op, role = stitches[place]
            stitches[place] = Stitch("m1l" if op == "k" else "m1p", role)
        return tuple(stitches)
    twice = {"k": "kfb", "p": "pfb"}
    head = [Stitch(twice[stitches[0].op], stitches[0].role)]
    if change == 1:
        return (*head, *stitches[2:])
    op, role = stitches[-3]
    return (*head, *stitches[2:-3], Stitch(twice[op], role), stitches[-1])


def laid_out(
    part: FittedPart, number: int, stitches: int, second: bool, fitted: Fitted, constants: FabricConstants
) -> list[Stitch]:
    """What course `number`, from 0, shows on the right side, from its right edge: knits and purls in their colours.

    second: whether it is the one of two in which garter shows purls.
    """
    if part.rows:
        row = part.rows[number]
        roles = [fitted.marks[row[place % len(row)]] for place in reversed(range(stitches))]
    else:
        assert part.role is not None, str(part.part)
        roles = [part.role] * stitches
    purled = constants.structure(part.structure).purled
    if purled == "columns":
        return [Stitch(RIB[place % len(RIB)], role) for place, role in enumerate(roles)]
    op = "p" if purled == "rows" and second else "k"
    return [Stitch(op, role) for role in roles]


def turned_over(stitches: Sequence[Stitch]) -> list[Stitch]:
    """The same stitches as they are worked from behind."""
    return [Stitch(FROM_BEHIND[op], role) for op, role in reversed(stitches)]


def _courses(
    part: FittedPart, fitted: Fitted, book: ChartBook, constants: FabricConstants, *, flat: bool, turned: int
) -> tuple[Course, ...]:
    worked: list[tuple[Stitch, ...]] = []
    behind = [flat and (number + turned) % 2 == 1 for number in range(part.rounds)]
    before = part.first
    for number, wrong_side in enumerate(behind):
        second = wrong_side if flat else number % 2 == 1
        after = laid_out(part, number, part.stitches_in(number), second, fitted, constants)
        if wrong_side:
            after = turned_over(after)
        worked.append((at_edges if flat else evenly)(before, after))
        before = len(after)
    charted = _charted(part, worked, book, 2 if flat else 1)
    return tuple(
        Course(stitches, part.structure, flat, wrong_side, row)
        for stitches, wrong_side, row in zip(worked, behind, charted, strict=True)
    )


def _charted(
    part: FittedPart, worked: list[tuple[Stitch, ...]], book: ChartBook, step: int
) -> list[tuple[ChartRow, ...]]:
    """Which row of a chart each course follows; none where the part is in one colour or in stripes.

    The chart is one repeat wide where all courses are whole repeats, else as wide as the part.
    """
    if not part.rows or all(len(set(row)) == 1 for row in part.rows):
        return [()] * len(worked)
    wide = len(part.rows[0])
    even = all(row == row[:wide] * (part.first // wide) for row in worked)
    rows = [row[:wide] for row in worked] if even else worked
    period = period_of(rows, step)
    chart = book.chart(tuple(rows[:period]))
    return [
        (ChartRow(chart.name, number % period + 1, part.first // wide if even else 1),) for number in range(len(rows))
    ]
