"""What is done when all is knitted: the ends, and the blocking by what it is made of."""

from __future__ import annotations

from matcher.knitting.pattern.carried import ends_of
from matcher.knitting.pattern.making import Made, Making
from matcher.reasons.reason import Words, counted, reason


def finishing_of(made: Made, making: Making) -> tuple[Words, ...]:
    """The sentences that end any pattern."""
    ends = sum(ends_of(piece, making.constants.carried_courses) * piece.times for piece in made.pieces)
    woven = counted(ends, "Weave in the {n} end on the inside", "Weave in the {n} ends on the inside")
    care = making.care or (reason("Wash and block it as the ball bands allow: lay it flat at its measures to dry"),)
    if made.blocked_first:
        return (*care, *made.finishing, woven)
    return (*made.finishing, woven, *care)
