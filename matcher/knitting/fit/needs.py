"""Metres that each role of a fitted accessory takes, counted round by round."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from itertools import pairwise

from matcher.knitting.accessory import Role
from matcher.knitting.fabric import FabricConstants, edge_length
from matcher.knitting.fit.fitted import Fitted, FittedPart, in_role_order
from matcher.knitting.needs import RoleNeed, ZoneWorking, put_together, zone_working


@dataclass
class _Count:
    stitches: int = 0
    passed: int = 0


def count_part(part: FittedPart, fitted: Fitted) -> dict[str, tuple[int, int]]:
    """Stitches of each role in one piece of a part, and stitches that it passes behind; each round by itself.

    In a round that narrows the motif is cut where the round ends, as it is knitted.
    """
    found: defaultdict[str, _Count] = defaultdict(_Count)
    for number, stitches in enumerate(part.counts):
        if not part.rows:
            assert part.role is not None, str(part.part)
            found[part.role].stitches += stitches
            continue
        row = part.rows[number]
        whole, rest = divmod(stitches, len(row))
        first = Counter(row[:rest])
        for mark, times in Counter(row).items():
            own = times * whole + first[mark]
            if own:
                found[fitted.marks[mark]].stitches += own
                found[fitted.marks[mark]].passed += stitches - own
    return {role: (count.stitches, count.passed) for role, count in found.items()}


def needs_of_fitted(fitted: Fitted, constants: FabricConstants, gauge_sd: float | None = None) -> tuple[RoleNeed, ...]:
    """Metres of every role, main first. A float spans one wale for each stitch that it passes: 1 / Kw of a loop.

    gauge_sd: relative standard deviation shared by all roles; None takes the catalogue's figure, smaller for a
    gauge from a swatch. Cast-on and bind-off count as rounds, and each part costs each of its roles two ends.
    """
    working: defaultdict[str, list[ZoneWorking]] = defaultdict(list)
    edges: defaultdict[str, float] = defaultdict(float)
    gauge, column = fitted.gauge, [(part, fitted.pieces) for part in fitted.parts]
    for part, pieces in (*column, *fitted.extra):
        counted = count_part(part, fitted)
        total = sum(stitches for stitches, _ in counted.values())
        for role, (stitches, passed) in counted.items():
            working[role].append(
                zone_working(
                    (part.part, part.shape, part.structure), (part.first, part.last), part.rounds, pieces,
                    stitches / total, stitches * pieces, passed * pieces, gauge, constants,
                )
            )  # fmt: skip
    ends = [] if fitted.taken_up else [(fitted.parts[0], fitted.parts[0].first * fitted.pieces)]
    if fitted.bound_off and fitted.parts[-1].shape != "crown":  # which is drawn together
        ends.append((fitted.parts[-1], fitted.parts[-1].counts[-1] * fitted.pieces))
    # Where a chart is wider or narrower than what is below, its stitches are made or lost in the last round there.
    above_each_other = () if fitted.apart else pairwise(fitted.parts)
    wider = [pair for pair in above_each_other if any(len(set(row)) > 1 for row in pair[1].rows)]
    ends += [(below, (above.first - below.last) * fitted.pieces) for below, above in wider]
    ends += [(part, part.edge * pieces) for part, pieces in (*column, *fitted.extra) if part.edge]
    for part, stitches in ends:
        role = part.role if part.role is not None else _ground(part, fitted)
        edges[role] += edge_length(part.structure, stitches, gauge, constants)
    roles = [Role(name) for name in sorted(working, key=in_role_order)]
    return put_together(roles, working, edges, gauge, constants, gauge_sd)


def _ground(part: FittedPart, fitted: Fitted) -> str:
    """The role that casts on or binds off where a motif goes to the very edge."""
    return min({fitted.marks[mark] for row in part.rows for mark in row}, key=in_role_order)
