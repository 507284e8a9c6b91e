"""Socks as they are worked from the cuff down: a flap on half the leg, a heel turned by short rows, a gusset that goes.

Every row of the flap slips its first stitch, so that each second row leaves one to pick up along its edge; one more is
picked up in the corner. The turn takes a stitch of either side into the middle in each row, until none is left beside
it. What the heel and its sides have more than the sole goes in the gusset, a stitch at either side in every
second round. A round of the foot begins in the middle of the sole.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.construction import construction_of
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.shaping import AT_SIDES, changes_of
from matcher.reasons.reason import Field, counted, reason

LEAST_FLAP = 6  # stitches of a heel that can still be turned
_MIDDLE = 7  # about this part of the flap is the middle of the turn, from which it begins (a choice)


@dataclass(frozen=True)
class Heel:
    """The heel of one sock. leg, foot: stitches of the round above and below it; flap_rows: an even number; rounds:
    of the foot, at most, in which the gusset may narrow."""

    leg: int
    foot: int
    flap_rows: int
    rounds: int

    @property
    def top(self) -> int:
        """Stitches of the foot's upper half."""
        return self.foot // 2

    @property
    def sole(self) -> int:
        """Stitches of the foot from the middle of the sole to its upper half."""
        return (self.foot - self.top + 1) // 2

    @property
    def flap(self) -> int:
        """About half the leg; odd or even as half the foot is, so that the gusset comes out even."""
        return self.leg // 2 - (self.leg // 2 - self.top) % 2

    @property
    def middle(self) -> int:
        """Stitches that the second row of the turn purls before its decrease, so that its rows come out even."""
        first = (self.flap - 5) % 4
        ways = range(first, max(first, self.flap - 5) + 1, 4)
        return min(ways, key=lambda way: abs(way - self.flap / _MIDDLE))

    @property
    def beside(self) -> int:
        """Stitches that are left at either side of the heel after the first two rows of the turn."""
        return (self.flap - self.middle - 5) // 2

    @property
    def turned(self) -> int:
        """Stitches of the turned heel: each row took one away."""
        return self.flap - 2 - self.beside

    @property
    def picked(self) -> int:
        """Stitches picked up along either side of the flap."""
        return max(self.flap_rows // 2 + 1, (self.top - self.turned + 1) // 2)

    @cached_property
    def gusset(self) -> tuple[int, ...]:
        """Stitches after each round of the gusset, from that in which they are picked up to the foot's own."""
        first = self.turned + 2 * self.picked + self.top
        times = (first - self.foot) // 2
        plain = min(max(0, times - 1), self.rounds - 1 - times)
        found = [first]
        for number in range(times):
            found += [found[-1] - 2] * (1 + (number < plain))
        return tuple(found)

    def turn_loops(self) -> Iterator[int]:
        """Stitches worked in each row of the turn, its last row to the middle of the heel included."""
        yield (self.flap + self.middle - 1) // 2 + 1
        yield from range(self.middle + 2, self.middle + 3 + self.beside)
        yield self.turned // 2


def heel_round(accessory: Accessory, column: Sequence[Zone], rounds_of: Callable[[Zone], int]) -> int:
    """Rounds of a column below its heel, which stands below its last tube; 0 for what has no flap, turn and gusset."""
    shapes = Counter(zone.shape for zone in accessory.zones)
    tubes = [place for place, zone in enumerate(column) if zone.shape == "tube"]
    heeled = shapes["flat"] == 1 and shapes["triangle"] == 2 and len(tubes) > 1
    if construction_of(accessory) != "socks" or not heeled:
        return 0
    return sum(rounds_of(zone) for zone in column[: tubes[-1]])


def heel_of(fitted: Fitted) -> Heel | None:
    """The heel of a sock, None of anything else. Raises BadInput for what cannot be knitted."""
    if not fitted.heel_at:
        return None
    leg, foot = parted(fitted.parts, fitted.heel_at)
    flap = next(part for part, _ in fitted.extra if part.shape == "flat")
    rounds = sum(part.rounds for part in foot if not part.decreases)
    found = Heel(leg[-1].last, foot[0].first, max(2, 2 * round(flap.rounds / 2)), rounds)
    what = None
    if found.flap < LEAST_FLAP:
        one, many = "a heel of {n} stitch is too small to turn", "a heel of {n} stitches is too small to turn"
        what = counted(found.flap, one, many)
    elif len(found.gusset) > rounds:
        one, many = (
            "a heel gusset of {n} round is longer than the foot",
            "a heel gusset of {n} rounds is longer than the foot",
        )
        what = counted(len(found.gusset), one, many)
    if what is not None:
        raise BadInput(what, Field("swatch"), reason("take thinner yarn, a larger size or a lower heel flap"))
    return found


def with_heels(fitted: Fitted) -> Fitted:
    """The same sock with flap, turn, gusset and toe in the stitches in which they are worked; anything else as it is.

    Beside the gusset the foot is plain, since a motif would not come out; so is a toe.
    """
    heel = heel_of(fitted)
    if heel is None:
        return fitted
    leg, foot = parted(fitted.parts, fitted.heel_at)
    beside, rest = parted(foot, len(heel.gusset))
    ground = fitted.ground
    plain = [*beside, *(part for part in rest if part.decreases)]
    parts = [_plain(part, ground) if part in plain else part for part in (*leg, *beside, *rest)]
    parts[-1] = replace(parts[-1], edge=to_the_side(heel, parts[-1]))
    gusset = tuple(stitches - heel.foot for stitches in heel.gusset if stitches > heel.foot)
    turn = tuple(heel.turn_loops())
    triangles = iter((turn, gusset))
    extra = []
    for part, pieces in fitted.extra:
        if part.shape == "flat":
            rows = heel.flap_rows
            part = replace(part, first=heel.flap, last=heel.flap, rounds=rows, worked=(heel.flap - 1,) * rows)
        elif part.shape == "triangle":
            worked = next(triangles)
            part = replace(part, rounds=len(worked), worked=worked)
        extra.append((part, pieces))
    return replace(fitted, parts=tuple(parts), extra=tuple(extra))


def to_the_side(heel: Heel, toe: FittedPart) -> int:
    """Stitches from the middle of the sole to the side of a toe that is done, which are knitted before it is grafted; 0
    where it does not narrow at its sides alone."""
    changes = changes_of(toe.first, toe.counts)
    if not changes or any(change.by != -AT_SIDES for change in changes):
        return 0
    return max(0, heel.sole - len(changes))


def parted(parts: Sequence[FittedPart], at: int) -> tuple[list[FittedPart], list[FittedPart]]:
    """Parts below round `at` of a column, and from it on; one that goes through it is cut in two."""
    below, above = [], []
    for part in parts:
        if part.rounds <= at:
            below.append(part)
        elif at <= 0:
            above.append(part)
        else:
            below.append(replace(part, rounds=at, rows=part.rows[:at]))
            above.append(replace(part, rounds=part.rounds - at, rows=part.rows[at:]))
        at -= part.rounds
    return below, above


def _plain(part: FittedPart, ground: str) -> FittedPart:
    """A part without its motif."""
    return replace(part, rows=tuple(ground * len(row) for row in part.rows))
