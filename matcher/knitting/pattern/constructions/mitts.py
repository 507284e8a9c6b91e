"""Mitts and mittens from the cuff up: a hand with a gusset for the thumb, a top edge or a tip, and the thumb.

The right hand is built, with its thumb near the beginning of the round; the left hand is its mirror image from cuff to
tip, so that its thumb stands near the round's end. Cuffs and top edges look the same from both sides, and are alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.fit.hands import ABOVE_GUSSET, AT_GAP, Thumb, thumb_of
from matcher.knitting.pattern.beside import less_first, mirror, side_by_side, split
from matcher.knitting.pattern.constructions import parts, tube
from matcher.knitting.pattern.courses import ChartBook, changed_evenly
from matcher.knitting.pattern.edges import bind_off, cast_on, edge_role
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import (
    ChartRow,
    Course,
    Finish,
    Join,
    PickUp,
    Piece,
    Remark,
    Section,
    Step,
    TakeUp,
)
from matcher.knitting.pattern.stitches import Stitch, mirrored
from matcher.reasons.reason import Term, Words, counted, reason

HOLDER = "thumb"


def build(making: Making, book: ChartBook) -> Made:
    """A right hand and a left hand; without a gusset and a thumb tubes alike, or each zone by itself."""
    thumb = thumb_of(making.fitted, making.constants)
    if thumb is None:
        return parts.build(making, book) if making.fitted.extra else tube.build(making, book)
    right = _Hand(making, book, thumb)
    hands = right.piece(Term("right hand")), replace(right, left=True).piece(Term("left hand"))
    return Made(hands, (tube.measured(making),))


@dataclass(frozen=True)
class _Hand:
    """One hand in the making."""

    making: Making
    book: ChartBook
    thumb: Thumb
    left: bool = False

    def piece(self, name: Words) -> Piece:
        """From the cuff to the thumb."""
        column = self.making.fitted.parts
        before: dict[int, list[Step]] = {0: [cast_on(column[0], self.making), Join(), Remark(self._begins())]}
        courses: list[Course] = []
        live = column[0].first
        for below, part, above in zip((None, *column), column, (*column[1:], None), strict=False):
            needle = tube.needle_change(below, part, self.making)
            before[len(courses)] = [*needle, *before.get(len(courses), [])]
            courses += tube.courses_of(part, live, above, self.making, self.book)
            live = courses[-1].leaves
        (first, end), start = self.thumb.hand, self.thumb.start
        before[start] = [*before.get(start, []), Remark(self._stands())]
        closed = start + self.thumb.gusset.rounds + ABOVE_GUSSET
        cuts = [(0, "cuff"), (first, "hand"), (start, "thumb gusset"), (closed, "hand above the thumb")]
        cuts += [(end, "tip" if column[-1].decreases else "top edge"), (len(courses), "")]
        worked = self._worked(courses)
        sections = []
        for (begin, heading), (stop, _) in pairwise(cuts):
            steps = [step for number in range(begin, stop) for step in (*before.get(number, []), worked[number])]
            if steps:
                sections.append(Section(Term(heading), tuple(steps)))
        sections[-1] = replace(sections[-1], steps=(*sections[-1].steps, self._finish(column[-1], live)))
        return Piece(name, (*sections, self._thumb()))

    def _finish(self, part: FittedPart, live: int) -> Finish:
        if not part.decreases:
            return bind_off(part, self.making)
        return Finish("draw through" if live % 2 else "graft", edge_role(part, self.making), part.structure)

    def _begins(self) -> Words:
        if self.left:
            return reason("Each round begins at the side of the thumb: first the back of the hand, then the palm")
        return reason("Each round begins at the side of the thumb: first the palm, then the back of the hand")

    def _stands(self) -> Words:
        """Where the gusset is: between which stitches, and that markers show it."""
        inside = self.thumb.inside
        markers = reason("place a marker on either side of the gusset")
        if not inside:
            said = "The gusset ends each round: {do}" if self.left else "The gusset begins each round: {do}"
            return reason(said, do=markers)
        stitches = counted(inside, "{n} stitch", "{n} stitches")
        said = "The gusset stands {stitches} after the beginning of the round: {do}"
        if self.left:
            said = "The gusset stands {stitches} before the end of the round: {do}"
        return reason(said, stitches=stitches, do=markers)

    def _worked(self, courses: Sequence[Course]) -> list[Course]:
        """The rounds as this hand works them, with the gusset and its end."""
        found, rows = [], self._gusset()
        for at, course in enumerate(courses, start=-self.thumb.start):
            before, after = split(course, self.thumb.inside)
            if 0 <= at < len(rows):
                found.append(self._beside(before, rows[at], after))
            elif at == len(rows):
                found.append(self._beside(before, self._gap(after), after))
            elif at == len(rows) + 1:
                taken_away = Stitch("ssk" if self.left else "k2tog", after.stitches[0].role)
                closing = replace(after, stitches=(taken_away,), charted=())
                found.append(self._beside(before, closing, less_first(after)))
            elif self.left and (course.changes or not self.making.constants.ribbed(course.structure)):
                found.append(mirror(course, self.book))
            else:
                found.append(course)  # a rib begins alike on both hands
        return found

    def _beside(self, before: Course, gusset: Course, after: Course) -> Course:
        """A round of the hand, in two, with what stands between."""
        if self.left:
            before, after = (mirror(one, self.book) for one in (after, before))
        return side_by_side([one for one in (before, gusset, after) if one.stitches])

    def _gusset(self) -> list[Course]:
        """The rounds of the gusset, by themselves."""
        part, fitted = self.thumb.gusset, self.making.fitted
        rows: list[tuple[Stitch, ...]] = []
        live = 0
        for number, stitches in enumerate(part.counts):
            roles = [fitted.marks[mark] for mark in part.rows[number]] if part.rows else [part.role or ""] * stitches
            row = _widened(live, roles)
            rows.append(mirrored(row) if self.left else row)
            live = stitches
        if all(len({role for _, role in row}) == 1 for row in rows):
            return [Course(row, part.structure) for row in rows]
        chart = self.book.chart(tuple(rows))
        return [
            Course(row, part.structure, charted=(ChartRow(chart.name, number, 1),))
            for number, row in enumerate(rows, start=1)
        ]

    def _gap(self, hand: Course) -> Course:
        """The gusset waits, and a stitch bridges the gap."""
        held = Stitch("hold", "")
        stitches = (held,) * self.thumb.gusset.last + (Stitch("co", hand.stitches[0].role),)
        return replace(hand, stitches=stitches, charted=(), holder=HOLDER)

    def _thumb(self) -> Section:
        part = self.thumb.thumb
        assert part.role is not None, str(part.part)
        where = reason("in the gap, one of them at each corner so that no hole is left")
        steps: list[Step] = [TakeUp(HOLDER), PickUp(AT_GAP, part.role, part.structure, where)]
        steps.append(Remark(reason("Join to a round that begins with the first stitch taken back, and place a marker")))
        live = self.thumb.gusset.last + AT_GAP
        for number, stitches in enumerate(part.counts):
            if not number and live - stitches == AT_GAP - 1:
                knit = (Stitch("k", part.role),) * self.thumb.gusset.last
                steps.append(Course((*knit, Stitch("s2kp", part.role)), part.structure))
            else:
                steps.append(Course(changed_evenly(live, stitches, part.role), part.structure))
            live = stitches
        drawn = Finish("draw through", part.role, part.structure)
        steps.append(drawn if part.decreases else bind_off(part, self.making))
        return Section(Term("thumb"), tuple(steps), anew=True)


def _widened(live: int, roles: Sequence[str]) -> tuple[Stitch, ...]:
    """A round of a gusset that comes from `live` stitches, by the roles of those that it leaves."""
    ops = ["k"] * len(roles)
    made = len(roles) - live
    for number in range(made):
        edge = 2 * (number // 2)  # a knit stitch stands between two made ones
        ops[edge if number % 2 else len(ops) - 1 - edge] = "m1r" if number % 2 else "m1l"
    return tuple(Stitch(op, role) for op, role in zip(ops, roles, strict=True))
