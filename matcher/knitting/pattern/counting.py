"""What is on the needle, and what waits, after each step; a pattern that does not come out is a fault of ours."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from matcher.knitting.pattern.pattern import Bring, CastOn, Course, Finish, PickUp, Piece, Rest, Step, TakeUp


@dataclass
class Needle:
    """Stitches on the needle, and on holders by name."""

    live: int = 0
    held: dict[str, int] = field(default_factory=dict)

    def work(self, step: Step) -> None:
        """Do a step. Raises ValueError where it does not come out."""
        if isinstance(step, Course):
            self._course(step)
        elif isinstance(step, CastOn | Bring | PickUp):
            self.live += step.stitches
        elif isinstance(step, Rest):
            self._hold(step.holder, self.live)
            self.live = 0
        elif isinstance(step, TakeUp):
            self.live += self.held.pop(step.holder)
        elif isinstance(step, Finish):
            if step.how in ("graft", "three needles") and self.live % 2:
                raise ValueError(f"{self.live} stitches have no two halves to join")
            if not self.live:
                raise ValueError("nothing is on the needle to finish")
            self.live = 0

    def _course(self, course: Course) -> None:
        taken = course.takes
        turns = any(one.op in ("turn", "pm") for one in course.counts)
        if taken > self.live or (taken < self.live and not turns):
            raise ValueError(f"a course works {taken} of {self.live} stitches")
        held = sum(number for one, number in course.counts.items() if one.op == "hold")
        if held:
            self._hold(course.holder, held)
        self.live += course.leaves - taken

    def _hold(self, holder: str, stitches: int) -> None:
        if not holder:
            raise ValueError("stitches are put on a holder that has no name")
        self.held[holder] = self.held.get(holder, 0) + stitches


def counted_steps(piece: Piece) -> Iterator[tuple[Step, int, int]]:
    """Every step with the stitches on the needle before and after it. Raises ValueError where it does not come out,
    and where stitches are left at the end."""
    needle = Needle()
    for step in piece.steps():
        before = needle.live
        needle.work(step)
        yield step, before, needle.live
    if needle.live or needle.held:
        raise ValueError(f"{piece.name}: {needle.live} stitches are left on the needle, {needle.held} on hold")
