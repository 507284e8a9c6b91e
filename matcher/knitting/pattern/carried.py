"""Colours that are carried up inside while others are knitted, and those that are cut: where ends of yarn come from."""

from __future__ import annotations

from collections.abc import Iterator

from matcher.knitting.pattern.pattern import CastOn, Course, Finish, PickUp, Piece, Rest


def taken_up(piece: Piece) -> Iterator[int | None]:
    """For each time that a colour is taken up: how many courses it has rested; None where it is new, or was cut."""
    resting: dict[str, int] = {}
    for step in piece.steps():
        if isinstance(step, Rest) and step.cut:
            resting = {}
        roles = frozenset({step.role} if isinstance(step, CastOn | PickUp | Finish) else ())
        if isinstance(step, Course):
            roles = step.roles
            resting = {role: courses + 1 for role, courses in resting.items()}
        for role in sorted(roles):
            courses = resting.get(role, 0) - isinstance(step, Course) if role in resting else None
            if courses != 0:
                yield courses
            resting[role] = 0
        if isinstance(step, Finish):
            resting = {}


def ends_of(piece: Piece, most: float) -> int:
    """Ends of yarn in one piece: two wherever a colour begins. most: courses that it may rest without being cut."""
    return 2 * sum(rested is None or rested > most for rested in taken_up(piece))
