"""Stitches and rows of a garment as people write them: "22 sts", "22x30", "5.5 sts/in", "about 22", "22-24"."""

from __future__ import annotations

import re
from collections.abc import Mapping

from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import ABOUT, Unreadable, tidy
from matcher.materials.reading.units import parse_gauge, parse_number
from matcher.reasons.quantities import IN_CM, Number
from matcher.reasons.reason import Words, reason

STITCHES, ROWS = "stitches_10cm", "rows_10cm"
"""The columns of a gauge; the first may hold both."""

# Fewer stitches in 10 cm are knitted of jumbo yarn only, and sweaters never are: a bare number below counts an inch.
INCH_BELOW = {STITCHES: 9.5, ROWS: 12.5}  # choices

_ABOUT = re.compile(rf"^{ABOUT}\s*|\s*(?:ish|approx\.?|\([^)]*\))$")
_BARE = re.compile(r"(\d+(?:[.,]\d+)?(?: \d/\d)?)\s*(sts?|stitches|s|rows?|rnds?|rounds?|r)?\.?", re.IGNORECASE)
_RANGE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:-|to)\s*(\d+(?:[.,]\d+)?)\s*(.*)", re.IGNORECASE)
# A whole gauge without what it is counted over.
_PAIR = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(?:sts?|stitches|s)?\.?\s*(?:x|×|/|,\s|&|and|by|\*)\s*(\d+(?:[.,]\d+)?)\s*(?:rows?|rnds?|r)?\.?",
    re.IGNORECASE,
)
# The needles, and that it is plain knitting, change nothing.
_BESIDE = re.compile(
    r"\s*[,;(]?\s*(?:"
    r"(?:on|with|using|@|at|-|/)\s*(?:a\s+)?(?:(?:us|uk|size|no\.?|nr\.?|\#)\s*\d[\d./]*|\d[\d.,/]*\s*(?=mm|needles?))"
    r"\s*(?:mm)?\s*(?:needles?)?"
    r"|(?:in|over)\s+(?:st\.?\s*st|stst|stocking\s+(?:stitch|st)|stockinette(?:\s+(?:stitch|st))?|plain(?:\s+knitting)?)"
    r")\.?\)?$",
    re.IGNORECASE,
)
_OVER = re.compile(r"(\d+(?:[.,]\d+)?)\s*/\s*(\d+)\s*(\"|″|cm|ins?|inch(?:es)?)")
_EXPECTED = {STITCHES: reason("stitches in 10 cm such as 22"), ROWS: reason("rows in 10 cm such as 30")}


def whole_gauge(cells: Mapping[str, str]) -> dict[str, str]:
    """The cells of a garment; where the cell of stitches tells the rows too, and theirs is empty, it stands in both."""
    found = dict(cells)
    if found.get(STITCHES) and not found.get(ROWS):
        try:
            if parse_gauge(_plain(found[STITCHES]))[1] is not None:
                found[ROWS] = found[STITCHES]
        except Unreadable:
            pass  # told by its own cell
    return found


def heard_stitches(text: str) -> Heard[float]:
    """Stitches in 10 cm. Raises Unreadable."""
    return _heard(text, STITCHES)


def heard_rows(text: str) -> Heard[float]:
    """Rows in 10 cm: alone ("30", "30 rows in 4 in"), or those of a whole gauge. Raises Unreadable."""
    return _heard(text, ROWS)


def _plain(text: str) -> str:
    plain = tidy(text)
    cut = _BESIDE.sub("", _BESIDE.sub("", plain)).removesuffix("?")
    cut = _ABOUT.sub("", _ABOUT.sub("", cut)).strip() or plain
    return _OVER.sub(r"\1 in \2 \3", cut) if _OVER.fullmatch(cut) else cut  # 18/4" is no fraction


def _heard(text: str, column: str) -> Heard[float]:
    plain = _plain(text)
    odd = plain != tidy(text)
    if bare := _BARE.fullmatch(plain):
        number = parse_number(bare[1])
        if 0 < number < INCH_BELOW[column]:
            return _inch(number, column)
    if (pair := _PAIR.fullmatch(plain)) and 0 < parse_number(pair[1]) < INCH_BELOW[STITCHES]:
        return _inch(parse_number(pair[1 if column == STITCHES else 2]), column)
    if between := _RANGE.fullmatch(plain):
        low, high = parse_number(between[1]), parse_number(between[2])
        if low < high <= 1.5 * low:
            return _taken(_read(f"{(low + high) / 2:g} {between[3]}", text, column), column, sure=True)
    value = _read(plain, text, column)
    return _taken(value, column, sure=not tidy(text).endswith("?")) if odd else Heard(value)


def _read(plain: str, text: str, column: str) -> float:
    """The figure of a gauge, in 10 cm."""
    alone = re.sub(r"\b(?:rows?|rounds?|rnds?|r)\b", "st", plain, flags=re.IGNORECASE)
    try:
        if column == STITCHES:
            return parse_gauge(plain)[0]
        try:
            first, rows = parse_gauge(plain)
        except Unreadable:
            first, rows = parse_gauge(alone)
    except Unreadable as fault:
        raise Unreadable(text, _EXPECTED[column], fault.mend) from fault
    return first if rows is None else rows


def _taken(value: float, column: str, sure: bool) -> Heard[float]:
    said = "{n} stitches in 10 cm" if column == STITCHES else "{n} rows in 10 cm"
    return Heard(value, reason(said, n=Number(value, 1)), sure)


def _inch(number: float, column: str) -> Heard[float]:
    value = number * 10.0 / IN_CM
    said = "{n} stitches an inch, {all} in 10 cm" if column == STITCHES else "{n} rows an inch, {all} in 10 cm"
    taken: Words = reason(said, n=Number(number, 2), all=Number(value, 1))
    return Heard(value, taken, sure=False)
