"""Each zone a piece by itself, for entries whose zones make no known thing; what they have in common is sewn after."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from matcher.knitting.fit.edges import zones_of
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.edges import bind_off, cast_on, edge_role
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.needles import IN_ROUNDS
from matcher.knitting.pattern.pattern import Finish, Join, Piece, Section, Step
from matcher.knitting.pattern.rows import rounds_of, rows_of
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Term, Words, counted, listed, reason


def parts_of(fitted: Fitted) -> Iterator[tuple[FittedPart, int]]:
    """Every part and how many alike are knitted of it."""
    for part in fitted.parts:
        yield part, fitted.pieces
    yield from fitted.extra


def build(making: Making, book: ChartBook) -> Made:
    """A piece for each zone, from cast-on to bind-off, and which edges are as long as each other and can be joined."""
    parts = list(parts_of(making.fitted))
    pieces = tuple(_piece([part for part, _ in zone], zone[0][1], making, book) for zone in zones_of(parts))
    return Made(pieces, before_flat(making, *(part for part, _ in parts)), tuple(_joined(parts, making)))


def piece_of(part: FittedPart, times: int, making: Making, book: ChartBook) -> Piece:
    """A part as a piece by itself."""
    return _piece([part], times, making, book)


def _piece(parts: list[FittedPart], times: int, making: Making, book: ChartBook) -> Piece:
    """The parts of a zone upon each other; what narrows, if anything does, is a part alone."""
    first, last = parts[0], parts[-1]
    in_rounds = first.shape in IN_ROUNDS
    loose = in_rounds or first.shape == "triangle"  # a flat piece keeps its width, and is sewn at its edge
    drawn = Finish("draw through", edge_role(last, making), last.structure)
    finish = drawn if last.shape == "crown" else replace(bind_off(last, making), loose=loose)
    begin: list[Step] = [cast_on(first, making), *([Join()] if in_rounds else [])]
    sections, rows = list[Section](), 0
    for part in parts:
        if in_rounds:
            courses = rounds_of(part, making.fitted, book, making.constants)
        else:
            turned = rows % 2 == 1
            courses = rows_of(part, making.fitted, book, making.constants, wrong_side_first=turned)
        rows += part.rounds
        end = [finish] if part is last else []
        sections.append(Section(part.part, (*begin, *courses, *end)))
        begin = []
    return Piece(Term(first.zone or str(first.part)), tuple(sections), times)


def before_flat(making: Making, *parts: FittedPart) -> tuple[Words, ...]:
    """What to know before parts that are knitted in rows are begun."""
    flat = [part for part in parts if part.shape not in IN_ROUNDS]
    found: list[Words] = []
    if flat:
        found.append(reason("Knit in rows, back and forth; odd rows are of the right side"))
    if any(len(set(row)) > 1 for part in flat for row in part.rows):
        said = "In rows of two colours knit the last stitch of each row with both, so that the floats reach the edge"
        found.append(reason(said))
    return tuple(found)


def width_cm(part: FittedPart, making: Making, stitches: int | None = None) -> float:
    """How wide so many stitches of a part measure [cm]; of its widest course if not said."""
    wide = max(part.first, part.last) if stitches is None else stitches
    return wide * 10.0 / making.fitted.gauge.stitches_10cm / making.constants.wales(part.structure)


def height_cm(part: FittedPart, making: Making, courses: int | None = None) -> float:
    """How high so many courses of a part measure [cm]; all of them if not said."""
    rows = part.rounds if courses is None else courses
    return rows * 10.0 / making.fitted.gauge.rows_10cm / making.constants.courses(part.structure)


def standing(around_cm: float, high_cm: float) -> Words:
    """What something round measures when it is finished."""
    said = "Finished, it measures {around} around, and is {high} high"
    return reason(said, around=Measure(around_cm), high=Measure(high_cm))


def _joined(parts: list[tuple[FittedPart, int]], making: Making) -> Iterator[Words]:
    """What is as far round or as wide as what, and so can be sewn to it; a part alone is done."""
    for place, (part, _) in enumerate(parts):
        for other, times in parts[place + 1 :]:
            if abs(width_cm(part, making, part.last) - width_cm(other, making, other.first)) < 1.0:
                yield counted(
                    times,
                    "Sew {other} to {part}: their edges are both {long} long",
                    "Sew each of the {n} {other} to {part}: their edges are both {long} long",
                    other=other.part,
                    part=part.part,
                    long=Measure(width_cm(other, making, other.first)),
                )
    sizes = [
        reason(
            "{part} {wide} by {high}",
            part=part.part,
            wide=Measure(width_cm(part, making)),
            high=Measure(height_cm(part, making)),
        )
        for part, _ in parts
    ]
    yield reason("Finished, the pieces measure: {sizes}", sizes=listed(sizes))
