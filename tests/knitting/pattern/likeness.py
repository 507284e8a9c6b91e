"""Whether two things that were knitted are a pair, and what they measure."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from knitter import Off

from matcher.knitting.fabric import FabricConstants, Gauge
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.needs import RoleNeed

_SHORT = 5  # a float that passes no more stitches needs no word
_OTHER_HAND = {"k2tog": "ssk", "ssk": "k2tog", "m1l": "m1r", "m1r": "m1l"}
_SHAPING = {"k2tog", "ssk", "s2kp", "m1l", "m1r", "kfb", "hold", "co", "p2tog"}


def _thumb(off: Off) -> list[tuple[int, tuple[str, ...]]]:
    """Where the thumb grows out of the hand: of each round with shaping in the section that puts stitches on hold, its
    place in the piece and what is done in it, stitch by stitch, plain ones alike."""
    held = {course.section for course in off.courses if any(work.op == "hold" for work in course.works)}
    found = []
    for place, course in enumerate(off.courses):
        ops = tuple(one.op if one.op in _SHAPING else "k" for one in course.works)
        if set(ops) != {"k"} and course.section in held:
            found.append((place, ops))
    return found


def mirrored(one: Off, other: Off) -> bool:
    """Whether the thumb of the second is that of the first as in a mirror: the same shaping from the other end of each
    round, leaning the other way, on hold at the other side; and not the same as the first."""
    first, second = _thumb(one), _thumb(other)
    turned = [(place, tuple(_OTHER_HAND.get(op, op) for op in reversed(ops))) for place, ops in first]
    return _but_for_co(turned) == _but_for_co(second) and first != second


def _but_for_co(shaping: list[tuple[int, tuple[str, ...]]]) -> list[tuple[int, tuple[str, ...]]]:
    """Stitches are cast on over the gap after those of the thumb were put on hold, whichever way the round goes."""
    found = []
    for place, ops in shaping:
        kept = tuple(op for op in ops if op != "co")
        found.append((place, (*kept, *("co",) * (len(ops) - len(kept)))))
    return found


def loops_and_floats(offs: list[Off]) -> tuple[Counter[str], Counter[str]]:
    """Loops of each colour in all pieces without their edges, and stitches that each passes behind."""
    loops: Counter[str] = Counter()
    floats: Counter[str] = Counter()
    for off in offs:
        for course in off.courses:
            for _ in range(off.times):
                loops += course.loops
                floats += course.floats
    return loops, floats


def metres(offs: list[Off], loop_cm: float, wales_cm: float) -> dict[str, float]:
    """Yarn of each colour [m]: its loops and those of the edges, and floats that span a stitch for each that they pass.

    loop_cm: yarn in a loop; wales_cm: width of a stitch."""
    loops, floats = loops_and_floats(offs)
    for off in offs:
        for _ in range(off.times):
            loops += off.edges
    return {colour: (loops[colour] * loop_cm + floats[colour] * wales_cm) / 100.0 for colour in loops}


def yarn_amiss(offs: list[Off], fitted: Fitted, constants: FabricConstants) -> dict[str, tuple[float, float]]:
    """Colours of which other metres were knitted than the need says, tails aside, by more than `rounding_m`: both."""
    both = beside_needs(offs, fitted.gauge, needs_of_fitted(fitted, constants), constants)
    return {one: (had, need) for one, (had, need) in both.items() if abs(had - need) > rounding_m(fitted, constants)}


def beside_needs(
    offs: list[Off], gauge: Gauge, needs: Sequence[RoleNeed], constants: FabricConstants
) -> dict[str, tuple[float, float]]:
    """Metres of each colour that were knitted, and that were needed without tails."""
    taken = metres(offs, gauge.loop_cm, gauge.loop_cm / constants.Kw)
    needed = {_letters(need.role): need.length_m - need.tail_m for need in needs}
    if len(needed) == 1:
        needed = {"": needed.popitem()[1]}
    return {colour: (taken.get(colour, 0.0), needed.get(colour, 0.0)) for colour in taken | needed}


def rounding_m(fitted: Fitted, constants: FabricConstants) -> float:
    """What a need leaves open [m].

    Whether a stitch that is added or taken away between two parts counts with the round below or with the one above.
    Of a thumb, in which colour the stitch over its gap is cast on and taken away; and the floats behind the first rows
    of its gusset, which are too narrow to hold all colours of their round.
    """
    between = sum(abs(above.first - below.last) for below, above in pairwise(fitted.parts))
    colours = len(fitted.roles)
    thumb = 2 + colours**2 / constants.Kw if fitted.extra and colours > 1 else 0
    return fitted.pieces * (between + thumb) * fitted.gauge.loop_cm / 100.0 + 1e-9


def _letters(role: str) -> str:
    return "MC" if role == "main" else "CC" + role.removeprefix("contrast ")


def pair(offs: list[Off]) -> tuple[Off, Off]:
    """The right and the left piece."""
    hands = {side: [off for off in offs if re.search(rf"\b{side}\b", off.name, re.I)] for side in ("right", "left")}
    ((right,), (left,)) = hands.values()
    return right, left


def courses_of(shows: str, off: Off) -> int:
    """How many rounds or rows show these knit and purl stitches on the right side, in the order of knitting."""
    return sum("".join(stitch for stitch, _ in course.shows) == shows for course in off.courses)


def untold_floats(offs: list[Off], notes: list[str]) -> dict[str, int]:
    """The longest float of each colour, where the notes before the first stitch do not tell of one so long."""
    said = " ".join(notes)
    none = re.search(r"No float passes behind more than (\d+) stitches", said)
    told = {colour: int(none[1]) if none else _SHORT for colour in ("MC", *(f"CC{number}" for number in range(1, 9)))}
    for colour, passed in re.findall(r"(MC|CC\d) passes behind (\d+) stitches", said):
        told[colour] = max(told[colour], int(passed))
    found: dict[str, int] = {}
    for course in (course for off in offs for course in off.courses if len(course.loops) > 1):
        for colour, passed in course.longest_floats.items():
            if passed > told[colour]:
                found[colour] = max(passed, found.get(colour, 0))
    return found
