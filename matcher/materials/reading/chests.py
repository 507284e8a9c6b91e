"""A sweater's chest as people write it: "96", "38", '38"', "38-40", "96 cm / 38 in", "to fit 38 in"."""

from __future__ import annotations

import re

from matcher.materials.estimate import evenly
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import ABOUT, Unreadable, same_figure, tidy
from matcher.materials.reading.units import parse_cm, parse_number
from matcher.reasons.quantities import IN_CM, Measure, Number
from matcher.reasons.reason import reason

# A bare number below is inches, since nobody of that age measures so few centimetres: the smallest adult of the size
# table has a chest of 89 cm, a child of one month one of about 37. Choices, well below both.
INCHES_BELOW_ADULT, INCHES_BELOW_CHILD = 60.0, 33.0
# A grown person's below this may be either: centimetres, which is said, unless other cells count in inches. A choice.
EITHER_BELOW = 66.0
# The same of a child, who may be a baby of 44 cm or one of thirteen who measures 34 inches. A choice.
EITHER_BELOW_CHILD = 46.0

_CHILD = re.compile(r"\b(?:child|children|kids?|bab(?:y|ies)|infant|newborn|toddler|teen|months?|mths?|years?|yrs?)\b")
_ABOUT = re.compile(rf"(?:{ABOUT}|to fit|fits?|chest|bust|size)\s*|\s*(?:chest|bust|ish)$")
_BARE = re.compile(r"\d+(?:[.,]\d+)?(?: \d/\d)?")
_RANGE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(cm|cms|in|ins|inch|inches|\"|″)?\s*(?:-|to|/)\s*(\d+(?:[.,]\d+)?)\s*(.*)")
_TWICE = re.compile(r"(.+?)\s*(?:/|=|\(|,\s)\s*([^)]+)\)?")
_INCHES = re.compile(r"\d\s*(?:in|ins|inch|inches)\b|\d\s*(?:\"|″|”|'')")
_EXPECTED = reason("a chest such as 92 or 36 in")


def says_child(text: str) -> bool:
    """Whether what is written of a garment says that a child wears it."""
    return bool(_CHILD.search(text.casefold()))


def heard_chest(text: str, child: bool = False) -> Heard[float]:
    """Centimetres of a chest. child: whether the wearer is one, so that a small number is no number of inches.

    A bare number that no chest of that age has in centimetres is inches, as a guess. Raises Unreadable.
    """
    plain = tidy(text).casefold().replace("″", '"')
    cut = plain
    while (shorter := _ABOUT.sub("", cut).strip()) != cut:
        cut = shorter
    about = cut != plain
    below = INCHES_BELOW_CHILD if child else INCHES_BELOW_ADULT
    if _BARE.fullmatch(cut):
        number = parse_number(cut)
        if number < below:
            return in_inches(number)
        about = about or (not child and number < EITHER_BELOW)
        return _heard(number, sure=True) if about else Heard(number)
    try:
        cm = parse_cm(cut)
    except Unreadable:
        found = _twice(cut) or _range(cut, below)
        if found is None:
            raise Unreadable(text, _EXPECTED, reason("write inches as 36 in")) from None
        return found
    return _heard(cm, sure=True) if about else Heard(cm)


def bare_chest(text: str) -> float | None:
    """The number of a cell that holds nothing else; None for any other."""
    plain = tidy(text)
    try:
        return parse_number(plain) if _BARE.fullmatch(plain) else None
    except Unreadable:
        return None


def says_inches(text: str) -> bool:
    """Whether a cell says itself that it counts in inches, and in nothing else."""
    plain = text.casefold()
    return bool(_INCHES.search(plain)) and "cm" not in plain


def in_inches(number: float) -> Heard[float]:
    """A bare number guessed to be inches."""
    return _heard(number * IN_CM, sure=False)


def _heard(cm: float, sure: bool) -> Heard[float]:
    if sure:
        return Heard(cm, reason("{chest}", chest=Measure(cm)))
    return Heard(cm, reason("{inches} inches, {chest}", inches=Number(cm / IN_CM, 1), chest=Measure(cm)), sure=False)


def _range(text: str, below: float) -> Heard[float] | None:
    """Between two numbers: the middle."""
    found = _RANGE.fullmatch(text)
    if not found:
        return None
    unit = found[4].strip() or found[2] or ""
    try:
        low, high = (parse_number(one) for one in (found[1], found[3]))
        scale = parse_cm(f"1 {unit}") if unit else (IN_CM if low < below else 1.0)
    except Unreadable:
        return None
    if not low < high <= 1.5 * low:
        return None
    return _heard(evenly(low, high).mean * scale, sure=bool(unit) or scale == 1.0)


def _twice(text: str) -> Heard[float] | None:
    """Centimetres and inches of one chest."""
    found = _TWICE.fullmatch(text)
    if not found or not all(re.search(r"[a-z\"]", part) for part in found.groups()):
        return None
    try:
        one, other = (parse_cm(part.strip()) for part in found.groups())
    except Unreadable:
        return None
    metric = one if "cm" in found[1] else other
    return _heard(metric, sure=True) if same_figure(one, other) else None
