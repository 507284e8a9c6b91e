"""The yarn of a pattern: loops and floats of each course, edges, tails; the same figures as the needs use."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

from matcher.knitting.accessory import Role
from matcher.knitting.fabric import FabricConstants, Gauge, edge_length, float_for, loop_for
from matcher.knitting.fit.fitted import in_role_order
from matcher.knitting.needs import RoleNeed, ZoneWorking, put_together, zone_working
from matcher.knitting.pattern.counting import counted_steps
from matcher.knitting.pattern.pattern import CastOn, Course, Finish, Pattern, PickUp, Piece
from matcher.knitting.pattern.stitches import OPERATIONS
from matcher.reasons.reason import Words

Edge = CastOn | PickUp | Finish


def course_counts(course: Course, constants: FabricConstants) -> dict[str, tuple[int, int]]:
    """Loops of each role in a course, and stitches that it passes behind, where colours are carried along."""
    loops: Counter[str] = Counter()
    for stitch, number in course.counts.items():
        loops[stitch.role] += OPERATIONS[stitch.op].loops * number
    total = sum(loops.values())
    stranded = constants.structure(course.structure).stranded
    carried = stranded and len([role for role in loops if loops[role]]) > 1
    return {role: (count, total - count if carried else 0) for role, count in loops.items() if count}


def course_metres(course: Course, gauge: Gauge, constants: FabricConstants) -> dict[str, float]:
    """Metres of each role in one course."""
    loop, passed = loop_for(course.structure, gauge, constants), float_for(gauge, constants)
    return {
        role: (loops * loop + behind * passed) / 100.0
        for role, (loops, behind) in course_counts(course, constants).items()
    }


def edge_metres(piece: Piece, gauge: Gauge, constants: FabricConstants) -> Iterator[tuple[str, float]]:
    """Metres of a role in each cast-on, each pick-up (a round of its own) and each edge that is finished with yarn."""
    for step, before, _ in counted_steps(piece):
        if isinstance(step, Edge) and (metres := edge_of_step(step, before, gauge, constants)):
            yield step.role, metres


def edge_of_step(step: Edge, before: int, gauge: Gauge, constants: FabricConstants) -> float:
    """Metres of one of them. before: the stitches on the needle."""
    if isinstance(step, PickUp):
        return step.stitches * loop_for(step.structure, gauge, constants) / 100.0
    if isinstance(step, CastOn):
        return edge_length(step.structure, step.stitches, gauge, constants)
    return 0.0 if step.how == "draw through" else edge_length(step.structure, before, gauge, constants)


def needs_of_pattern(
    pattern: Pattern, constants: FabricConstants, gauge_sd: float | None = None
) -> tuple[RoleNeed, ...]:
    """Metres of every role, main first, counted course by course; each section of a piece is a line of the working."""
    gauge = pattern.fitted.gauge
    working: defaultdict[str, list[ZoneWorking]] = defaultdict(list)
    edges: defaultdict[str, float] = defaultdict(float)
    for piece in pattern.pieces:
        for role, metres in edge_metres(piece, gauge, constants):
            edges[role] += metres * piece.times
        for section in piece.sections:
            by_structure: defaultdict[str, list[Course]] = defaultdict(list)
            for step in section.steps:
                if isinstance(step, Course):
                    by_structure[step.structure].append(step)
            for structure, courses in by_structure.items():
                for role, line in _lines(
                    section.heading, structure, courses, section.times * piece.times, gauge, constants
                ):
                    working[role].append(line)
    brought: Mapping[str, bool] = {role.name: role.bring for role in pattern.accessory.roles}
    roles = [Role(name, brought.get(name, False)) for name in sorted(working, key=in_role_order)]
    return put_together(roles, working, edges, gauge, constants, gauge_sd)


def _lines(
    heading: Words, structure: str, courses: Sequence[Course], times: int, gauge: Gauge, constants: FabricConstants
) -> Iterator[tuple[str, ZoneWorking]]:
    counts = [course_counts(course, constants) for course in courses]
    total = sum(loops for one in counts for loops, _ in one.values())
    first, last = (sum(loops for loops, _ in one.values()) for one in (counts[0], counts[-1]))
    shape = "tube" if first == last else "crown" if first > last else "triangle"
    for role in dict.fromkeys(role for one in counts for role in one):
        own = sum(one.get(role, (0, 0))[0] for one in counts)
        passed = sum(one.get(role, (0, 0))[1] for one in counts)
        part, share = (heading, shape, structure), own / total
        yield (
            role,
            zone_working(
                part, (first, last), len(courses), times, share, own * times, passed * times, gauge, constants
            ),
        )
