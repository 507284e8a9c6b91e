"""What was used, or the cone beneath, comes off what another column says; balls bought are not balls left."""

from __future__ import annotations

import re
from collections.abc import Container, Sequence
from dataclasses import replace

from matcher.errors import Fault
from matcher.materials.reading.bands import SOLD_G
from matcher.materials.reading.numerals import NUMBER, Unreadable, parse_number
from matcher.reasons.reason import Words, reason
from matcher.store.sheets.as_meant import FIGURE, UNITED
from matcher.store.sheets.bought import LEFT_WORDS, Fits, side_by_side
from matcher.store.sheets.columns import LOTS
from matcher.store.sheets.find import Found
from matcher.store.sheets.headings import OTHERWISE, Fit, fold_heading, heading_readers

# Words of what is not all left.
_WHOLE = frozenset(("bought", "purchased", "gross", "with", "incl", "including", "start", "original", "had"))
_OFF = frozenset(("used", "cone", "tube", "tare", "core", "spool", "bag"))  # and of what comes off it
_WEIGHT = frozenset(("#mass", "weight"))


def whole_and_off(headings: Sequence[str]) -> tuple[str, str] | None:
    """Of headings that name no column, one of what was bought or weighed, and one of what comes off it."""
    words = {one: heading_readers()[LOTS.sheet].words(one, mended=False) for one in headings}
    wholes = [one for one in headings if words[one] & _WHOLE]
    offs = [one for one in headings if words[one] & _OFF and one not in wholes]
    return (wholes[0], offs[0]) if wholes and offs else None


def may_be_left(heading: str) -> bool:
    """Whether a heading that names no column may say what is left: none that says what was bought, used or packed."""
    words = heading_readers()[LOTS.sheet].words(heading, mended=False)
    return not words & (_WHOLE | _OFF)


def ask_what_is_left(found: Found, fits: Fits, told: Container[str], faults: list[Fault]) -> None:
    """A fault where one column says how much, another how much of it was used or is its cone, and none what is left."""
    if found.plain or found.sheet != LOTS.sheet:
        return
    amounts = [at for at, (fit, *_) in fits if fit.column == "grams"]
    words = [heading_readers()[found.sheet].words(heading, mended=False) for heading in found.headings]
    if len(amounts) != 1 or words[amounts[0]] & LEFT_WORDS or fold_heading(found.headings[amounts[0]]) in told:
        return
    whole, placed = amounts[0], {at for at, _ in fits}
    for at, said in enumerate(words):
        if at in placed or not said & _OFF or said & LEFT_WORDS or fold_heading(found.headings[at]) in told:
            continue
        pairs = [(figure(one), figure(two)) for one, two in side_by_side(found, at, whole)]
        taken = [(off, of) for off, of in pairs if off is not None and of is not None]
        # Where more was used than is there, what is there is what is left.
        if any(off > 0 for off, _ in taken) and 2 * len(taken) > len(pairs) and all(off <= of for off, of in taken):
            names = {"whole": found.headings[whole], "off": found.headings[at]}
            both = reason("{whole} beside {off}", **names)
            mend = (
                'add a column "left", of "{whole}" less "{off}"; or call "{whole}" left, if that is what is there still'
            )
            expected = reason("one column of what is left")
            faults.append(Fault(found.grid.where, found.header_row, "grams", both, expected, reason(mend, **names)))
            return


def figure(text: str) -> float | None:
    """The number of a cell that begins with one and is no share."""
    found = re.match(NUMBER, text) if "%" not in text else None
    try:
        return parse_number(found[0]) if found else None
    except Unreadable:
        return None


def without_balls_bought(found: Found, fits: Fits, told: Container[str], notes: list[Words]) -> Fits:
    """Beside balls that are left the column of balls without such a word is what was bought, and left aside.

    A bare number of what is left that is never more than the balls beside it counts balls too.
    """
    if found.plain or found.sheet != LOTS.sheet:
        return fits
    asked = [one for one in fits if fold_heading(found.headings[one[0]]) not in told and one[1][0].column == "grams"]
    words = {at: heading_readers()[found.sheet].words(found.headings[at]) for at, _ in asked}
    had = [one for one in asked if one[1][0].unit == "balls" and not words[one[0]] & LEFT_WORDS]
    left = [one for one in asked if words[one[0]] & LEFT_WORDS and "#mass" not in words[one[0]] and one not in had]
    if len(had) != 1 or len(left) != 1:
        return fits
    (whole, _), (position, there) = had[0], left[0]
    if there[0].unit not in ("balls", "") or not _are_balls(found, position, whole):
        return fits
    said = '{sheet}: "{left}" says what is left, and counts; "{bought}" is taken for what was bought, and left aside'
    notes.append(reason(said, sheet=found.grid.where, left=found.headings[position], bought=found.headings[whole]))
    counted = [replace(fit, unit="balls") if fit.column == "grams" else fit for fit in there]
    return [(at, counted if at == position else one) for at, one in fits if at != whole]


def _are_balls(found: Found, left: int, had: int) -> bool:
    """Whether cells of what is left count balls, as far as they are bare: never more than there were."""
    pairs = side_by_side(found, left, had)
    counts = [(figure(one), figure(two)) for one, two in pairs if FIGURE.fullmatch(one) and not UNITED.search(one)]
    return bool(pairs) and all(one is not None and (two is None or one <= two) for one, two in counts)


def weight_of_each(found: Found, fits: Fits, told: Container[str], notes: list[Words]) -> Fits:
    """Beside a number of balls a weight that is the same however many they are is that of a full ball.

    So it is taken where all weights are such as balls are sold in, and a remark says so.
    """
    if found.plain or found.sheet != LOTS.sheet or any(one.column == "ball_grams" for _, (one, *_) in fits):
        return fits
    asked = [one for one in fits if fold_heading(found.headings[one[0]]) not in told and one[1][0].column == "grams"]
    reader = heading_readers()[found.sheet]
    balls = [at for at, one in asked if one[0].unit == "balls"]
    weights = [at for at, one in asked if reader.words(found.headings[at]) <= _WEIGHT]
    if len(balls) != 1 or len(weights) != 1 or not _is_each(found, weights[0], balls[0]):
        return fits
    said = (
        '{sheet}: "{weight}" is the same for different numbers of "{balls}", so it is taken for what a full ball'
        " weighs; if all of it weighs that, call it grams left"
    )
    names = {"weight": found.headings[weights[0]], "balls": found.headings[balls[0]]}
    notes.append(reason(said, sheet=found.grid.where, **names))
    return [(at, [Fit("ball_grams", OTHERWISE)] if at == weights[0] else one) for at, one in fits]


def _is_each(found: Found, weight: int, balls: int) -> bool:
    rows: dict[float, set[float]] = {}
    for one, two in side_by_side(found, weight, balls):
        grams, number = figure(one), figure(two)
        if grams is None or number is None or grams not in SOLD_G:
            return False
        rows.setdefault(grams, set()).add(number)
    return any(len(numbers) > 1 for numbers in rows.values())
