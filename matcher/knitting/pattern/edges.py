"""The edges of a piece, and its joints: how it is cast on, in which role, where stitches are added or lost."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import FittedPart, in_role_order
from matcher.knitting.pattern.courses import changed_evenly
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.pattern import CastOn, Course, Finish
from matcher.reasons.reason import Words, reason


def edge_role(part: FittedPart, making: Making) -> str:
    """The role that casts on or binds off: the part's own, or the ground of its motif."""
    marks = making.fitted.marks
    return part.role or min({marks[mark] for row in part.rows for mark in row}, key=in_role_order)


def cast_on(part: FittedPart, making: Making) -> CastOn:
    """The cast-on below a part, in a way that suits it."""
    return CastOn(part.first, edge_role(part, making), part.structure, cast_on_words(part.structure, making.constants))


def cast_on_words(structure: str, constants: FabricConstants) -> Words:
    """Which cast-on suits an edge of this structure."""
    purled = constants.structure(structure).purled
    if purled == "columns":
        return reason("Use a cast-on that stretches, such as long-tail over two needles held together")
    if purled == "rows":
        return reason("A long-tail cast-on suits garter; keep it loose")
    return reason("A long-tail cast-on will do; keep it loose: the edge rolls by itself")


def bind_off(part: FittedPart, making: Making) -> Finish:
    """The edge above a part that stays open: in rib where it is of rib, and loose."""
    ribbed = making.constants.ribbed(part.structure)
    return Finish("bind off", edge_role(part, making), part.structure, loose=True, in_rib=ribbed)


def changing(before: int, after: int, role: str, courses: Sequence[Course]) -> tuple[Course, ...]:
    """Courses of a part that comes from another number of stitches: the first ones make the change."""
    begun = changed(before, after, role, courses[0].structure)
    return (*begun, *courses[len(begun) :])


def changed(before: int, after: int, role: str, structure: str) -> tuple[Course, ...]:
    """Courses that are knitted from one number of stitches to another, the change spread evenly: none without a change,
    several where it is large, since one can no more than halve or double them."""
    found: list[Course] = []
    while before != after:
        here = min(after, 2 * before) if after > before else max(after, -(-before // 2))
        found.append(Course(changed_evenly(before, here, role), structure))
        before = here
    return tuple(found)
