"""A flat piece, or several alike, and what becomes of it: left flat, joined, buttoned, folded, gathered, stuffed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from matcher.knitting.construction import construction_of
from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.pattern.constructions.parts import before_flat, height_cm, parts_of, piece_of, width_cm
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import Course, Piece, Section
from matcher.knitting.pattern.stitches import Stitch
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Words, counted, reason

_OVERLAP_CM = 4.0  # of a strip that is buttoned (a choice)
_BUTTON_EVERY_CM = 5.0  # (a choice)
_SEAM = 3.0  # times its length, the yarn that a seam takes (a choice)


def build(making: Making, book: ChartBook) -> Made:
    """The flat pieces, and how they are finished by the entry's construction."""
    parts = list(parts_of(making.fitted))
    pieces = [piece_of(part, times, making, book) for part, times in parts]
    part, construction = parts[0][0], construction_of(making.accessory)
    if construction == "buttoned strip":
        pieces[0] = _with_buttonholes(pieces[0], part, making)
    finishing = tuple(WAYS[construction](part, making))
    before = before_flat(making, *(one for one, _ in parts))
    return Made(tuple(pieces), before, finishing, construction in _BLOCKED_FIRST)


def _flat(part: FittedPart, making: Making) -> Iterator[Words]:
    wide, high = Measure(width_cm(part, making)), Measure(height_cm(part, making))
    yield reason("It measures {wide} by {high}; pin it out to that when you block it", wide=wide, high=high)


def _to_a_ring(part: FittedPart, making: Making) -> Iterator[Words]:
    yield reason("Lay the strip round to a ring, and see that it isn't twisted")
    yield reason(
        "Sew its two ends together edge to edge, stitch to stitch, so that the seam lies flat between two ridges"
    )


def _buttoned(part: FittedPart, making: Making) -> Iterator[Words]:
    buttons = _buttons(part, making)
    yield counted(
        buttons,
        "Lay the end with the buttonhole {overlap} over the other, right sides up, and sew a button under it",
        "Lay the end with the {n} buttonholes {overlap} over the other, right sides up, and sew a button under each",
        overlap=Measure(2 * height_cm(part, making, _to_the_edge(part, making))),
    )
    yield reason("Choose buttons that just pass through the holes; a shawl pin through both ends will do as well")


def _folded(part: FittedPart, making: Making) -> Iterator[Words]:
    yield reason("Draw the strip through the ring and fold it in half, so that its ends meet")
    yield reason(
        "Sew the ends together, and then both long sides, up to the ring; go through all layers beside it twice"
    )


def _gathered(part: FittedPart, making: Making) -> Iterator[Words]:
    yield reason("Take an elastic ring for hair, or knot an elastic band to one")
    yield reason(
        "Lay the strip round the elastic, its right side out, and sew its long sides together with the elastic inside; "
        "push the knitting together as you go"
    )
    yield reason("Sew the two ends together, and spread the gathers evenly")


def _stuffed(part: FittedPart, making: Making) -> Iterator[Words]:
    yield reason("Lay the two pieces together, wrong sides in, the columns of both upright")
    yield reason("Sew them round, one stitch in from the edge, and leave half of the last side open")
    yield reason("Stuff it firmly, with ends of yarn or fleece, and close it")


WAYS = {
    "strip": _flat,
    "joined strip": _to_a_ring,
    "buttoned strip": _buttoned,
    "folded strip": _folded,
    "gathered strip": _gathered,
    "cushion": _stuffed,
}

_BLOCKED_FIRST = ("gathered strip", "cushion")


def _buttons(part: FittedPart, making: Making) -> int:
    """Buttons across the strip; each hole takes three stitches at least."""
    return max(1, min(part.first // 3, round(width_cm(part, making) / _BUTTON_EVERY_CM)))


def _to_the_edge(part: FittedPart, making: Making) -> int:
    """Rows from the middle of the buttonholes to the bound-off edge: half of the overlap, and an even number, since the
    holes are made on the right side and the last row is of the wrong one."""
    half = round(_OVERLAP_CM / 2.0 / height_cm(part, making, 1))
    rows = min(half, part.rounds - 1)
    return rows if (part.rounds - rows) % 2 == 0 else max(1, rows - 1)


def _with_buttonholes(piece: Piece, part: FittedPart, making: Making) -> Piece:
    """The same piece with a row of eyelets, which are as many stitches as before."""
    (section,) = piece.sections
    courses = [place for place, step in enumerate(section.steps) if isinstance(step, Course)]
    place = courses[part.rounds - _to_the_edge(part, making)]
    course = section.steps[place]
    assert isinstance(course, Course)
    stitches, buttons = list(course.stitches), _buttons(part, making)
    for number in range(buttons):
        middle = (2 * number + 1) * len(stitches) // (2 * buttons)
        role = stitches[middle].role
        stitches[middle - 1 : middle + 1] = [Stitch("k2tog", role), Stitch("yo", role)]
    steps = (*section.steps[:place], replace(course, stitches=tuple(stitches)), *section.steps[place + 1 :])
    return replace(piece, sections=(Section(section.heading, steps),))
