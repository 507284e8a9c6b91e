"""A hat with flaps: each is knitted from its tip up and waits; the first round of the edge knits along them and casts
on what lies between, and from there on it is a tube with a crown."""

from __future__ import annotations

from matcher.knitting.pattern.constructions.parts import height_cm, width_cm
from matcher.knitting.pattern.constructions.tube import column, measured
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.edges import cast_on, edge_role
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import Course, Join, Piece, Remark, Rest, Section, TakeUp
from matcher.knitting.pattern.rows import rows_of
from matcher.knitting.pattern.stitches import Stitch
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Term, Words, counted, reason

_FLAPS = "flaps"


def build(making: Making, book: ChartBook) -> Made:
    """One piece: the flaps, and the hat upon them."""
    (tip, times), *_ = making.fitted.extra
    edge = making.fitted.parts[0]
    free = edge.first - times * tip.last
    front = round(making.constants.earflap_front * free)
    behind = free - front
    role = edge_role(edge, making)
    cast, knit = Stitch("co", role), Stitch("k", role)
    along = (cast,) * (behind // 2)
    for gap in (front, behind - behind // 2):
        along += (knit,) * tip.last + (cast,) * gap
    where = reason(
        "With new yarn begin in the middle of the back, where {behind} lie between the flaps; {front} lie between them "
        "in front; both flaps show their right side",
        behind=counted(behind, "{n} stitch", "{n} stitches"),
        front=counted(front, "{n} stitch", "{n} stitches"),
    )
    begin = (Remark(where), TakeUp(_FLAPS), Course(along, edge.structure), Join())
    sections = (_flaps(making, book), *column(making, book, begin, done=1))
    piece = Piece(Term(making.accessory.name), sections)
    rows = reason("Knit the flaps in rows, back and forth, the rest in rounds")
    return Made((piece,), (measured(making), _flaps_measured(making), rows))


def _flaps_measured(making: Making) -> Words:
    flaps = [part for part, _ in making.fitted.extra]
    wide, high = max(width_cm(part, making) for part in flaps), sum(height_cm(part, making) for part in flaps)
    return reason("Each flap is {wide} wide, and hangs {high} below the edge", wide=Measure(wide), high=Measure(high))


def _flaps(making: Making, book: ChartBook) -> Section:
    """A flap from its tip up; its last row is of the wrong side, since the hat begins with one of the right side."""
    flaps, times = [part for part, _ in making.fitted.extra], making.fitted.extra[0][1]
    left, rows = sum(part.rounds for part in flaps), list[Course]()
    for part in flaps:
        rows += rows_of(part, making.fitted, book, making.constants, wrong_side_first=left % 2 == 1)
        left -= part.rounds
    return Section(reason("Flaps"), (cast_on(flaps[0], making), *rows, Rest(_FLAPS)), anew=True, times=times)
