"""From a fitted accessory to its pattern: the construction that its entry asks for, counted through once."""

from __future__ import annotations

from collections.abc import Callable

from matcher.knitting.construction import construction_of
from matcher.knitting.pattern.constructions import earflap, mitts, parts, pouch, socks, strip, triangle, tube, yoke
from matcher.knitting.pattern.counting import counted_steps
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.finishing import finishing_of
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.needles import needles_of
from matcher.knitting.pattern.notes import notes_of
from matcher.knitting.pattern.pattern import Pattern

Build = Callable[[Making, ChartBook], Made]

BUILDS: dict[str, Build] = {
    "tube": tube.build,
    "earflap hat": earflap.build,
    "mitts": mitts.build,
    "socks": socks.build,
    "yoke": yoke.build,
    **dict.fromkeys(strip.WAYS, strip.build),
    "triangle": triangle.build,
    "pouch": pouch.build,
    "parts": parts.build,
}


def pattern_of(making: Making) -> Pattern:
    """The whole pattern. Raises ValueError where the stitches do not come out, which is a fault of ours."""
    book = ChartBook()
    made = BUILDS.get(construction_of(making.accessory), parts.build)(making, book)
    for piece in made.pieces:
        for _ in counted_steps(piece):
            pass
    before = (*made.before, *notes_of(made.pieces, book.all(), making.constants))
    needles = needles_of(making.fitted, making.constants)
    return Pattern(
        making.accessory, making.fitted, made.pieces, book.all(), before, finishing_of(made, making), needles
    )
