"""Balls, halves and rests in other languages, put into the words that amounts are read in: "une demi-pelote"."""

from __future__ import annotations

import re

BALL = (
    r"(?:kn[äa]uele?n?|str[äa]ng(?:e|en)?|pelotes?|[ée]cheveau(?:x)?|ovillos?|madejas?|gomitol[oi]|matass[ae]"
    r"|bollen|n[øo]ste[rtn]?|nystan|n[øo]gler?)"
)
"""A ball in other languages, as a pattern of small letters."""
_BALLS = re.compile(rf"(?<![^\W\d_]){BALL}(?![^\W\d_])")
_A = r"(?:(?:eine?|une?|un[oa]|ett?|en|een) )?"
_INTO = (
    (re.compile(rf"{_A}(?:halbe[sr]?|demi[- ]|medi[oa]|mezz[oa]|halvt?|halve) ?(?={BALL})"), "half a "),
    (re.compile(r" (?:et demie?|y medi[oa]|e mezz[oa]|und (?:ein )?halbe?s?)(?![^\W\d_])"), " and a half"),
    (re.compile(rf"(?<![^\W\d_])(?:eine?|une?|un[oa]|ett?|en|een) (?={BALL})"), "1 "),
    (re.compile(rf"(?<=\d) ({BALL}) and a half"), r" and a half \1"),
    (_BALLS, "balls"),
)


def in_english(text: str) -> str:
    """An amount of balls in another language as an English one; any other text as it is. text: in small letters."""
    if not _BALLS.search(text) and "demi-" not in text:
        return text
    for words, english in _INTO:
        text = words.sub(english, text)
    return text
