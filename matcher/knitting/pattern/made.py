"""From a fitted accessory to its pattern: the construction that its entry asks for, counted through once."""

from __future__ import annotations

from collections.abc import Callable

from matcher.knitting.construction import construction_of
from matcher.knitting.pattern.constructions import earflap, mitts, parts, pouch, socks, strip, triangle, tube, yoke
from matcher.knitting.pattern.counting import counted_steps
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.finishing import finishing_of
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.notes import notes_of
from matcher.knitting.pattern.pattern import Pattern

OWN = "own"  # the source of what stands in no catalogue but hers
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
    """The whole pattern. Zones of her own that no construction can join are knitted as pieces by themselves.

    Raises ValueError where the stitches do not come out, which is a fault of ours.
    """
    construction = construction_of(making.accessory)
    if making.accessory.source != OWN or construction == "parts":
        return _built(making, construction)
    try:
        return _built(making, construction)
    except ValueError:
        return _built(making, "parts")


def _built(making: Making, construction: str) -> Pattern:
    book = ChartBook()
    made = BUILDS[construction](making, book)
    for piece in made.pieces:
        for _ in counted_steps(piece):
            pass
    before = (*made.before, *notes_of(made.pieces, book.all(), making.constants))
    needles = making.needles
    return Pattern(
        making.accessory, making.fitted, made.pieces, book.all(), before, finishing_of(made, making), needles
    )
