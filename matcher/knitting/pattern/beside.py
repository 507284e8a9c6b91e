"""Courses side by side in one round, each with its own chart or its own words; and their mirror images."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.pattern import ChartRow, Course
from matcher.knitting.pattern.stitches import mirrored


def side_by_side(courses: Sequence[Course]) -> Course:
    """One round of several, in the order in which they are worked; its structure is that of the last one."""
    charted: list[ChartRow] = []
    at = 0
    for course in courses:
        for one in course.charted:
            end = len(course.stitches) if one.end is None else one.end
            charted.append(replace(one, start=at + one.start, end=at + end))
        at += len(course.stitches)
    stitches = tuple(stitch for course in courses for stitch in course.stitches)
    if len(charted) == 1 and (charted[0].start, charted[0].end) == (0, at):
        charted = [replace(charted[0], end=None)]
    holder = next((course.holder for course in courses if course.holder), "")
    return replace(courses[-1], stitches=stitches, charted=tuple(charted), holder=holder)


def split(course: Course, at: int) -> tuple[Course, Course]:
    """A round in two, behind its first `at` stitches; a chart is parted between two repeats."""
    here, there = (replace(course, stitches=one) for one in (course.stitches[:at], course.stitches[at:]))
    for one in course.charted:
        times = at * one.times // len(course.stitches)
        here = replace(here, charted=(replace(one, times=times),) if times else ())
        there = replace(there, charted=(replace(one, times=one.times - times),))
    return here, there


def less_first(course: Course) -> Course:
    """A round without its first stitch, which something else takes in."""
    charted = course.charted
    if charted:
        charted = (replace(charted[0], less_first=1, end=None), *charted[1:])
    return replace(course, stitches=course.stitches[1:], charted=charted)


def mirror(course: Course, book: ChartBook) -> Course:
    """The mirror image of a round, and of the charts that it follows."""
    length = len(course.stitches)
    charted = tuple(
        replace(
            one,
            chart=book.mirrored(one.chart).name,
            start=length - one.end if one.end is not None else 0,
            end=length - one.start if one.start else None,
            less_first=one.less_last,
            less_last=one.less_first,
        )
        for one in reversed(course.charted)
    )
    return replace(course, stitches=mirrored(course.stitches), charted=charted)
