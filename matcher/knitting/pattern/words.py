"""A pattern in words: one line for each thing to do, in the abbreviations of the trade.

How a line is built, so that it can be read back:

    Cast on 96 stitches with MC.
    Rounds 1 to 12: (k2, p2) 24 times.
    Round 13: (k24, m1l) 4 times: 100 stitches.
    Rounds 14 to 38: chart A, rows 1 to 25, 10 times round.
    Round 39: k1 MC, then chart B, row 3, once, then chart A, row 7, 10 times, leaving out the very first stitch.
    Rounds 41 to 60: repeat rounds 39 and 40, 10 more times.
    Row 3 (wrong side): sl1, p5, p2tog, p1, turn.
    Row 13 (right side): k10, pm.
    Round 1: k10, pu18, k34, pu18, k10: 90 stitches.
    Bind off all 96 stitches with MC in rib, loosely, so that the edge stretches.
    Row 8 (right side): kfb, knit to the last 2 stitches, kfb, k1: 9 stitches.
    Rows 11 to 40: repeat rows 8 to 10, 10 more times: 29 stitches.
    Take 40 live stitches of the left sleeve on the needle: 40 stitches.
    Work this section 6 times.

"knit" and "purl" alone mean every stitch, "to the last 2 stitches" so many as there are before them. A count stands
at the end wherever it changes, of a repeat after the last one; in several colours each stitch says its colour,
"k2 MC", or the whole course: "with MC, knit". Rounds are numbered through a piece, but in a section that begins anew.
A section that is worked several times says so first; what it puts on hold adds up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from matcher.knitting.pattern.counting import counted_steps
from matcher.knitting.pattern.cycles import Block, Counted, beside_charts, blocks_of, course_of, cycle_at, long_run
from matcher.knitting.pattern.pattern import (
    Bring,
    CastOn,
    ChartRow,
    Course,
    Finish,
    Join,
    Pattern,
    PickUp,
    Piece,
    Remark,
    Rest,
    Step,
    TakeUp,
    letter_of,
)
from matcher.knitting.pattern.repeats import Item, Run, said_shortly
from matcher.knitting.pattern.stitches import OPERATIONS, Stitch, takes
from matcher.knitting.pattern.trade import BIND_OFF
from matcher.reasons.reason import Term, Words, counted, listed, reason

_NUMBERED = ("k", "p", "sl", "co", "pu")  # "k10"; of others each is one stitch or a repeat


@dataclass(frozen=True)
class Line:
    """One line to knit from. first, last: the courses it is about, as they are numbered; 0 where it is about none."""

    words: Words
    first: int = 0
    last: int = 0


@dataclass(frozen=True)
class SectionLines:
    """The lines of a section under its heading."""

    heading: Words
    lines: tuple[Line, ...]


def lines_of(piece: Piece, pattern: Pattern) -> tuple[SectionLines, ...]:
    """Every section of a piece in lines, its rounds numbered. Raises ValueError where the stitches do not come out."""
    steps = counted_steps(piece)
    found, number = [], 0
    for section in piece.sections:
        if section.anew:
            number = 0
        here = [next(steps) for _ in section.steps]
        for _ in range(len(section.steps) * (section.times - 1)):
            next(steps)
        lines: list[Line] = []
        if section.times > 1:
            lines.append(Line(counted(section.times, "Work this section once", "Work this section {n} times")))
        at = 0
        while at < len(here):
            if isinstance(here[at][0], Course):
                end = at
                while end < len(here) and isinstance(here[end][0], Course):
                    end += 1
                lines += _courses(here[at:end], number, pattern)
                number += end - at
                at = end
            else:
                lines += [Line(words) for words in _step_words(*here[at], pattern)]
                at += 1
        found.append(SectionLines(section.heading, tuple(lines)))
    for _ in steps:  # whatever is left at the end is told here
        pass
    return tuple(found)


def _courses(here: Sequence[Counted], number: int, pattern: Pattern) -> Iterator[Line]:
    """Neighbouring courses: alike as one line, chart rows that follow each other as one, cycles as a repeat."""
    blocks = list(blocks_of([step for step in here if isinstance(step[0], Course)]))
    at = 0
    while at < len(blocks):
        cycle, times = cycle_at(blocks, at)
        first = number + 1
        length = sum(len(block) for block in blocks[at : at + cycle])
        sided = times == 1 or length % 2 == 0  # else it comes on the other side the next time
        for block in blocks[at : at + cycle]:
            yield _block_line(block, number, pattern, sided)
            number += len(block)
        if times > 1:
            more = times - 1
            of = _numbers(first, number, _flat(blocks[at]))
            again: Words = counted(more, "repeat {courses}, once more", "repeat {courses}, {n} more times", courses=of)
            before, after = blocks[at + cycle][0][1], blocks[at + cycle * times - 1][-1][2]
            if before != after:
                again = counted(after, "{work}: {n} stitch", "{work}: {n} stitches", work=again)
            last = number + more * length
            yield Line(_headed(number + 1, last, blocks[at], again, sided=False), number + 1, last)
            number = last
        at += cycle * times


def step_lines(here: Counted, number: int, pattern: Pattern) -> tuple[Words, ...]:
    """One step by itself, as she comes to it. number: of its course, as the lines count it; 0 of another step."""
    step, before, after = here
    if isinstance(step, Course):
        return (_block_line((here,), number - 1, pattern, sided=True).words,)
    return tuple(_step_words(step, before, after, pattern))


def _flat(block: Block) -> bool:
    course = course_of(block[0])
    return course.flat


def _numbers(first: int, last: int, flat: bool) -> Words:
    """ "round 3", "rounds 3 and 4", "rounds 3 to 9"."""
    if first == last:
        return reason("row {first}" if flat else "round {first}", first=first)
    if last == first + 1:
        both = "rows {first} and {last}" if flat else "rounds {first} and {last}"
        return reason(both, first=first, last=last)
    return reason("rows {first} to {last}" if flat else "rounds {first} to {last}", first=first, last=last)


def _headed(first: int, last: int, block: Block, work: Words, sided: bool = True) -> Words:
    course = course_of(block[0])
    courses = _numbers(first, last, course.flat)
    if course.flat and first == last and sided:
        side = Term("wrong side") if course.wrong_side else Term("right side")
        return reason("{courses} ({side}): {work}", courses=courses, side=side, work=work)
    return reason("{courses}: {work}", courses=courses, work=work)


def _block_line(block: Block, number: int, pattern: Pattern, sided: bool) -> Line:
    course, (_, before, after) = course_of(block[0]), block[0]
    work = _charted(block, pattern) if course.charted else course_words(course, pattern.several)
    if after != before:
        work = counted(after, "{work}: {n} stitch", "{work}: {n} stitches", work=work)
    last = number + len(block)
    return Line(_headed(number + 1, last, block, work, sided), number + 1, last)


def _charted(block: Block, pattern: Pattern) -> Words:
    first, last = course_of(block[0]), course_of(block[-1])
    said: list[Words] = []
    for one, top, beside in zip_longest(first.charted, last.charted, beside_charts(first)):
        if beside:
            said.append(course_words(replace(first, stitches=beside), pattern.several, alone=False))
        if one is not None:
            said.append(_chart_row(one, top.row, first))
    return listed(said, between=", then ")


def _chart_row(one: ChartRow, last: int, course: Course) -> Words:
    rows = _numbers(one.row, last, flat=True)
    times = counted(one.times, "once", "{n} times")
    if not course.flat and (one.start, one.end) == (0, None):
        times = counted(one.times, "once round", "{n} times round")
    said = reason("chart {chart}, {rows}, {times}", chart=one.chart, rows=rows, times=times)
    for less, end in ((one.less_first, Term("first")), (one.less_last, Term("last"))):
        if less:
            left = counted(
                less, "leaving out the very {end} stitch", "leaving out the very {end} {n} stitches", end=end
            )
            said = reason("{chart}, {left}", chart=said, left=left)
    return said


def course_words(course: Course, several: bool, alone: bool = True) -> Words:
    """What a course works, stitch by stitch: "k10, k2tog". several: of a pattern in more than one colour; alone:
    nothing stands beside it, so that "knit" is enough where every stitch is."""
    roles = course.roles
    stitches = course.stitches
    alike = len(roles) <= 1 and (alone or all(one.role for one in stitches))
    if alike or not several:
        stitches = tuple(Stitch(op, "") for op, _ in stitches)
    long = long_run(course)
    if long is not None and alone:
        return _with_colour(_to_the_last(stitches, long, course), roles, several)
    items = said_shortly(stitches)
    work = (_whole(items) if alone else None) or listed([_item(one, course) for one in items])
    return _with_colour(work, roles, several and alike)


def _with_colour(work: Words, roles: frozenset[str], several: bool) -> Words:
    if several and len(roles) == 1:
        return reason("with {colour}, {work}", colour=letter_of(*roles), work=work)
    return work


def _to_the_last(stitches: tuple[Stitch, ...], long: tuple[int, int], course: Course) -> Words:
    """ "kfb, knit to the last 2 stitches, kfb, k1"."""
    head, tail = stitches[: long[0]], stitches[long[1] :]
    left = takes(tail)
    all_of = Term("knit" if stitches[long[0]].op == "k" else "purl")
    if left:
        up_to: Words = counted(left, "{work} to the last stitch", "{work} to the last {n} stitches", work=all_of)
    else:
        up_to = reason("{work} to the end", work=all_of)
    beside = [[_item(one, course) for one in said_shortly(side)] for side in (head, tail)]
    return listed([*beside[0], up_to, *beside[1]])


def _whole(items: Sequence[Item]) -> Words | None:
    """ "knit" or "purl", where every stitch is."""
    whole = {Stitch("k", ""): Term("knit"), Stitch("p", ""): Term("purl")}
    only = items[0] if len(items) == 1 else None
    return whole.get(only.stitch) if isinstance(only, Run) else None


def _item(item: Item, course: Course) -> Words:
    if isinstance(item, Run):
        return _run(item, course)
    inner = listed([_item(one, course) for one in item.items])
    return counted(item.times, "({inner}) once", "({inner}) {n} times", inner=inner)


def _run(run: Run, course: Course) -> Words:
    op, role = run.stitch
    if op == "hold":
        said = counted(
            run.times,
            "put {n} stitch on hold for the {holder}",
            "put {n} stitches on hold for the {holder}",
            holder=Term(course.holder),
        )
        return said
    text = f"{op}{run.times}" if op in _NUMBERED else op
    text = f"{text} {letter_of(role)}" if role else text
    if op not in _NUMBERED and run.times > 1:
        return counted(run.times, "({inner}) once", "({inner}) {n} times", inner=text)
    return text


def _step_words(step: Step, before: int, after: int, pattern: Pattern) -> Iterator[Words]:
    """What a step other than a course says; nothing for what its own words say."""
    if isinstance(step, CastOn):
        yield _cast_on(step, before, after, pattern)
        if step.how is not None:
            yield step.how
    elif isinstance(step, Bring):
        taken = counted(step.stitches, "{n} live stitch", "{n} live stitches")
        yield counted(
            after,
            "Take {taken} of {source} on the needle: {n} stitch",
            "Take {taken} of {source} on the needle: {n} stitches",
            taken=taken,
            source=step.source,
        )
    elif isinstance(step, Join):
        usual = reason("see that the edge isn't twisted, and place a marker, where each round begins")
        yield reason("Join to a round: {how}", how=step.how or usual)
    elif isinstance(step, Rest):
        all_wait = "Put all {stitches} stitches on hold for the {holder}"
        cut = "Cut the yarn, and put all {stitches} stitches on hold for the {holder}"
        yield reason(cut if step.cut else all_wait, stitches=before, holder=Term(step.holder))
    elif isinstance(step, TakeUp):
        yield counted(
            after,
            "Take the stitches on hold for the {holder} back on the needle: {n} stitch",
            "Take the stitches on hold for the {holder} back on the needle: {n} stitches",
            holder=Term(step.holder),
        )
    elif isinstance(step, PickUp):
        with_colour = reason(" with {colour}", colour=letter_of(step.role)) if pattern.several else ""
        yield counted(
            after,
            "Pick up and knit {picked}{colour} {where}: {n} stitch",
            "Pick up and knit {picked}{colour} {where}: {n} stitches",
            picked=counted(step.stitches, "{n} stitch", "{n} stitches"),
            colour=with_colour,
            where=step.where,
        )
    elif isinstance(step, Finish):
        yield _finish(step, before, pattern)
    elif isinstance(step, Remark):
        yield step.words


def _cast_on(step: CastOn, before: int, after: int, pattern: Pattern) -> Words:
    stitches: Words = counted(step.stitches, "{n} stitch", "{n} stitches")
    if pattern.several:
        stitches = reason("{stitches} with {colour}", stitches=stitches, colour=letter_of(step.role))
    if before:
        return reason("Cast on {stitches} beside them: {after} stitches", stitches=stitches, after=after)
    return reason("Cast on {stitches}", stitches=stitches)


def _finish(step: Finish, before: int, pattern: Pattern) -> Words:
    colour = reason(" with {colour}", colour=letter_of(step.role)) if pattern.several else ""
    if step.how == "bind off":
        said = "{bind_off} all {stitches} stitches{colour}" + (" in rib" if step.in_rib else "")
        if step.loose:
            said += (", " if step.in_rib else " ") + "loosely, so that the edge stretches"
        return reason(said, bind_off=BIND_OFF, stitches=before, colour=colour)
    if step.how == "draw through":
        said = "Cut the yarn, draw the end through the {stitches} stitches, twice, and pull it tight"
        return reason(said, stitches=before)
    if step.how == "graft":
        said = "Divide the {stitches} stitches on two needles, {half} each, and graft them together{colour}"
        return reason(said, stitches=before, half=before // 2, colour=colour)
    said = (
        "Divide the {stitches} stitches on two needles, {half} each, right sides in, and {bind_off} both "
        "together{colour}"
    )
    return reason(said, stitches=before, half=before // 2, bind_off=BIND_OFF, colour=colour)


def operations_used(pattern: Pattern) -> tuple[str, ...]:
    """Abbreviations that the pattern uses, in the order of `OPERATIONS`, for its key."""
    used = {one.op for piece in pattern.pieces for course in piece.courses() for one in course.counts}
    return tuple(op for op in OPERATIONS if op in used)
