"""Triangles from a point up: one alone, such as a kerchief, or flags that a string is knitted along."""

from __future__ import annotations

from dataclasses import replace

from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.pattern.constructions.parts import before_flat, height_cm, parts_of, piece_of, width_cm
from matcher.knitting.pattern.courses import ChartBook
from matcher.knitting.pattern.edges import cast_on, edge_role
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import Finish, Piece, Remark, Rest, Section, Step, TakeUp
from matcher.knitting.pattern.rows import rows_of
from matcher.knitting.pattern.stitches import Stitch
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Term, Words, reason

_FLAGS = "flags"


def build(making: Making, book: ChartBook) -> Made:
    """The triangle bound off at its long side; where a flat part is to come along, all together on one string."""
    parts = list(parts_of(making.fitted))
    (flag, times), others = parts[0], parts[1:]
    before = before_flat(making, *(part for part, _ in parts))
    if not others:
        wide, high = Measure(width_cm(flag, making)), Measure(height_cm(flag, making))
        block = reason("Block it: pin the long side out to {wide}, and the point {high} from it", wide=wide, high=high)
        return Made((piece_of(flag, times, making, book),), before, (block,))
    string = others[0][0]
    sections = (_flags(flag, times, making, book), _string(flag, times, string, making, book))
    return Made((Piece(Term(making.accessory.name), sections),), before, (_bunting(flag, string, making),))


def _flags(flag: FittedPart, times: int, making: Making, book: ChartBook) -> Section:
    """A flag from its point up, which waits at its widest."""
    rows = rows_of(flag, making.fitted, book, making.constants)
    return Section(flag.part, (cast_on(flag, making), *rows, Rest(_FLAGS)), anew=True, times=times)


def _string(flag: FittedPart, times: int, string: FittedPart, making: Making, book: ChartBook) -> Section:
    """The string: its first row knits the flags and casts on before, between and behind them."""
    role = edge_role(string, making)
    first, *rest = rows_of(string, making.fitted, book, making.constants)
    free = string.first - times * flag.last
    gaps = [(number + 1) * free // (times + 1) - number * free // (times + 1) for number in range(times + 1)]
    stitches = [Stitch("co", role)] * gaps[0]
    for gap in gaps[1:]:
        stitches += [Stitch("k", role)] * flag.last + [Stitch("co", role)] * gap
    along = replace(first, stitches=tuple(stitches))
    steps: tuple[Step, ...] = (
        Remark(reason("Lay the flags side by side, all with the same side in front and their points down")),
        TakeUp(_FLAGS),
        along,
        *rest,
        Finish("bind off", role, string.structure),
    )
    return Section(string.part, steps, anew=True)


def _bunting(flag: FittedPart, string: FittedPart, making: Making) -> Words:
    return reason(
        "Block the flags flat, each {wide} wide and {high} high; the string is {long} long, and ties at both ends",
        wide=Measure(width_cm(flag, making)),
        high=Measure(height_cm(flag, making)),
        long=Measure(width_cm(string, making)),
    )
