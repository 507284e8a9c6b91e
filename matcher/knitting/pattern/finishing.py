"""What is done when all is knitted: the ends, and the blocking by what it is made of."""

from __future__ import annotations

from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import CastOn, Course, Finish, PickUp, Piece, Rest
from matcher.reasons.reason import Words, counted, reason

_CARRIED = 6  # courses that a colour is carried up inside while others are knitted, before it is cut (a choice)


def finishing_of(made: Made, making: Making) -> tuple[Words, ...]:
    """The sentences that end any pattern."""
    ends = sum(ends_of(piece) * piece.times for piece in made.pieces)
    woven = counted(ends, "Weave in the {n} end on the inside", "Weave in the {n} ends on the inside")
    care = making.care or (reason("Wash and block it as the ball bands allow: lay it flat at its measures to dry"),)
    if made.blocked_first:
        return (*care, *made.finishing, woven)
    return (*made.finishing, woven, *care)


def ends_of(piece: Piece) -> int:
    """Ends of yarn in one piece: two wherever a colour begins, which is again where it was cut in between."""
    begun, resting = 0, dict[str, int]()
    for step in piece.steps():
        if isinstance(step, Rest) and step.cut:
            resting.clear()
        roles = {step.role} if isinstance(step, CastOn | PickUp | Finish) else set[str]()
        if isinstance(step, Course):
            roles = {one.role for one in step.stitches if one.role}
            resting = {role: courses + 1 for role, courses in resting.items() if courses < _CARRIED}
        begun += len(roles - resting.keys())
        resting |= dict.fromkeys(roles, 0)
    return 2 * begun
