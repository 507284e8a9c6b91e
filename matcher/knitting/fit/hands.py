"""Mitts and mittens as they are worked: a thumb's gusset within the rounds of the hand, and a tip that keeps its motif.

A round begins at the side where the thumb is. A little inside the palm, between two repeats of the motif, a gusset
grows from one stitch, two at a time, until it has all stitches of the thumb but one. It waits while a stitch is cast on
over the gap, which the next round takes away; with three picked up there, of which the next round makes one, the thumb
is whole. In a round of two colours the gusset changes them stitch by stitch, and its columns change from round to
round. A tip narrows at both edges of palm and back, which keep two columns there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from matcher.errors import BadInput
from matcher.knitting.fabric import STRANDED, FabricConstants, rows_for
from matcher.knitting.fit.fitted import Fitted, FittedPart, free_mark, in_role_order
from matcher.knitting.shaping import AT_SIDES, changes_of
from matcher.reasons.reason import Field, counted, reason

ABOVE_GUSSET = 2  # rounds of the hand that are needed above it: the gap is closed, and its stitch taken away
OVER_GAP = 1
AT_GAP = 3  # picked up: one in the stitch over the gap, one at either of its corners


@dataclass(frozen=True)
class Thumb:
    """Where a thumb stands, of a right hand: its gusset begins in round `start` of the column, from 0, and behind
    `inside` stitches of each round. hand: from which round to which the hand goes, without its edges and its tip."""

    hand: tuple[int, int]
    start: int
    inside: int
    gusset: FittedPart
    thumb: FittedPart


def thumb_of(fitted: Fitted, constants: FabricConstants) -> Thumb | None:
    """The gusset and the thumb of an accessory, None where it has none. Raises BadInput for a gusset above the hand."""
    gusset = next((part for part, _ in fitted.extra if part.shape == "triangle"), None)
    thumb = next((part for part, _ in fitted.extra if part.shape in ("tube", "crown")), None)
    if gusset is None or thumb is None or any(part.shape == "flat" for part, _ in fitted.extra):
        return None
    first, end = _hand_rounds(fitted, constants)
    spare = end - first - gusset.rounds - ABOVE_GUSSET
    if spare < 0:
        raise BadInput(
            counted(
                gusset.rounds,
                "a thumb gusset of {n} round is higher than its hand",
                "a thumb gusset of {n} rounds is higher than its hand",
            ),
            Field("accessory"),
            reason("give the hand more height, or the gusset less"),
        )
    above = round(rows_for(gusset.structure, constants.gusset_above_cuff_cm, fitted.gauge, constants))
    return Thumb((first, end), first + min(above, spare), _inside(fitted, constants), gusset, thumb)


def _inside(fitted: Fitted, constants: FabricConstants) -> int:
    """Stitches between the side of the hand and its thumb: whole repeats of a motif."""
    repeat = max((len(row) for part in fitted.parts for row in part.rows if part.shape == "tube"), default=1)
    return round(constants.thumb_inside_palm * fitted.stitches / repeat) * repeat


def _hand_rounds(fitted: Fitted, constants: FabricConstants) -> tuple[int, int]:
    """From which round of the column to which the hand goes: without ribbed or garter edges, and without a tip."""
    parts = fitted.parts
    smooth = [constants.structure(part.structure).purled == "no" and part.first == part.last for part in parts]
    begins = smooth.index(True) if True in smooth else int(len(parts) > 1)
    ends = next((place for place in range(begins, len(parts)) if not smooth[place]), len(parts))
    heights = [part.rounds for part in parts]
    return sum(heights[:begins]), sum(heights[: max(ends, begins + 1)])


def with_hands(fitted: Fitted, constants: FabricConstants) -> Fitted:
    """The same accessory with gussets and thumbs in the stitches and colours in which they are worked."""
    found = thumb_of(fitted, constants)
    if found is None:
        return fitted
    thumb = max(2 * AT_GAP, 2 * round(found.thumb.first / 2))
    edge = OVER_GAP + AT_GAP
    if fitted.parts[-1].decreases:
        # It is closed as the hand is: its last round takes the stitches two by two, and they are drawn together.
        worked = replace(found.thumb, first=thumb, last=thumb // 2, shape="crown", edge=edge)
    else:
        worked = replace(found.thumb, first=thumb, last=thumb, edge=edge + thumb)
    narrow = replace(found.gusset, first=1, last=thumb - 1)
    roles = [
        sorted(set(row), key=in_role_order) for _, row in fitted.rounds()[found.start : found.start + narrow.rounds]
    ]
    marks = dict(fitted.marks)
    if len({role for row in roles for role in row}) == 1:
        narrow = replace(narrow, role=roles[0][0], rows=())
    else:
        by_role = _marks_for(marks, roles)
        rows = tuple(
            "".join(by_role[role] for role in check(row, stitches, number))
            for number, (row, stitches) in enumerate(zip(roles, narrow.counts, strict=True))
        )
        several = any(len(row) > 1 for row in roles)
        narrow = replace(narrow, role=None, rows=rows, structure=STRANDED if several else narrow.structure)
    swapped = {id(found.gusset): narrow, id(found.thumb): worked}
    extra = tuple((swapped.get(id(part), part), pieces) for part, pieces in fitted.extra)
    return replace(fitted, extra=extra, marks=marks)


def check(roles: Sequence[str], stitches: int, number: int) -> tuple[str, ...]:
    """A row of a gusset in the colours of its round: by turns, the same to both sides of the middle stitch."""
    middle = stitches // 2
    return tuple(roles[(abs(place - middle) + number) % len(roles)] for place in range(stitches))


def _marks_for(marks: dict[str, str], roles: Sequence[Sequence[str]]) -> Mapping[str, str]:
    """A mark for every role; those that have none yet get one."""
    for role in dict.fromkeys(role for row in roles for role in row):
        if role not in marks.values():
            marks[free_mark(marks)] = role
    return {role: mark for mark, role in marks.items()}


def whole_tip(part: FittedPart) -> FittedPart:
    """A tip that shows a motif, each of its rows as wide as it is worked; plain where it cannot narrow at its sides."""
    if part.shape != "frustum" or not part.rows or not part.decreases:
        return part
    if any(change.by != -AT_SIDES for change in changes_of(part.first, part.counts)):
        return replace(part, role=None, rows=tuple(row[:1] for row in part.rows))
    rows = []
    for row, stitches in zip(part.rows, part.counts, strict=True):
        left = columns_left(part.first, (part.first - stitches) // AT_SIDES)
        rows.append("".join(row[::-1][place % len(row)] for place in left)[::-1])
    return replace(part, rows=tuple(rows))


def columns_left(around: int, decreases: int) -> tuple[int, ...]:
    """Places of a round's stitches, as they are worked, that are left after so many decrease rounds of a tip: in each
    half the first two stay and the last two, and those beside them go."""
    half, found = around // 2, list[int]()
    for begin, end in ((0, half), (half, around)):
        left = end - begin - 2 * decreases
        inner = list(range(begin + 2 + decreases, end - 2 - decreases))
        if left > 3:
            found += [begin, begin + 1, *inner, end - 2, end - 1]
        else:
            found += [begin, *[(begin + end) // 2] * (left - 2), end - 1]
    return tuple(found)
