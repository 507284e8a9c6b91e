"""A column of tubes from the cast-on up, open at the top or closed by a crown: hats, cowls, cuffs, cosies."""

from __future__ import annotations

from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.pattern.courses import ChartBook, changed_evenly, part_courses
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import CastOn, Course, Finish, Join, Piece, Section, Step
from matcher.reasons.reason import Term


def build(making: Making, book: ChartBook) -> Made:
    """One piece for each column that is knitted; those alike say how many times."""
    fitted, constants = making.fitted, making.constants
    sections: list[Section] = []
    live = fitted.cast_on
    for number, part in enumerate(fitted.parts):
        steps: list[Step] = []
        if not number:
            steps += [CastOn(part.first, _edge_role(part, making), part.structure), Join()]
        if part.decreases:
            steps += _crown(part, making, live)
        else:
            courses = list(part_courses(part, fitted, book, constants))
            if part.first != live:
                # The last round of what lies below is where stitches are added, so that no round is too many.
                _change(sections, live, part.first)
            steps += courses
        live = part.last
        if number == len(fitted.parts) - 1:
            how = "draw through" if part.decreases else "bind off"
            steps.append(Finish(how, _edge_role(part, making), part.structure, loose=how == "bind off"))
        sections.append(Section(part.part, tuple(steps)))
    return Made((Piece(Term(making.accessory.name), tuple(sections), fitted.pieces),))


def _edge_role(part: FittedPart, making: Making) -> str:
    return part.role or making.fitted.marks[part.rows[0][0]]


def _change(sections: list[Section], before: int, after: int) -> None:
    below = sections[-1]
    last = below.steps[-1]
    assert isinstance(last, Course)
    changed = Course(changed_evenly(before, after, last.stitches[0].role), last.structure)
    sections[-1] = Section(below.heading, (*below.steps[:-1], changed), below.anew)


def _crown(part: FittedPart, making: Making, live: int) -> list[Course]:
    assert part.role is not None
    found = []
    for number in range(part.rounds):
        after = part.stitches_in(number)
        found.append(Course(changed_evenly(live, after, part.role), part.structure))
        live = after
    return found
