"""A pouch: a tube that is closed at the bottom, on a base or without one, open at the top, with a cord or without."""

from __future__ import annotations

from dataclasses import replace

from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.pattern.constructions.parts import height_cm, parts_of, standing, width_cm
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.edges import bind_off, changing, edge_role
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.needles import IN_ROUNDS
from matcher.knitting.pattern.pattern import CastOn, Course, Finish, Join, PickUp, Piece, Section, Step
from matcher.knitting.pattern.rows import rounds_of, rows_of
from matcher.knitting.pattern.stitches import Stitch
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Term, Words, reason

_WELT = 3  # last rounds of a stocking top, purl, knit, purl, so that it doesn't roll (a choice)
_EYELETS_BELOW_CM = 1.5  # the top (a choice)


def build(making: Making, book: ChartBook) -> Made:
    """The bag from its bottom up, then the cord."""
    parts = [part for part, _ in parts_of(making.fitted)]
    tubes = [part for part in parts if part.shape in IN_ROUNDS]
    base = next((part for part in parts if part.shape not in IN_ROUNDS), None)
    wide = max(part.first for part in tubes)
    cord = next((part for part in tubes if part.first * 2 < wide), None)
    bag = [part for part in tubes if part is not cord]
    sections = [*_bottom(base, bag[0], making, book), *_bag(bag, base is None, cord is not None, making, book)]
    pieces = [Piece(Term("pouch"), tuple(sections))]
    if cord is not None:
        pieces.append(_cord(cord, making, book))
    measured = standing(width_cm(bag[0], making, bag[0].first), sum(height_cm(part, making) for part in bag))
    sewn = base is None and bag[0].first % 2 == 1
    return Made(tuple(pieces), (measured,), tuple(_finishing(cord, sewn, making)))


def _bottom(base: FittedPart | None, bag: FittedPart, making: Making, book: ChartBook) -> list[Section]:
    """A base, round which stitches are picked up until it is as wide as the bag; nothing without one.

    Its last row is of the right side, so that the yarn is where the picking up begins.
    """
    if base is None:
        return []
    role = edge_role(base, making)
    rows = rows_of(base, making.fitted, book, making.constants, wrong_side_first=base.rounds % 2 == 0)
    free = bag.first - base.last
    side = min(free // 3, max(1, round(height_cm(base, making) * making.fitted.gauge.stitches_10cm / 10.0)))
    where = reason(
        "round the other three sides of the base: {side} along the short side, {long} along the cast-on edge and "
        "{side} along the other short side",
        side=side,
        long=free - 2 * side,
    )
    steps: tuple[Step, ...] = (
        CastOn(base.first, role, base.structure),
        *rows,
        PickUp(free, role, bag.structure, where),
        Join(),
    )
    return [Section(base.part, steps)]


def _bag(bag: list[FittedPart], closed: bool, drawn: bool, making: Making, book: ChartBook) -> list[Section]:
    sections = []
    live = bag[0].first
    for number, part in enumerate(bag):
        steps: list[Step] = []
        role = edge_role(part, making)
        if closed and not number:
            steps += [CastOn(part.first, role, part.structure, _closed(part)), Join()]
        courses = rounds_of(part, making.fitted, book, making.constants)
        if live != part.first:
            courses = tuple(changing(live, part.first, role, courses))
        live = part.last
        last = number == len(bag) - 1
        if last and drawn:
            courses = _drawn(courses, making)
        steps += courses
        if last:
            steps.append(bind_off(part, making))
        sections.append(Section(part.part, tuple(steps)))
    return sections


def _closed(part: FittedPart) -> Words:
    if part.first % 2:
        return reason("The bottom is sewn up at the end, flat")
    return reason(
        "Begin as at a toe, so that the bottom is closed from the start: hold two needles side by side and wind the "
        "yarn round them in figures of eight, {half} loops on each; in the first round knit the loops of the second "
        "needle through the back",
        half=part.first // 2,
    )


def _drawn(courses: tuple[Course, ...], making: Making) -> tuple[Course, ...]:
    """The same rounds with a round of eyelets for the cord, and an edge that doesn't roll."""
    found = list(courses)
    below = round(_EYELETS_BELOW_CM * making.fitted.gauge.rows_10cm / 10.0)
    place = len(found) - 1 - max(_WELT, below)
    if place >= 0:
        found[place] = replace(found[place], stitches=_eyelets(found[place].stitches))
    for number in range(len(found) - _WELT, len(found), 2):
        if number > place and number >= 0:
            found[number] = replace(
                found[number], stitches=tuple(Stitch("p", role) for _, role in found[number].stitches)
            )
    return tuple(found)


def _eyelets(stitches: tuple[Stitch, ...]) -> tuple[Stitch, ...]:
    """An even number of eyelets, four stitches or so each, so that both ends of the cord come out on one side."""
    number = max(2, len(stitches) // 8 * 2)
    found = list(stitches)
    for one in range(number):
        place = (2 * one + 1) * len(found) // (2 * number)
        role = found[place].role
        found[place - 1 : place + 1] = [Stitch("k2tog", role), Stitch("yo", role)]
    return tuple(found)


def _cord(cord: FittedPart, making: Making, book: ChartBook) -> Piece:
    role = edge_role(cord, making)
    how = reason(
        "the stitches stay on one of two double-pointed needles; after each round don't turn, but push them to its "
        "other end, draw the yarn behind them and knit them again from the first"
    )
    steps: tuple[Step, ...] = (
        CastOn(cord.first, role, cord.structure),
        Join(how),
        *rounds_of(cord, making.fitted, book, making.constants),
        Finish("bind off", role, cord.structure),
    )
    return Piece(Term(str(cord.part)), (Section(cord.part, steps),))


def _finishing(cord: FittedPart | None, sewn: bool, making: Making) -> list[Words]:
    found: list[Words] = [reason("Sew up the bottom, edge to edge")] if sewn else []
    if cord is None:
        return found
    return [
        *found,
        reason(
            "Thread the cord of {long} in and out through the eyelets, and knot its ends together",
            long=Measure(height_cm(cord, making)),
        ),
    ]
