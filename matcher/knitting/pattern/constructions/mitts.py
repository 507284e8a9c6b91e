"""Mitts and mittens from the cuff up: a hand with a gusset for the thumb, a top edge or a tip, and the thumb.

The right hand is built, with its thumb near the beginning of the round; the left hand is its mirror image from cuff to
tip, so that its thumb stands near the round's end. Cuffs and top edges look the same from both sides, and are alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from matcher.knitting.fit.fitted import FittedPart, in_role_order
from matcher.knitting.fit.hands import ABOVE_GUSSET, AT_GAP, Thumb, thumb_of
from matcher.knitting.pattern.beside import less_first, mirror, side_by_side, split
from matcher.knitting.pattern.constructions import tube
from matcher.knitting.pattern.courses import ChartBook, changed_evenly, part_courses
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import (
    CastOn,
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
from matcher.knitting.pattern.stitches import Stitch, leaves, mirrored
from matcher.knitting.pattern.tips import tip_courses
from matcher.reasons.reason import Term, Words, counted, reason

HOLDER = "thumb"


def build(making: Making, book: ChartBook) -> Made:
    """A right hand and a left hand; without a thumb, tubes alike."""
    thumb = thumb_of(making.fitted, making.constants)
    if thumb is None:
        return tube.build(making, book)
    right = _Hand(making, book, thumb)
    return Made((right.piece(Term("right hand")), replace(right, left=True).piece(Term("left hand"))))


@dataclass(frozen=True)
class _Hand:
    """One hand in the making."""

    making: Making
    book: ChartBook
    thumb: Thumb
    left: bool = False

    def piece(self, name: Words) -> Piece:
        """From the cuff to the thumb."""
        parts = self.making.fitted.parts
        courses, live = [], parts[0].first
        for part, above in zip(parts, (*parts[1:], None), strict=True):
            courses += self._courses(part, live, above)
            live = leaves(courses[-1].stitches)
        (first, end), start = self.thumb.hand, self.thumb.start
        closed = start + self.thumb.gusset.rounds + ABOVE_GUSSET
        tip = Term("tip") if parts[-1].decreases else Term("top edge")
        cuts = [(0, Term("cuff")), (first, Term("hand")), (start, Term("thumb gusset"))]
        cuts += [(closed, Term("hand above the thumb")), (end, tip), (len(courses), tip)]
        worked = self._worked(courses)
        sections = []
        for (begin, heading), (stop, _) in pairwise(cuts):
            steps: list[Step] = list(worked[begin:stop])
            if begin == start:
                steps.insert(0, Remark(self._stands()))
            if begin < stop:
                sections.append(Section(heading, tuple(steps)))
        begins = (self._cast_on(parts[0]), Join(), Remark(self._begins()))
        sections[0] = replace(sections[0], steps=(*begins, *sections[0].steps))
        sections[-1] = replace(sections[-1], steps=(*sections[-1].steps, self._finish(parts[-1], live)))
        return Piece(name, (*sections, self._thumb()))

    def _cast_on(self, part: FittedPart) -> CastOn:
        return CastOn(part.first, self._edge_role(part), part.structure)

    def _edge_role(self, part: FittedPart) -> str:
        marks = self.making.fitted.marks
        return part.role or min({marks[mark] for row in part.rows for mark in row}, key=in_role_order)

    def _finish(self, part: FittedPart, live: int) -> Finish:
        if not part.decreases:
            return Finish("bind off", self._edge_role(part), part.structure, loose=True)
        return Finish("draw through" if live % 2 else "graft", self._edge_role(part), part.structure)

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

    def _courses(self, part: FittedPart, live: int, above: FittedPart | None) -> list[Course]:
        """The rounds of a part of a right hand without its gusset, from `live` stitches."""
        fitted, constants = self.making.fitted, self.making.constants
        if part.shape == "frustum":
            return list(tip_courses(part, fitted, self.book))
        courses = list(part_courses(part, fitted, self.book, constants))
        if live != part.first and not courses[0].charted:
            courses[0] = Course(changed_evenly(live, part.first, courses[0].stitches[0].role), part.structure)
        if above is not None and above.first != part.last and any(len(set(row)) > 1 for row in above.rows):
            courses[-1] = Course(changed_evenly(part.last, above.first, self._edge_role(part)), part.structure)
        return courses

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
            else:
                # A rib begins alike on both hands.
                alike = not self.left or self.making.constants.ribbed(course.structure)
                found.append(course if alike else mirror(course, self.book))
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
        how = "draw through" if part.decreases else "bind off"
        steps.append(Finish(how, part.role, part.structure, loose=how == "bind off"))
        return Section(Term("thumb"), tuple(steps), anew=True)


def _widened(live: int, roles: Sequence[str]) -> tuple[Stitch, ...]:
    """A round of a gusset that comes from `live` stitches, by the roles of those that it leaves."""
    ops = ["k"] * len(roles)
    made = len(roles) - live
    for number in range(made):
        edge = 2 * (number // 2)  # a knit stitch stands between two made ones
        ops[edge if number % 2 else len(ops) - 1 - edge] = "m1r" if number % 2 else "m1l"
    return tuple(Stitch(op, role) for op, role in zip(ops, roles, strict=True))
