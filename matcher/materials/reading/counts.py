"""Yarn counts: the older and newer ways to say how heavy a yarn is, turned into tex (grams per 1000 m).

Hank lengths: W. H. Dooley, Textiles (1912), as tabulated in tests/published/count_conversions.csv.
"""

from __future__ import annotations

import re
from functools import lru_cache

from matcher.materials.reading.numerals import (
    LENGTH_M,
    MASS_G,
    NEGATIVE,
    NUMBER,
    Unclear,
    Unreadable,
    any_of,
    parse_number,
    parse_units,
    tidy,
)
from matcher.reasons.quantities import LB_G, YD_M, Number
from matcher.reasons.reason import listed, reason

# Metres per gram at No. 1: a count of N means N times this length in a gram.
_M_PER_G: dict[str, float] = {
    "Nm": 1.0,
    "cotton": 840 * YD_M / LB_G,
    "spun silk": 840 * YD_M / LB_G,
    "worsted": 560 * YD_M / LB_G,
    "run": 1600 * YD_M / LB_G,
    "cut": 300 * YD_M / LB_G,
}
COUNT_SYSTEMS: tuple[str, ...] = (*_M_PER_G, "tex", "dtex", "denier")

_WORDS: dict[str, str] = {
    **dict.fromkeys(("nm", "metric", "metric count"), "Nm"),
    **dict.fromkeys(("ne", "nec", "necc", "ecc", "cc", "cotton", "cotton count", "english cotton"), "cotton"),
    **dict.fromkeys(("spun silk", "silk"), "spun silk"),
    **dict.fromkeys(("worsted", "worsted count", "new", "nek"), "worsted"),
    **dict.fromkeys(("run", "runs", "woollen run", "american run"), "run"),
    **dict.fromkeys(("cut", "woollen cut", "philadelphia cut"), "cut"),
    **dict.fromkeys(("tex", "r"), "tex"),
    **dict.fromkeys(("dtex", "decitex"), "dtex"),
    **dict.fromkeys(("den", "denier", "td"), "denier"),
}
_EXPECTED = reason("a yarn count such as 250 tex, Nm 4, Ne 16 or 400 m/100 g")


def tex_from_count(system: str, number: float, strands: int = 1) -> float:
    """Linear density [tex] of the finished yarn from a count.

    system: one of COUNT_SYSTEMS or a word for it; number: the count of one strand; strands: folded together.
    The English spun-silk count is given for the finished yarn, so there the fold changes nothing; in every
    other system each strand adds its own weight. Raises ValueError for an unknown system or a count of 0.
    """
    key = _WORDS.get(" ".join(system.casefold().split()))
    if key is None:
        raise Unclear(
            reason('no yarn count called "{name}": expected one of {known}', name=system, known=listed(COUNT_SYSTEMS))
        )
    if not number > 0 or strands < 1:
        raise Unclear(
            reason(
                "found a count of {count} in {strands} strands, expected both above zero",
                count=Number(number, 2),
                strands=strands,
            )
        )
    if key == "tex":
        return number * strands
    if key in ("dtex", "denier"):
        return number * strands / (10.0 if key == "dtex" else 9.0)
    return 1000.0 / (number * _M_PER_G[key]) * (1 if key == "spun silk" else strands)


_SYSTEM = any_of(_WORDS)
_FOLDED = rf"({NUMBER})(?:\s*[/-]\s*(\d+(?:\.\d+)?))?"
# Both are compiled when they are first looked for: most sheets name balls, and no count.
_SYSTEM_FIRST = rf"({_SYSTEM})\.?\s*(?:no\.?\s*)?{_FOLDED}(?:\s*tex)?"
_SYSTEM_LAST = rf"(?:no\.?\s*)?{_FOLDED}\s*'?s?\s*({_SYSTEM})(?:\s*[x×]\s*(\d+))?"
_PER = re.compile(r"\s*(?:/|=|:|\bper\b|\bto\b|\bin a\b|\bin\b|\bto the\b)\s*", re.IGNORECASE)


@lru_cache(maxsize=16384)
def parse_tex(text: str) -> float:
    """Linear density [tex] from "250", "250 tex", "Nm 4", "Nm 8/2", "2/8 Nm", "Ne 16", "worsted 30",
    "3 1/4 run", "3000 den", "400 m/100 g", "220 yd per 50 g", "1600 ypp". Bare number: tex.

    Folded counts are written both ways round (8/2, 2/8); the smaller number is the strands.
    Raises Unreadable.
    """
    plain = tidy(text)
    if plain.startswith("-"):
        raise Unreadable(text, _EXPECTED, NEGATIVE)
    if re.fullmatch(NUMBER, plain, re.IGNORECASE):
        return _above_zero(parse_number(plain, _EXPECTED), text)
    plain = re.sub(r"\b(?:ypp|yd/lb)$", "yd/1 lb", plain, flags=re.IGNORECASE)
    first = re.fullmatch(_SYSTEM_FIRST, plain, re.IGNORECASE)
    last = None if first else re.fullmatch(_SYSTEM_LAST, plain, re.IGNORECASE)
    if first:
        return _folded(first[1], first[2], first[3], None, text)
    if last:
        return _folded(last[3], last[1], last[2], last[4], text)
    halves = _PER.split(plain)
    if len(halves) == 2:
        return _from_label(halves[0], halves[1], text)
    raise Unreadable(text, _EXPECTED)


def _folded(system: str, number: str, second: str | None, times: str | None, text: str) -> float:
    key = _WORDS[" ".join(system.casefold().split())]
    fraction = re.fullmatch(r"(\d+)/(\d+)", number)
    if fraction and not second:  # the number grammar reads 8/2 as a fraction; in a count it is a fold
        number, second = fraction[1], fraction[2]
    count, strands = parse_number(number, _EXPECTED), parse_number(second, _EXPECTED) if second else 1.0
    _above_zero(count, text)
    if second and strands > count and key not in ("tex", "dtex", "denier"):
        count, strands = strands, count
    strands *= float(times or 1)
    if strands != int(strands) or not 1 <= strands <= 99:
        raise Unreadable(text, _EXPECTED, reason("the strands are a whole number such as the 2 in Nm 8/2"))
    return tex_from_count(key, count, int(strands))


def _from_label(left: str, right: str, text: str) -> float:
    """A length for a mass, either way round, as a ball band says it."""

    def side(words: str, factors: dict[str, float]) -> float | None:
        with_number = words if re.match(r"[\d.,½¼¾]", words) else f"1 {words}"
        try:
            return parse_units(with_number, factors, None, _EXPECTED)
        except Unreadable:
            return None

    for length_words, mass_words in ((left, right), (right, left)):
        length_m, mass_g = side(length_words, LENGTH_M), side(mass_words, MASS_G)
        if length_m is not None and mass_g is not None:
            return 1000.0 * _above_zero(mass_g, text) / _above_zero(length_m, text)
    raise Unreadable(text, _EXPECTED, reason("give a length and a weight, such as 400 m/100 g"))


def _above_zero(value: float, text: str) -> float:
    if value <= 0:
        raise Unreadable(text, _EXPECTED, reason("it must be above zero"))
    return value
