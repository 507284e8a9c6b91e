"""Metres that each role of a fitted accessory takes, counted round by round."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted, FittedPart, in_role_order
from matcher.knitting.needs import RoleNeed, ZoneWorking


@dataclass
class _Count:
    stitches: int = 0
    passed: int = 0


def count_part(part: FittedPart, fitted: Fitted) -> dict[str, tuple[int, int]]:
    """Stitches of each role in one piece of a part, and stitches that it passes behind; each round by itself.

    In a round that narrows the motif is cut where the round ends, as it is knitted.
    """
    found: defaultdict[str, _Count] = defaultdict(_Count)
    for number in range(part.rounds):
        stitches = part.stitches_in(number)
        if not part.rows:
            assert part.role is not None, part.part
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
    if gauge_sd is None:
        gauge_sd = constants.gauge_sd_swatch if fitted.gauge.from_swatch_rows else constants.gauge_sd_no_swatch
    working: defaultdict[str, list[ZoneWorking]] = defaultdict(list)
    edges: defaultdict[str, float] = defaultdict(float)
    tails: defaultdict[str, float] = defaultdict(float)
    float_cm = fitted.gauge.loop_cm * constants.float_per_stitch
    column = [(part, fitted.pieces) for part in fitted.parts]
    for part, pieces in (*column, *fitted.extra):
        loop_cm = fitted.gauge.loop_cm * constants.loop(part.structure)
        counted = count_part(part, fitted)
        total = sum(stitches for stitches, _ in counted.values())
        shape = "tube" if part.first == part.last else "crown" if part.decreases else "triangle"
        for role, (stitches, passed) in counted.items():
            own, behind = stitches * pieces, passed * pieces
            working[role].append(
                ZoneWorking(
                    part.part, shape, part.structure, pieces, part.first, part.last, part.rounds,
                    stitches / total, own, behind, loop_cm, float_cm if behind else 0.0,
                    (own * loop_cm + behind * float_cm) / 100.0,
                )
            )  # fmt: skip
            tails[role] += 2.0 * pieces * constants.tail_m
    for part, stitches in ((fitted.parts[0], fitted.parts[0].first), (fitted.parts[-1], fitted.parts[-1].last)):
        role = part.role if part.role is not None else _ground(part, fitted)
        loop_m = fitted.gauge.loop_cm * constants.loop(part.structure) / 100.0
        edges[role] += constants.edge_rounds * stitches * fitted.pieces * loop_m
    needs = []
    for role in sorted(working, key=in_role_order):
        lines = working[role]
        length = sum(line.length_m for line in lines) + edges[role] + tails[role]
        needs.append(
            RoleNeed(
                role=role,
                length_m=length,
                shared_sd_m=gauge_sd * length,
                own_sd_m=constants.share_sd * length,
                stitches=round(sum(line.stitches for line in lines)),
                float_m=sum(line.passed * line.float_cm for line in lines) / 100.0,
                edge_m=edges[role],
                tail_m=tails[role],
                bring=False,
                working=tuple(lines),
            )
        )
    return tuple(needs)


def _ground(part: FittedPart, fitted: Fitted) -> str:
    """The role that casts on or binds off where a motif goes to the very edge."""
    roles = sorted({fitted.marks[mark] for row in part.rows for mark in row}, key=in_role_order)
    return roles[0]
