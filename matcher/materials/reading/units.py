"""Units at the edge: read weights, lengths, shares, counts and gauges as people write them.

Inside, everything is metres, grams and centimetres. All parsers raise
`Unreadable`, a ValueError that says found, expected and mend.
"""

from __future__ import annotations

import re
from functools import lru_cache

from matcher.materials.reading.counts import COUNT_SYSTEMS, parse_tex, tex_from_count
from matcher.materials.reading.numerals import (
    LENGTH_M,
    MASS_G,
    NEGATIVE,
    NUMBER,
    TWO_FIGURES,
    Unreadable,
    parse_number,
    parse_units,
    tidy,
)
from matcher.reasons.reason import reason

__all__ = [
    "COUNT_SYSTEMS",
    "Unreadable",
    "parse_cm",
    "parse_count",
    "parse_gauge",
    "parse_length_m",
    "parse_mass_g",
    "parse_number",
    "parse_percent",
    "parse_size_cm",
    "parse_tex",
    "tex_from_count",
]

MASS_DECIMALS = 10  # of a gram; with the weights that a sheet may hold, 15 digits, which a double always keeps

LEFT_OF = re.compile(r"(\d\d+)\s*g?\s*(?:/|of|out of)\s*(\d\d+)\s*g", re.IGNORECASE)
"""So much left of so much: "45/100 g" is no fraction of a gram."""

_EXPECTED_MASS = reason("a weight such as 41 or 1.5 oz")
_EXPECTED_LENGTH = reason("a length such as 200 or 220 yd")
_EXPECTED_CM = reason("a measure such as 92 or 36 in")
_EXPECTED_SIZE = reason("a width and a height such as 18 x 17 cm")
_EXPECTED_GAUGE = reason("a gauge such as 22 st x 30 rows")


@lru_cache(maxsize=65536)
def parse_mass_g(text: str) -> float:
    """Mass [g] from "41", "41,5 g", "0.1 kg", "1.5 oz", "1 1/2 oz", "1 lb 2 oz". Bare number: grams.

    Counted to a decimal that holds half an ounce exactly: so sums of weights hold to their last digit.
    """
    if LEFT_OF.fullmatch(text.strip()):
        raise Unreadable(text, _EXPECTED_MASS, TWO_FIGURES)
    mass_g = parse_units(text, MASS_G, 1.0, _EXPECTED_MASS)
    counted_g = round(mass_g, MASS_DECIMALS)
    if mass_g and not counted_g:
        raise Unreadable(text, _EXPECTED_MASS, reason("no scale shows so little"))
    return counted_g


@lru_cache(maxsize=65536)
def parse_length_m(text: str) -> float:
    """Length [m] from "200", "200 m", "220 yd", "8 in", "12 cm". Bare number: metres."""
    return parse_units(text, LENGTH_M, 1.0, _EXPECTED_LENGTH)


@lru_cache(maxsize=65536)
def parse_cm(text: str) -> float:
    """Length [cm] from "92", "92 cm", "36 in", "5 ft 3 in", "8 mm". Bare number: centimetres."""
    return 100.0 * parse_units(text, LENGTH_M, 0.01, _EXPECTED_CM)


def parse_size_cm(text: str) -> tuple[float, float]:
    """Width and height [cm] from "18 x 17 cm", "7 1/2 x 7 1/2 in", "180 mm by 17 cm". Bare numbers: centimetres.

    A unit that stands once counts for both sides.
    """
    sides = re.split(r"\s*(?:[x×*]|\bby\b)\s*", tidy(text).casefold())
    if len(sides) != 2:
        raise Unreadable(text, _EXPECTED_SIZE)
    units = [found[0] if (found := re.search(r"[^\d\s.,/]+\.?$", side)) else "" for side in sides]
    usual = units[1] or units[0]
    try:
        width, height = (parse_cm(side if unit else f"{side} {usual}") for side, unit in zip(sides, units, strict=True))
    except Unreadable as fault:
        raise Unreadable(text, _EXPECTED_SIZE, fault.mend) from None
    return width, height


def parse_percent(text: str) -> float:
    """Percentage 0 to 100 from "60", "60 %", "12,5%"."""
    expected = reason("a percentage from 0 to 100")
    value = parse_number(tidy(text).removesuffix("%"), expected)
    if value > 100:
        raise Unreadable(text, expected, reason("it is over 100%"))
    return value


def parse_count(text: str) -> int:
    """A whole number, not negative: "3"; "3.0" as spreadsheets write it."""
    expected = reason("a whole number such as 3")
    value = parse_number(text, expected)
    if value != int(value):
        raise Unreadable(text, expected, reason("leave out the fraction"))
    return int(value)


_STITCHES = r"(?:stitches|stitch|sts|st|s)\.?"
_BETWEEN = r"(?:x|×|by|and|&|,|;|/|\*)"
_GAUGE = (  # compiled when it is first looked for, as most sheets give gauges in figures alone
    rf"((?>{NUMBER}))\s*(?:{_STITCHES})?"
    # Rows need a word or a sign before them: "22 30" may be one number with a space in it.
    rf"(?:(?:\s*{_BETWEEN}|(?<=[a-z])|(?<=[a-z]\.))\s*((?>{NUMBER}))\s*(?:rows|row|rounds|round|rnds|rnd|r)?\.?)?"
    r"(?:\s*(?:in|per|over|to|for|=|/|:)\s*(?:the\s+)?(.+))?"
)
_SPAN_UNIT = re.compile(r"\s*(?:=|/|\(|or)\s*")


@lru_cache(maxsize=4096)
def parse_gauge(text: str) -> tuple[float, float | None]:
    """Stitches and rows per 10 cm from "22 st x 30 rows", "22/30", "5.5 st per in", "22 sts in 4 in".

    Without a span it is 10 cm. Inches are converted exactly: 22 stitches in 4 in are 21.65 in 10 cm; where a
    label gives both ("10 cm / 4 in"), the centimetres count. Rows are None when they are not given.
    """
    plain = tidy(text)
    matched = re.fullmatch(_GAUGE, plain, re.IGNORECASE)
    if not matched:
        mend = NEGATIVE if plain.startswith("-") else reason("give stitches, then rows")
        raise Unreadable(text, _EXPECTED_GAUGE, mend)
    span_cm = _span_cm(matched[3], text) if matched[3] else 10.0
    first, second = matched[1], matched[2]
    if second is None and re.fullmatch(r"\d+/\d+", first):  # 22/30 is stitches and rows, not a fraction
        first, second = first.split("/")
    stitches = parse_number(first, _EXPECTED_GAUGE)
    rows = parse_number(second, _EXPECTED_GAUGE) if second else None
    if stitches <= 0 or rows == 0:
        raise Unreadable(text, _EXPECTED_GAUGE, reason("a gauge is above zero"))
    return stitches * 10.0 / span_cm, None if rows is None else rows * 10.0 / span_cm


def _span_cm(words: str, text: str) -> float:
    spans = [span.strip(" )") for span in _SPAN_UNIT.split(words) if span.strip(" )")]
    metric = [span for span in spans if "cm" in span.casefold()]
    span = (metric or spans or [""])[0]
    if span.isalpha() or span in ('"', "″"):  # "per in" is per 1 in
        span = f"1 {span}"
    try:
        cm = parse_cm(span)
    except Unreadable:
        cm = 0.0
    if not 1.0 <= cm <= 100.0:
        raise Unreadable(text, _EXPECTED_GAUGE, reason("write the span as in 10 cm or in 4 in"))
    return cm
