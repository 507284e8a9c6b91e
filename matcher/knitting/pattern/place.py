"""Where she is in a pattern, and what each colour has given and still has to give from there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from matcher.knitting.fabric import FabricConstants, Gauge
from matcher.knitting.pattern.counting import Needle
from matcher.knitting.pattern.metres import Edge, course_metres, edge_of_step
from matcher.knitting.pattern.pattern import Course, Pattern, Step
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Words

ByStructure = Mapping[tuple[str, str], float]
"""Metres by role and structure."""


@dataclass(frozen=True)
class Stage:
    """One step of one copy of a piece, in the order in which everything is knitted.

    copy: 1 for the first mitt, 2 for the second. number: of its course, as the lines count it; 0 of another step.
    run: which of the countings of its copy that belongs to, from 0; a section that begins anew begins another.
    """

    copy: int
    piece: Words
    section: Words
    run: int
    number: int
    step: Step
    metres: ByStructure

    @property
    def course(self) -> Course | None:
        return self.step if isinstance(self.step, Course) else None


def stages_of(pattern: Pattern, constants: FabricConstants) -> tuple[Stage, ...]:
    """Every step of every copy of every piece, with the yarn that it takes."""
    gauge = pattern.fitted.gauge
    found: list[Stage] = []
    copy = 0
    for piece in pattern.pieces:
        for _ in range(piece.times):
            copy += 1
            needle, run, number = Needle(), 0, 0
            for section in (one for one in piece.sections for _ in range(one.times)):
                if section.anew and number:
                    run, number = run + 1, 0
                for step in section.steps:
                    before = needle.live
                    needle.work(step)
                    course = isinstance(step, Course)
                    number += course
                    metres = dict(_metres(step, before, gauge, constants))
                    at = number if course else 0
                    found.append(Stage(copy, piece.name, section.heading, run, at, step, metres))
    return tuple(found)


def _metres(
    step: Step, before: int, gauge: Gauge, constants: FabricConstants
) -> Iterator[tuple[tuple[str, str], float]]:
    if isinstance(step, Course):
        for role, metres in course_metres(step, gauge, constants).items():
            yield (role, step.structure), metres
    elif isinstance(step, Edge):
        yield (step.role, step.structure), edge_of_step(step, before, gauge, constants)


def sections_of(stages: tuple[Stage, ...]) -> tuple[Words, ...]:
    """The sections by their headings, each once."""
    return tuple(dict.fromkeys(stage.section for stage in stages))


def after_course(stages: tuple[Stage, ...], number: int, copy: int, at: int = 0) -> int | None:
    """How many stages are done once course `number` of a copy is: 3 where the third of all was the last one done.

    at: what was done before. A number that several countings of the copy have, as of the hand and of the thumb, is
    the first that is not yet done, else the last. None where the copy has no such course.
    """
    ends = [place for place, one in enumerate(stages, start=1) if one.copy == copy and one.number == number > 0]
    ahead = [end for end in ends if end >= at]
    return ahead[0] if ahead else ends[-1] if ends else None


def after_section(stages: tuple[Stage, ...], name: str, copy: int) -> int | None:
    """The same once a whole section is done, by its heading, or words that stand in one heading alone."""
    headings = {str(one.section) for one in stages if one.copy == copy}
    asked = fold(name)
    meant = [one for one in headings if fold(one) == asked] or [one for one in headings if asked and asked in fold(one)]
    if len(meant) != 1:
        return None
    return max(place for place, one in enumerate(stages, start=1) if one.copy == copy and str(one.section) == meant[0])


def metres_between(stages: tuple[Stage, ...], first: int, last: int) -> dict[tuple[str, str], float]:
    """Metres by role and structure of the stages after the `first`-th, up to and with the `last`-th."""
    found: defaultdict[tuple[str, str], float] = defaultdict(float)
    for stage in stages[first:last]:
        for key, metres in stage.metres.items():
            found[key] += metres
    return dict(found)
