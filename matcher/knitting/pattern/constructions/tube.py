"""A column of tubes from the cast-on up, open at the top or closed by a crown: hats, cowls, cuffs, cosies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import takewhile

from matcher.knitting.fit.cast_ons import around_cm
from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.pattern.constructions.parts import height_cm, piece_of, standing
from matcher.knitting.pattern.courses import ChartBook, part_courses
from matcher.knitting.pattern.crowns import crown_courses
from matcher.knitting.pattern.edges import bind_off, cast_on, changed, changing, edge_role
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import Course, Finish, Join, Piece, Remark, Section, Step
from matcher.knitting.pattern.rows import rounds_of
from matcher.knitting.pattern.tips import tip_courses
from matcher.knitting.pattern.zones import by_zone
from matcher.reasons.quantities import Measure, NeedleSize
from matcher.reasons.reason import Term, Words, counted, reason

_TURN_THE_WORK = (
    Remark(
        reason(
            "Slip the next stitch, bring the yarn to the other side of the work, slip the stitch back, and turn the "
            "work inside out: the rounds now go the other way, and what follows is outside once it is turned over"
        )
    ),
    Remark(reason("At the end of the next round work the wrap together with its stitch, so that no hole is left")),
)
_HAS_A_BACK = ("hat", "cowl", "headband", "neck")
_STEPPED = reason("Wear it with the beginning of the rounds behind, since the motif steps by a row there")
_STRIPES_STEP = reason("Wear it with the beginning of the rounds behind, since the stripes step a little there")
_SECURED = (
    reason("Weave in the end of the cast-on on what was the outside, since the fold shows the other side"),
    reason("The fold holds by itself; if it is to stay for good, tack the edge down at four places, loosely"),
)


def build(making: Making, book: ChartBook) -> Made:
    """One piece for the column; those alike say how many times. What an entry of hers has besides is sewn on."""
    fitted = making.fitted
    sections = column(making, book, (cast_on(fitted.parts[0], making), Join()))
    piece = Piece(Term(making.accessory.name), sections, fitted.pieces)
    beside = tuple(piece_of(part, times, making, book) for part, times in fitted.extra)
    sewn = (reason("Sew {part} on", part=part.part) for part, _ in fitted.extra)
    return Made((piece, *beside), (measured(making), *_worn(making)), (*folds(making), *sewn))


def _worn(making: Making) -> Iterator[Words]:
    """What has a back is worn with the beginning of its rounds there, where rounds in other colours meet."""
    rows = [row for part in making.fitted.parts for row in part.rows]
    if rows and making.accessory.kind in _HAS_A_BACK:
        yield _STEPPED if any(len(set(row)) > 1 for row in rows) else _STRIPES_STEP


def measured(making: Making) -> Words:
    """What it measures when it is finished, as it is worn."""
    zones = by_zone(making.accessory, making.fitted)
    high = sum(height_cm(part, making) * (1.0 - zone.turned) for zone, parts in zones for part in parts)
    around = making.fitted.around_cm
    if any(zone.turned for zone, _ in zones):
        said = "Finished, it measures {around} around, and is {high} high where it is turned over"
        return reason(said, around=Measure(around), high=Measure(high))
    return standing(around, high)


def column(making: Making, book: ChartBook, begin: Sequence[Step], done: int = 0) -> tuple[Section, ...]:
    """The sections of a tube, part by part. begin: what puts the stitches of the first part on the needle, and knits
    `done` of its rounds; those are numbered anew."""
    parts, turned = _as_knitted(making)
    live, sections = parts[0].first, list[Section]()
    for below, part, above in zip((None, *parts), parts, (*parts[1:], None), strict=False):
        steps: list[Step] = list(needle_change(below, part, making))
        steps += begin if below is None else ()
        steps += _TURN_THE_WORK if part is turned else ()
        courses = courses_of(part, live, above, making, book)[done if below is None else 0 :]
        steps += courses if below is None and _too_narrow(part.first, making) else _narrowing(courses, making)
        live = courses[-1].leaves
        if above is None:
            drawn = Finish("draw through", edge_role(part, making), part.structure)
            steps.append(drawn if part.shape == "crown" else bind_off(part, making))
        sections.append(Section(part.part, tuple(steps), anew=done > 0 and below is None))
    return tuple(sections)


def _as_knitted(making: Making) -> tuple[tuple[FittedPart, ...], FittedPart | None]:
    """The parts, and before which of them the work is turned inside out.

    What is turned over at the end is knitted from the other side, its motif upside down, so that it is outside and
    upright when it hangs down; rib is alike on both sides.
    """
    zones = by_zone(making.accessory, making.fitted)
    below = max((number for number, (zone, _) in enumerate(zones, start=1) if not zone.turned), default=len(zones))
    if all(making.constants.ribbed(zone.structure) for zone, _ in zones[below:]):
        return making.fitted.parts, None
    over = [_upside_down(part) for _, parts in zones[below:] for part in parts]
    return (*(part for _, parts in zones[:below] for part in parts), *over), over[0]


def _upside_down(part: FittedPart) -> FittedPart:
    return replace(part, rows=tuple(row[::-1] for row in reversed(part.rows)))


def courses_of(part: FittedPart, live: int, above: FittedPart | None, making: Making, book: ChartBook) -> list[Course]:
    """The rounds of a part that comes from `live` stitches.

    Where it has other stitches than what lies below, its first rounds make the change; or the last ones below where the
    first above cannot, since they follow a chart or narrow.
    """
    fitted, constants = making.fitted, making.constants
    if part.shape == "frustum" and part.decreases and constants.structure(part.structure).purled == "no":
        found = list(tip_courses(part, fitted, book))
    else:
        shaped = crown_courses if part.shape == "crown" else rounds_of
        rounds = part_courses if part.first == part.last else shaped
        found = list(rounds(part, fitted, book, constants))
    if live != part.first:
        found = list(changing(live, part.first, found[0].stitches[0].role, found))
    if above is not None and above.first != part.last and _fixed(above):
        ended = changed(part.last, above.first, edge_role(part, making), part.structure)
        spare = _plain_above(found) if _fixed(part) else len(found)
        found[len(found) - min(len(ended), spare) :] = ended
    return found


def _plain_above(courses: Sequence[Course]) -> int:
    """How many of the last courses are in one colour and take no stitches away, so that others can stand for them."""
    plain = takewhile(lambda one: not one.changes and len({each.role for each in one.counts}) == 1, courses[::-1])
    return len(list(plain))


def _fixed(part: FittedPart) -> bool:
    """Whether its first round can take no other change: it follows a chart, or narrows by itself."""
    return part.first != part.last or any(len(set(row)) > 1 for row in part.rows)


def needle_change(below: FittedPart | None, part: FittedPart, making: Making) -> Iterator[Remark]:
    """Which needle a part begins on, where it has another one than what lies below."""
    needles, ribbed = making.needles, making.constants.ribbed
    if needles.rib_mm is None or (below is not None and ribbed(below.structure) == ribbed(part.structure)):
        return
    size = NeedleSize(needles.rib_mm if ribbed(part.structure) else needles.mm)
    said = "Begin on {size} needles" if below is None else "Change to {size} needles"
    if below is None and _too_narrow(part.first, making):
        said = "Begin on {size} double-pointed needles"
    yield Remark(reason(said, size=size))


def _too_narrow(stitches: int, making: Making) -> bool:
    """Whether so many stitches do not reach round the shortest circular needle that is named."""
    cords = making.needles.circular_cm
    return bool(cords) and around_cm(stitches, making.fitted.gauge) < cords[0]


def _narrowing(courses: Sequence[Course], making: Making) -> Iterator[Step]:
    """The courses, with the change to double-pointed needles before the first round that is too narrow."""
    wide = True
    for course in courses:
        if wide and _too_narrow(course.leaves, making):
            wide = False
            yield Remark(reason("Change to double-pointed needles: from here the round is shorter than the needle"))
        yield course


def folds(making: Making) -> Iterator[Words]:
    """How a brim is turned up, and the last rounds down."""
    zones = by_zone(making.accessory, making.fitted)
    heights = [sum(part.rounds for part in parts) for _, parts in zones]
    turned = [round(height * zone.turned) for height, (zone, _) in zip(heights, zones, strict=True)]
    over = 0
    while turned and turned[-1]:
        over += turned.pop()
    for number, up in enumerate(turned):
        if up:
            fold = sum(heights[:number]) + up
            said = "Turn the edge up to the outside along round {fold}, so that it lies along round {edge}"
            yield reason(said, fold=fold, edge=fold + up)
            yield from _SECURED
    if over:
        down = "Turn the last {n} rounds down to the outside"
        yield counted(over, "Turn the last round down to the outside", down)
