"""From a fitted accessory to its pattern: the construction that its entry asks for, counted through once."""

from __future__ import annotations

from collections.abc import Callable

from matcher.knitting.pattern.constructions import tube
from matcher.knitting.pattern.counting import counted_steps
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.pattern import Pattern, Piece

Build = Callable[[Making, ChartBook], tuple[Piece, ...]]

BUILDS: dict[str, Build] = {"tube": tube.build}


def construction_of(making: Making) -> str:
    """How an entry is knitted: what it says itself, else what its zones make of it."""
    if making.accessory.construction:
        return making.accessory.construction
    return "tube"


def pattern_of(making: Making) -> Pattern:
    """The whole pattern. Raises ValueError where the stitches do not come out, which is a fault of ours."""
    book = ChartBook()
    pieces = BUILDS[construction_of(making)](making, book)
    for piece in pieces:
        for _ in counted_steps(piece):
            pass
    return Pattern(making.accessory, making.fitted, pieces, book.all())
