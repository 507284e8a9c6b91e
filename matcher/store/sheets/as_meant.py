"""A cell's text as its sheet means it: with its heading's unit, in the sheet's decimal sign, yes and no in words."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from matcher.materials.reading.amounts_abroad import BALL
from matcher.materials.reading.numerals import LENGTH_M, MASS_G, NUMBER, Unreadable, any_of
from matcher.materials.reading.units import parse_length_m, parse_mass_g

DITTO = frozenset(('"', "″", "”", "''", "ditto", "do", "do.", "as above", '-"-', "〃"))
"""Signs that a cell says the same as the one above."""

UNKNOWN = frozenset(
    (
        *("?", "??", "???", "-", "–", "—", "--", "n/a", "n.a.", "not known", "don't know", "dunno", "no idea"),
        *("unknown", "not sure", "unsure", "mystery", "unidentified"),
    )
)
"""Signs that a cell says nothing."""

LONGEST = 100
"""Letters; what is longer is no figure, and matching it takes long."""
_TICKS = frozenset(("✓", "✔", "☑", "✅", "yes", "y"))
_CROSS = "x"
_YES = _TICKS | {"true", _CROSS, "☒", "1"}
_NO = frozenset(("no", "n", "false", "0", "✗", "✘", "✕", "✖", "❌"))
AGES = ("months", "years")
"""What bare ages are counted in."""
_AGE = re.compile(rf"{NUMBER}(?:\s*[-–]\s*{NUMBER})?")
OVER = "in "
"""Before what stitches are counted over."""
_COUNTED = re.compile(  # a gauge that does not say what it is counted over
    rf"{NUMBER}\s*(?:sts?|stitches|s)?\.?(?:\s*(?:x|×|/|,|&|and|by|\*)\s*{NUMBER})?\s*(?:rows?|rnds?|r)?\.?",
    re.IGNORECASE,
)
_NUMBER = re.compile(rf"({NUMBER}|[½¼¾⅓⅔])(?![\d.,/])", re.IGNORECASE)
UNITED = re.compile(rf"[\d½¼¾⅓⅔]\s*(?:{any_of((*MASS_G, *LENGTH_M))})(?![^\W\d_])", re.IGNORECASE)
"""A number with a unit of mass or length behind it."""
FIGURE = re.compile(rf"[-+]?{NUMBER}\s*%?|[-+]?{NUMBER}\s*(?:g|kg|oz|m|yds?|yards|balls?)\.?", re.IGNORECASE)
"""A number and no more: bare, a share, or with a unit that sheets of yarn count in."""
_NOTHING = re.compile(
    r"0+(?:[.,]0+)?\s*(?:g|oz|m|yds?|balls?|%)?|none|nothing(?: left)?|(?:all )?(?:used|gone)(?: up)?|finished",
    re.IGNORECASE,
)
_BALLS = re.compile(rf"\b(?:balls?|skeins?|sks?|hanks?|half|quarter|{BALL})\b", re.IGNORECASE)
_GROUPED = re.compile(r"[1-9]\d{0,2}(?:[.,]\d{3})+")
_DECIMALS = re.compile(r"\d+([.,])(?:\d{1,2}|\d{4,})(?!\d)")


@lru_cache(maxsize=65536)
def with_unit(text: str, unit: str) -> str:
    """A number with the unit behind it, where the cell has none of its own: ("137", "yd") -> "137 yd"."""
    if (
        len(text) > LONGEST
        or UNITED.search(text)
        or _BALLS.search(text)
        or (unit in AGES and not _AGE.fullmatch(text))
        or text.casefold().endswith(unit.casefold())
        or (unit.startswith(OVER) and not _COUNTED.fullmatch(text))
        or not (numbers := list(_NUMBER.finditer(text)))
    ):
        return text
    if unit.startswith(OVER):
        return f"{text} {unit}"  # behind "20 sts" as well
    end = numbers[-1].end()
    return f"{text[:end]} {unit}{text[end:]}" if not text[end : end + 1].isalpha() else f"{text} {unit}"


def in_balls(text: str) -> str:
    """How many balls: "1.5" -> "1.5 balls", "50%" -> "0.5 balls"; other words as they are."""
    share = re.fullmatch(rf"({NUMBER})\s*%", text[: LONGEST + 1])
    if share:
        try:
            return f"{float(share[1].replace(',', '.')) / 100:.4g} ball"
        except ValueError:
            return text
    return with_unit(text, "ball" if text in ("1", "½", "1/2") else "balls")


def as_tex(text: str, grams: str) -> str:
    """The count of a yarn of which so many grams are as long as the text says; "" where that cannot be read."""
    try:
        return f"{1000.0 * parse_mass_g(grams) / parse_length_m(text):.6g}"
    except (Unreadable, ZeroDivisionError):
        return ""


def yes_or_no(text: str, yes: str, no: str, crossed: bool = False) -> str:
    """What a bare yes or no means under its heading; crossed: a cross is a no there."""
    folded = text.casefold().rstrip(".!")
    if crossed and folded == _CROSS:
        return no
    return yes if folded in _YES else no if folded in _NO else text


def crosses_are_no(cells: Iterable[str]) -> bool:
    """Whether a cross is a no in these cells: beside ticks it is, alone it marks what is so."""
    folded = {cell.strip().casefold() for cell in cells}
    return _CROSS in folded and not folded.isdisjoint(_TICKS)


def decimal_sign(cells: Iterable[str]) -> str:
    """The sign before decimals in these cells, "" where they do not agree or have none."""
    short = (cell for cell in cells if len(cell) <= LONGEST and not _GROUPED.fullmatch(cell))
    signs = {one[1] for cell in short for one in _DECIMALS.finditer(cell)}
    return signs.pop() if len(signs) == 1 else ""


def ungrouped(text: str, sign: str) -> str:
    """A number such as "1,234" as the sheet's decimal sign has it; elsewhere it may be one or a thousand."""
    if not sign or len(text) > LONGEST or not _GROUPED.fullmatch(text):
        return text
    return re.sub("[.]" if sign == "," else ",", "", text).replace(",", ".")


def says_nothing_left(text: str) -> bool:
    """Whether a cell of what is left says that nothing is."""
    return bool(_NOTHING.fullmatch(text[:LONGEST]))
