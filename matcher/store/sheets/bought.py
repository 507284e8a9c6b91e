"""Of two columns of weights, one of which says what is left, that one counts: the other is what was bought."""

from __future__ import annotations

import re
from collections.abc import Container, Sequence

from matcher.errors import Fault
from matcher.materials.reading.numerals import MASS_G, NUMBER, Unreadable, any_of, parse_number
from matcher.reasons.reason import Column, Words, reason
from matcher.store.catalogue.headings import load_headings
from matcher.store.sheets.as_meant import LONGEST, UNKNOWN, says_nothing_left
from matcher.store.sheets.columns import LOTS
from matcher.store.sheets.find import Found
from matcher.store.sheets.headings import Fit, fold_heading, heading_readers

Fits = list[tuple[int, list[Fit]]]
"""Headings by position, each with the columns that it may be."""

LEFT_WORDS = frozenset(("left", "have", "hand"))
"""Words of a heading that says what is there still."""
_BOUGHT = frozenset(("#mass", "weight", "total", "amount"))  # words of one that doesn't say which weight it is
_PLAIN = re.compile(rf"(?:about|approx\.?|ca\.?|~)?\s*({NUMBER})\s*({any_of(MASS_G)})?\.?", re.IGNORECASE)
_AMOUNT = re.compile(r"\d|[½¼¾⅓⅔]|\b(?:half|quarters?|thirds?|balls?|skeins?|most|some|all|bits?|whole|full)\b")


def without_bought(found: Found, fits: Fits, told: Container[str], faults: list[Fault], notes: list[Words]) -> Fits:
    """The headings without those of what was bought; a remark says so. A fault where the two can't be told apart.

    told: folded headings that she spoke for herself; they are no question any more.
    """
    if found.plain or found.sheet != LOTS.sheet:
        return fits
    asked = [one for one in fits if fold_heading(found.headings[one[0]]) not in told]
    bought = [one for one in asked if _is_bought(found, *one)]
    left = [one for one in asked if one not in bought and _is_left(found, *one)] if bought else []
    if not left:
        return fits
    counting = [one for one in left if _counts(found, one, bought[0])]
    position, (fit, *_) = (counting or left)[0]
    names = {"left": found.headings[position], "bought": found.headings[bought[0][0]]}
    if not counting:
        both = reason("{left} beside {bought}", **names)
        expected = reason("one column of what is left, in grams")
        mend = 'call "{bought}" {ball} if a full ball weighs that; else write in "{left}" how many grams are left'
        todo = reason(mend, ball=Column("ball_grams"), **names)
        faults.append(Fault(found.grid.where, found.header_row, fit.column, both, expected, todo))
        return fits
    said = '{sheet}: "{left}" says what is left, and counts; "{bought}" is taken for what was bought, and left aside'
    notes.append(reason(said, sheet=found.grid.where, **names))
    return [one for one in fits if one not in bought]


def _is_bought(found: Found, position: int, fits: Sequence[Fit]) -> bool:
    words = heading_readers()[found.sheet].words(found.headings[position])
    return {one.column for one in fits} == {"grams"} and fits[0].unit not in ("balls", "length") and words <= _BOUGHT


def _is_left(found: Found, position: int, fits: Sequence[Fit]) -> bool:
    """Whether a column says what is left, by weight as far as its heading goes, and its cells say any amount."""
    words = heading_readers()[found.sheet].words(found.headings[position])
    counted = fits[0].unit == "length" or (fits[0].unit == "balls" and not fits[0].when)
    amounts = any(_AMOUNT.search(text) for text, _ in side_by_side(found, position, position))
    return fits[0].column == "grams" and bool(words & LEFT_WORDS) and not counted and amounts


def _counts(found: Found, left: tuple[int, list[Fit]], bought: tuple[int, list[Fit]]) -> bool:
    """Whether every cell of what is left is a plain weight, of no more than was bought.

    Bare numbers under a heading without a unit may be balls or shares where they are small.
    """
    (position, (fit, *_)), (other, (whole, *_)) = left, bought
    unit = "" if fit.unit == "balls" else fit.unit
    named = unit or ("g" if "#mass" in heading_readers()[found.sheet].words(found.headings[position]) else "")
    bare: list[float] = []
    for text, beside in side_by_side(found, position, other):
        there, had = _weight(text, named), _weight(beside, whole.unit or "g")
        if there is None or "%" in found.headings[position]:
            return False
        if not there[1]:
            bare.append(there[0])
        if had is not None and there[0] > had[0]:
            return False
    small = load_headings().guesses.balls_up_to
    return not bare or (whole.unit in ("", "g") and max(bare) > small and min(bare) >= 1.0)


def side_by_side(found: Found, position: int, other: int) -> list[tuple[str, str]]:
    """Cells of two columns side by side, where the first holds something and something is left."""
    rows = [
        tuple(cells[at].strip().casefold()[:LONGEST] if at < len(cells) else "" for at in (position, other))
        for _, cells in found.rows
    ]
    return [(one, two) for one, two in rows if one and one not in UNKNOWN and not says_nothing_left(one)]


def _weight(text: str, unit: str) -> tuple[float, bool] | None:
    """A plain weight [g], and whether its unit is told; None for any other cell. unit: what its heading says."""
    plain = _PLAIN.fullmatch(text)
    if plain is None or "/" in plain[1]:
        return None
    told = plain[2] or unit
    try:
        return parse_number(plain[1]) * MASS_G[told.casefold() or "g"], bool(told)
    except Unreadable:
        return None
