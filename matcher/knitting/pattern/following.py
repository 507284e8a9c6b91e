"""A pattern step by step: what each says by itself, which line tells of it, and which row of a chart it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from matcher.knitting.pattern.charted import SeenChart, seen_charts
from matcher.knitting.pattern.counting import counted_steps
from matcher.knitting.pattern.pattern import Course, Pattern
from matcher.knitting.pattern.words import course_words, lines_of, step_lines
from matcher.reasons.reason import Words, reason


@dataclass(frozen=True)
class Place:
    """One step of one copy of a piece, as `stages_of` counts them.

    words: what to do; a step that says nothing by itself has none. spelled: rows of charts, stitch by stitch.
    piece, section: its places in the pattern; line: which line of its section tells of it, None for none.
    charts: places among `seen_charts`, each with the number of its row there.
    """

    words: tuple[Words, ...]
    spelled: tuple[Words, ...]
    piece: int
    section: int
    line: int | None
    charts: tuple[tuple[int, int], ...]


def places_of(pattern: Pattern) -> tuple[Place, ...]:
    """Every step of every copy of every piece, in the order in which everything is knitted."""
    charts = seen_charts(pattern)
    return tuple(
        one
        for place in range(len(pattern.pieces))
        for once in [tuple(_of_piece(place, pattern, charts))]
        for _ in range(pattern.pieces[place].times)
        for one in once
    )


def _of_piece(place: int, pattern: Pattern, charts: tuple[SeenChart, ...]) -> Iterator[Place]:
    piece = pattern.pieces[place]
    steps, said, number = counted_steps(piece), lines_of(piece, pattern), 0
    for at, section in enumerate(piece.sections):
        lines = said[at].lines
        for _ in range(section.times):
            number = 0 if section.anew else number
            first = 1 if section.times > 1 else 0  # the line that says how often
            for _ in section.steps:
                here = next(steps)
                course = here[0] if isinstance(here[0], Course) else None
                number += course is not None
                words = step_lines(here, number if course else 0, pattern)
                line: int | None = None
                if course is not None:
                    line = next((n for n, one in enumerate(lines) if one.first <= number <= one.last), None)
                elif words:
                    line = next((n for n, one in enumerate(lines) if n >= first and one.words == words[0]), None)
                rows = tuple(_rows(course, number, section.heading, charts)) if course else ()
                spelled = tuple(_spelled(course, pattern)) if course else ()
                yield Place(words, spelled, place, at, line, rows)


def _rows(course: Course, number: int, heading: Words, charts: tuple[SeenChart, ...]) -> Iterator[tuple[int, int]]:
    for place, chart in enumerate(charts):
        if chart.lettered:
            named = (row.row for row in course.charted if row.chart == chart.name)
            yield from ((place, row) for row in dict.fromkeys(named))
        elif chart.name == heading and any(number in row.courses for row in chart.rows):
            yield place, number


def _spelled(course: Course, pattern: Pattern) -> Iterator[Words]:
    """The rows of charts that a course follows, which its own words only name."""
    for row in dict.fromkeys((one.chart, one.row) for one in course.charted):
        stitches = pattern.chart(row[0]).rows[row[1] - 1]
        work = course_words(replace(course, stitches=stitches, charted=()), pattern.several)
        yield reason("chart {chart}, row {row}: {work}", chart=row[0], row=row[1], work=work)
