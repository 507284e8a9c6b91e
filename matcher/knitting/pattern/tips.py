"""Tips and toes: rounds that narrow at both sides, so that front and back keep their middles whole."""

from __future__ import annotations

from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.courses import ChartBook, changed_evenly, roles_of
from matcher.knitting.pattern.pattern import ChartRow, Course
from matcher.knitting.pattern.stitches import Stitch
from matcher.knitting.shaping import AT_SIDES


def tip_courses(part: FittedPart, fitted: Fitted, book: ChartBook) -> tuple[Course, ...]:
    """The rounds of a tip that begin at a side.

    Each half keeps its first stitch and its last; behind the first stands ssk, before the last k2tog, so that two
    columns go up unbroken at either edge of a half. A round that loses another number of stitches than two at either
    side, where the rounds are few, spreads its decreases evenly.
    """
    rows, live = [], part.first
    for number, stitches in enumerate(part.counts):
        roles = roles_of(part, fitted, number, stitches)
        if live - stitches == AT_SIDES:
            half = stitches // 2
            rows.append((*_half(roles[:half]), *_half(roles[half:])))
        else:
            rows.append(changed_evenly(live, stitches, roles[0]) if stitches < live else _knit(roles))
        live = stitches
    if all(len({role for _, role in row}) == 1 for row in rows):
        return tuple(Course(row, part.structure) for row in rows)
    times = 2 if all(row[: len(row) // 2] * 2 == row for row in rows) else 1
    chart = book.chart(tuple(row[: len(row) // times] for row in rows))
    charted = ((ChartRow(chart.name, number, times),) for number in range(1, len(rows) + 1))
    return tuple(Course(row, part.structure, charted=one) for row, one in zip(rows, charted, strict=True))


def _knit(roles: tuple[str, ...]) -> tuple[Stitch, ...]:
    return tuple(Stitch("k", role) for role in roles)


def _half(roles: tuple[str, ...]) -> tuple[Stitch, ...]:
    """One half of a decrease round, by the roles of the stitches that it leaves."""
    if len(roles) == 2:
        return Stitch("ssk", roles[0]), Stitch("k2tog", roles[1])
    first, inner, last = roles[:1], roles[1:-1], roles[-1:]
    if len(inner) == 1:
        return *_knit(first), Stitch("s2kp", inner[0]), *_knit(last)
    return *_knit(first), Stitch("ssk", inner[0]), *_knit(inner[1:-1]), Stitch("k2tog", inner[-1]), *_knit(last)
