"""What is to be made: an entry, fitted; what a construction starts from, and what it gives."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.pattern.needles import Needles, needles_of
from matcher.knitting.pattern.pattern import Piece
from matcher.reasons.reason import Words


@dataclass(frozen=True)
class Making:
    """An entry, its fit in whole stitches and rounds, and the figures of the fabric.

    care: how what it is made of is blocked and washed, in sentences (materials/blocking.care_of); none where the yarns
    are not known.
    """

    accessory: Accessory
    fitted: Fitted
    constants: FabricConstants
    care: tuple[Words, ...] = ()

    @cached_property
    def needles(self) -> Needles:
        """For the whole of it."""
        return needles_of(self.fitted, self.constants)


@dataclass(frozen=True)
class Made:
    """What a construction gives: pieces; what to know before; what to do when all are knitted, sentence by sentence.

    blocked_first: before it is put together, since afterwards it is stuffed or gathered.
    """

    pieces: tuple[Piece, ...]
    before: tuple[Words, ...] = ()
    finishing: tuple[Words, ...] = ()
    blocked_first: bool = False
