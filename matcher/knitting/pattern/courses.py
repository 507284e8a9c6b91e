"""Rounds and rows of plain knitting, rib, garter and motif, as courses of a pattern."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.pattern import Chart, ChartRow, Course
from matcher.knitting.pattern.stitches import Stitch, mirrored

RIB = ("k", "k", "p", "p")


@dataclass
class ChartBook:
    """Charts as they come up, each row set kept once."""

    charts: dict[tuple[tuple[Stitch, ...], ...], Chart] = field(default_factory=dict)

    def chart(self, rows: tuple[tuple[Stitch, ...], ...]) -> Chart:
        """The chart of these rows; a new one gets the next letter."""
        if rows not in self.charts:
            number = len(self.charts)
            name = chr(ord("A") + number % 26) * (1 + number // 26)
            self.charts[rows] = Chart(name, rows)
        return self.charts[rows]

    def mirrored(self, name: str) -> Chart:
        """The mirror image of a chart."""
        rows = next(one.rows for one in self.charts.values() if one.name == name)
        return self.chart(tuple(mirrored(row) for row in rows))

    def all(self) -> tuple[Chart, ...]:
        return tuple(self.charts.values())


def plain_course(stitches: int, role: str, structure: str, number: int, constants: FabricConstants) -> Course:
    """Round `number` (from 0) of so many stitches in one colour, without shaping, in any structure of the catalogue."""
    purled = constants.structure(structure).purled
    if purled == "columns":
        once = tuple(Stitch(op, role) for op in RIB)
    else:
        once = (Stitch("p" if purled == "rows" and number % 2 == 1 else "k", role),)
    return Course((once * (stitches // len(once) + 1))[:stitches], structure)


def in_charts(courses: Sequence[tuple[tuple[Stitch, ...], int]], structure: str, book: ChartBook) -> tuple[Course, ...]:
    """Courses of a chart of their own: of each one repeat as it is worked, and how many times it is worked."""
    chart = book.chart(tuple(row for row, _ in courses))
    return tuple(
        Course(row * times, structure, charted=(ChartRow(chart.name, number, times),))
        for number, (row, times) in enumerate(courses, start=1)
    )


def period_of(rows: Sequence[object], step: int = 1, *, whole: bool = False) -> int:
    """After how many rows (or stitches) they come again from the first on; all of them where they don't. step: a
    multiple of it. whole: only so that they come whole times."""
    sizes = [size for size in range(step, len(rows) + 1, step) if not whole or len(rows) % size == 0]
    return next((size for size in sizes if all(rows[at] == rows[at % size] for at in range(len(rows)))), len(rows))


def roles_of(part: FittedPart, fitted: Fitted, number: int, stitches: int) -> tuple[str, ...]:
    """The roles of a round's stitches as they are worked, its motif begun anew at the round's beginning."""
    if not part.rows:
        assert part.role is not None, str(part.part)
        return (part.role,) * stitches
    row = part.rows[number][::-1]
    return tuple(fitted.marks[row[place % len(row)]] for place in range(stitches))


def motif_courses(part: FittedPart, fitted: Fitted, book: ChartBook) -> tuple[Course, ...]:
    """Rounds of a part that shows rows of a motif on an even number of repeats, knitted in the round.

    The chart holds the rows once where the part repeats them upwards; stripes, a colour a round, need none.
    """
    if all(len(set(row)) == 1 for row in part.rows):
        return tuple(
            Course((Stitch("k", fitted.marks[row[0]]),) * part.stitches_in(number), part.structure)
            for number, row in enumerate(part.rows)
        )
    rows = [tuple(Stitch("k", fitted.marks[mark]) for mark in reversed(row)) for row in part.rows]
    period = period_of(rows)
    chart = book.chart(tuple(rows[:period]))
    found = []
    for number, row in enumerate(rows):
        times, rest = divmod(part.stitches_in(number), len(row))
        if rest:
            raise ValueError(f"{part.part}: {part.stitches_in(number)} stitches are no whole repeats of {len(row)}")
        charted = (ChartRow(chart.name, number % period + 1, times),)
        found.append(Course(row * times, part.structure, charted=charted))
    return tuple(found)


def part_courses(part: FittedPart, fitted: Fitted, book: ChartBook, constants: FabricConstants) -> tuple[Course, ...]:
    """The rounds of a part that keeps its stitches, in its colour or its motif."""
    if part.rows:
        return motif_courses(part, fitted, book)
    assert part.role is not None, str(part.part)
    return tuple(
        plain_course(part.first, part.role, part.structure, number, constants) for number in range(part.rounds)
    )


def changed_evenly(before: int, after: int, role: str, purled: bool = False) -> tuple[Stitch, ...]:
    """A course in one colour that decreases or increases from `before` to `after`, evenly spread.

    The i-th change stands at floor(i n / k) stitches, so that runs between changes differ by one at most. Raises
    ValueError for more changes than a course can hold.
    """
    change = abs(after - before)
    if change > (before // 2 if after < before else before):
        raise ValueError(f"{before} stitches cannot become {after} in one course")
    plain = Stitch("p" if purled else "k", role)
    if not change:
        return (plain,) * before
    found: list[Stitch] = []
    for number in range(change):
        run = (number + 1) * before // change - number * before // change
        if after < before:
            found += [plain] * (run - 2) + [Stitch("p2tog" if purled else "k2tog", role)]
        else:
            found += [plain] * run + [Stitch("m1l", role)]
    return tuple(found)
