"""The operations that a pattern is made of: what each takes from the needle and leaves on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from matcher.reasons.reason import Words, reason


class Operation(NamedTuple):
    """takes, leaves: stitches before and after. loops: of yarn. spelled_out: for the key."""

    takes: int
    leaves: int
    loops: int
    spelled_out: Words


class Stitch(NamedTuple):
    """One operation in the colour of a role; "" where no yarn is worked."""

    op: str
    role: str


OPERATIONS: dict[str, Operation] = {
    "k": Operation(1, 1, 1, reason("knit")),
    "p": Operation(1, 1, 1, reason("purl")),
    "k2tog": Operation(2, 1, 1, reason("knit 2 together: one stitch less, leaning right")),
    "ssk": Operation(
        2, 1, 1, reason("slip 2 one by one as if to knit, knit them together through the back: one less, leaning left")
    ),
    "p2tog": Operation(2, 1, 1, reason("purl 2 together: one stitch less")),
    "s2kp": Operation(
        3, 1, 1, reason("slip 2 together as if to knit, knit 1, pass the slipped ones over: two less, upright")
    ),
    "m1l": Operation(0, 1, 1, reason("lift the bar before the next stitch from the front, knit its back: one more")),
    "m1r": Operation(0, 1, 1, reason("lift the bar before the next stitch from the back, knit its front: one more")),
    "m1p": Operation(0, 1, 1, reason("lift the bar before the next stitch and purl it, twisted: one more")),
    "yo": Operation(0, 1, 1, reason("bring the yarn over the needle: one more, above a hole")),
    "kfb": Operation(1, 2, 2, reason("knit into the front and the back of a stitch: one more")),
    "pfb": Operation(1, 2, 2, reason("purl into the front and the back of a stitch: one more")),
    "sl": Operation(1, 1, 0, reason("slip as if to purl, yarn behind the work as it is seen from the front")),
    "co": Operation(0, 1, 1, reason("cast on with backward loops, within a round or a row")),
    "pu": Operation(0, 1, 1, reason("pick up and knit a stitch along the edge beside it")),
    "hold": Operation(1, 0, 0, reason("put on a piece of waste yarn, not worked")),
    "turn": Operation(0, 0, 0, reason("turn the work, though stitches are left on the needle")),
    "pm": Operation(0, 0, 0, reason("place a marker: from here on rounds begin here, with the next stitch")),
}


_MIRRORED = {"k2tog": "ssk", "ssk": "k2tog", "m1l": "m1r", "m1r": "m1l"}


def mirrored(stitches: Sequence[Stitch]) -> tuple[Stitch, ...]:
    """The mirror image of a round, in the order in which it is worked: a left hand's for a right one's."""
    return tuple(Stitch(_MIRRORED.get(op, op), role) for op, role in reversed(stitches))


# What an operation looks like from the other side of the work; the others look alike, or are of one side only.
FROM_BEHIND = {"k": "p", "p": "k", "k2tog": "p2tog", "p2tog": "k2tog"}


def from_the_right_side(worked: Sequence[Stitch], wrong_side: bool) -> tuple[Stitch, ...]:
    """A row from left to right as the right side shows it; one of the wrong side is worked from the left, and seen from
    behind."""
    if wrong_side:
        return tuple(Stitch(FROM_BEHIND.get(op, op), role) for op, role in worked)
    return tuple(reversed(worked))


def takes(stitches: tuple[Stitch, ...]) -> int:
    """Stitches that a course works off the needle."""
    return sum(OPERATIONS[one.op].takes for one in stitches)


def leaves(stitches: tuple[Stitch, ...]) -> int:
    """Stitches that it puts on the needle."""
    return sum(OPERATIONS[one.op].leaves for one in stitches)


def changes(stitches: tuple[Stitch, ...]) -> bool:
    """Whether it leaves more or fewer stitches than it takes."""
    return takes(stitches) != leaves(stitches)
