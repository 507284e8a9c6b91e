"""Neighbouring courses that one line can say, and lines that come again, for a pattern in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from matcher.knitting.pattern.pattern import Course, Step
from matcher.knitting.pattern.repeats import runs_of
from matcher.knitting.pattern.stitches import Stitch, takes

_LONGEST_CYCLE = 8  # courses that are repeated as one
_MOST_BESIDE = 6  # stitches behind a long run, for it to be said as going up to them

Counted = tuple[Step, int, int]
"""A step with the stitches on the needle before and after it."""

Block = tuple[Counted, ...]


def blocks_of(here: Sequence[Counted]) -> Iterator[Block]:
    """Courses that one line can say."""
    at = 0
    while at < len(here):
        end = at + 1
        while end < len(here) and _goes_on(here[end - 1], here[end]):
            if end - at > 1 and _climbs(here, end) != _climbs(here, at + 1):
                break
            end += 1
        yield tuple(here[at:end])
        at = end


def _climbs(here: Sequence[Counted], number: int) -> bool:
    """Whether a course follows other rows of charts than the one before it."""
    return course_of(here[number - 1]).charted != course_of(here[number]).charted


def _goes_on(one: Counted, then: Counted) -> bool:
    (_, before, after), (_, _, end) = one, then
    a, b = course_of(one), course_of(then)
    if before != after or after != end or a.holder or b.holder:
        return False
    if a.flat and not a.charted and a.stitches == b.stitches:
        return True  # the same words, whichever side it is
    if a.charted and b.charted and a != b:
        above = tuple(replace(one, row=one.row + 1) for one in a.charted)
        return b.charted == above and beside_charts(a) == beside_charts(b)
    return a == b


def cycle_at(blocks: Sequence[Block], at: int) -> tuple[int, int]:
    """How many blocks from here come again at once, and how often: what says most of them in a line; (1, 1) if none."""
    same = [_same(block) for block in blocks[at:]]
    best = (1, 1)
    for cycle in range(1, min(_LONGEST_CYCLE, len(same) // 2) + 1):
        times = 1
        while same[times * cycle : (times + 1) * cycle] == same[:cycle]:
            times += 1
        if times > 1 and cycle * (times - 1) > best[0] * (best[1] - 1):
            best = (cycle, times)
    return best


def _same(block: Block) -> tuple[object, ...]:
    """What tells a block from others: what its words say, without the stitches that they need not count."""
    return tuple(_told(course_of(one)) or one for one in block)


def _told(course: Course) -> tuple[object, ...]:
    """What a row that is said without counts says; empty for others."""
    if course.flat and not course.charted and len(set(course.stitches)) == 1:
        return (course.structure, course.stitches[0])
    long = long_run(course)
    if long is None:
        return ()
    start, end = long
    return course.structure, course.stitches[:start], course.stitches[start], course.stitches[end:]


def long_run(course: Course) -> tuple[int, int] | None:
    """Where the one long run of knit or purl stitches begins and ends, in a row that is shaped beside it."""
    if not course.flat or course.charted or not course.changes:
        return None
    if any(one.op in ("turn", "hold") for one in course.counts) or len({one.role for one in course.counts}) > 1:
        return None
    found, at = [], 0
    for run in runs_of(course.stitches):
        if run.stitch.op in ("k", "p"):
            found.append((at, at + run.times))
        at += run.times
    long = max(found, key=lambda one: one[1] - one[0], default=(0, 0))
    beside = course.stitches[long[1] :]
    return long if long[1] - long[0] > 1 and takes(beside) <= _MOST_BESIDE else None


def course_of(one: Counted) -> Course:
    course = one[0]
    assert isinstance(course, Course)
    return course


def beside_charts(course: Course) -> list[tuple[Stitch, ...]]:
    """What stands before each chart row of a course, and behind the last one."""
    found, at = [], 0
    for one in course.charted:
        found.append(course.stitches[at : one.start])
        at = len(course.stitches) if one.end is None else one.end
    return [*found, course.stitches[at:]]
