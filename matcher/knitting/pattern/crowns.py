"""Crowns round by round: `shaping` settles how many stitches each round keeps; here each decrease gets its place."""

from __future__ import annotations

import math
from collections.abc import Iterator

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.courses import RIB, ChartBook, changed_evenly, in_charts, period_of, roles_of
from matcher.knitting.pattern.pattern import Course
from matcher.knitting.pattern.rows import evenly
from matcher.knitting.pattern.stitches import Stitch
from matcher.knitting.shaping import spread

Columns = list[str]  # "k" or "p": what each column of rib shows


def crown_courses(part: FittedPart, fitted: Fitted, book: ChartBook, constants: FabricConstants) -> tuple[Course, ...]:
    """The rounds of a crown: in a motif with a chart of one section, in rib with the columns between the decreases."""
    if part.role is not None and constants.ribbed(part.structure) and part.first >= len(RIB) * part.last:
        return tuple(_in_rib(part, part.role))
    worked, live = [], part.first
    for number, after in enumerate(part.counts):
        worked.append(evenly(live, [Stitch("k", role) for role in roles_of(part, fitted, number, after)]))
        live = after
    if all(len({role for _, role in row}) == 1 for row in worked):
        return tuple(Course(row, part.structure) for row in worked)
    times = math.gcd(*(len(row) // period_of(row, whole=True) for row in worked))
    return in_charts([(row[: len(row) // times], times) for row in worked], part.structure, book)


def _in_rib(part: FittedPart, role: str) -> Iterator[Course]:
    """Sections of whole ribs; each begins with a knit column that stands up to the top, and loses the stitch beside it.
    Where the sections have no two stitches left for all that must go, the rib ends and the rest is knitted."""
    sections: list[Columns] = [list(RIB) * ribs for ribs in spread(part.first // len(RIB), part.last)]
    sections[-1] += RIB[: part.first % len(RIB)]
    live, ribbed = part.first, True
    for after in part.counts:
        ribbed = ribbed and live - after <= sum(len(columns) // 2 for columns in sections)
        if ribbed:
            yield Course(tuple(_ribs(sections, live - after, role)), part.structure)
        else:
            yield Course(changed_evenly(live, after, role), part.structure)
        live = after


def _ribs(sections: list[Columns], decreases: int, role: str) -> Iterator[Stitch]:
    for number, times in enumerate(_shares(sections, decreases)):
        columns = sections[number]
        kept, rest = columns[: 2 * times : 2], columns[2 * times :]
        for op in kept:
            yield Stitch("ssk" if op == "k" else "p2tog", role)
        for op in rest:
            yield Stitch(op, role)
        sections[number] = kept + rest


def _shares(sections: list[Columns], decreases: int) -> list[int]:
    """How many decreases each section takes: all alike; what is over goes to the widest, spread round."""
    number = len(sections)
    shares, evenly = [0] * number, {place * number // decreases for place in range(decreases)}
    for _ in range(decreases):
        room = [one for one in range(number) if len(sections[one]) >= 2 * shares[one] + 2]
        shares[min(room, key=lambda one: (shares[one], -len(sections[one]), one not in evenly, one))] += 1
    return shares
