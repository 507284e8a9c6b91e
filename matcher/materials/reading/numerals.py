"""Numbers as people write them: 41, 1.5, 1,5, 1 234, ½, 1 1/2. Every parser of a unit starts here."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterable
from functools import lru_cache

from matcher.errors import found_expected
from matcher.reasons.quantities import LB_G, YD_M
from matcher.reasons.reason import Words, listed, reason


class Unclear(ValueError):
    """Words of hers that make no sense; `said` is what is wrong with them, and how to mend it.

    Whoever reads many cells tells the first faults only: words that take long to find, such as the nearest known
    name, may be given as a function, which is asked when they are told.
    """

    def __init__(self, said: Words | Callable[[], Words]) -> None:
        self._said = said
        super().__init__(said)

    @property
    def said(self) -> Words:
        return self._said() if callable(self._said) else self._said

    def __str__(self) -> str:
        return str(self.said)


class Unreadable(Unclear):
    """A cell or a field that cannot be read: what was `found`, what was `expected`, how to `mend` it."""

    def __init__(self, found: str, expected: Words, mend: Words | Callable[[], Words] = "") -> None:
        self.found = shorten(found)
        self.expected = expected
        self._mend = mend
        super().__init__(lambda: found_expected(self.found, expected, self.mend))

    @property
    def mend(self) -> Words:
        return self._mend() if callable(self._mend) else self._mend


LONGEST_READ = 1000
"""Letters of what is typed and read, as of a cell (catalog/standards/sheet_limits.csv; the same, a choice): some
grammars take long over more."""

# What keeps letters of one sign together, or apart.
_JOINS = "\u200c\u200d"


def shorten(text: str, length: int = 60) -> str:
    """The text as it may safely be shown: on one line, control characters written out, cut when long."""
    text = re.sub(r"\s*[\r\n]+\s*", " ", text)
    plain = "".join(
        char if char.isprintable() or char in _JOINS else char.encode("unicode_escape").decode("ascii") for char in text
    )
    return plain if len(plain) <= length else plain[: length - 3] + "..."


def any_of(words: Iterable[str]) -> str:
    """The alternatives of a pattern that is any of these words, the longest first: "grams" is no "g"."""
    return "|".join(sorted(map(re.escape, words), key=len, reverse=True))


ABOUT = r"(?:(?<![a-z])(?:about|approx(?:imately)?|around|roughly|circa|ca|c)(?![a-z])\.?|~)"
"""What people write before a figure that is rounded."""

_AGREE = 0.03  # a choice: 137 yd and 125 m are one length, 38 in and 96 cm one measure, 3.5 oz and 100 g one weight


def same_figure(one: float, other: float) -> bool:
    """Whether two figures are one that was rounded, each in its unit."""
    return abs(one - other) <= _AGREE * abs(other)


# Whole numbers grouped by thousands need every group complete; a fraction may follow a whole number.
_GROUP = r"\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?|\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:\.\d{3})+,\d+"
_MANY = r"\d{1,3}(?:,\d{3}){2,}|\d{1,3}(?:\.\d{3}){2,}"
_MIXED = r"\d+[ -]+\d+/\d+|\d+/\d+"
_PLAIN = r"\d*[.,]\d+|\d+[.,]?"
NUMBER = rf"(?:{_MIXED}|{_GROUP}|{_MANY}|{_PLAIN})(?:e[+-]?\d{{1,3}})?"

_EXACT = re.compile(NUMBER, re.IGNORECASE)
_AMBIGUOUS = re.compile(r"[1-9]\d{0,2},\d{3}")
_LOOKALIKE = str.maketrans({"O": "0", "o": "0", "l": "1", "I": "1", "|": "1", "S": "5", "B": "8"})
_DASHES = str.maketrans(
    {"\u2212": "-", "\u2013": "-", "\u2044": "/", "\u2019": "'", "\u201d": '"', "\u00a0": " ", "\u202f": " "}
)


def tidy(text: str) -> str:
    """Fold spaces, dashes and signs such as ½ to plain ones, so that one grammar serves all."""
    text = text.translate(_DASHES).replace("''", '"')
    if not text.isascii():
        text = "".join(_unfold(char) for char in text)
    return " ".join(text.split())


def _unfold(char: str) -> str:
    """One vulgar fraction as " 1/2", an odd space as a plain one, an invisible sign as nothing."""
    expanded = unicodedata.normalize("NFKC", char) if unicodedata.category(char) == "No" else char
    if "\u2044" in expanded:
        return " " + expanded.replace("\u2044", "/")
    if unicodedata.category(char) in ("Cf", "Zs"):
        return "" if unicodedata.category(char) == "Cf" else " "
    return char


_EXPECTED = reason("a number such as 41 or 1.5")
NEGATIVE = reason("it can't be negative")


@lru_cache(maxsize=65536)
def parse_number(text: str, expected: Words = _EXPECTED) -> float:
    """One number, not negative and finite. Raises Unreadable, with a guess where a letter stands for a digit.

    A single comma before exactly three digits ("1,234") may be a decimal comma or a thousands mark, and the
    two differ a thousandfold: it is refused, not guessed.
    """
    plain = tidy(text)
    if not plain:
        raise Unreadable(text, expected)
    if plain.startswith("-"):
        raise Unreadable(text, expected, NEGATIVE)
    if not _EXACT.fullmatch(plain):
        raise Unreadable(text, expected, _guess(plain))
    if _AMBIGUOUS.fullmatch(plain):
        whole, rest = plain.split(",")
        could = reason(
            "that could mean {one} or {other}: write it without the comma", one=whole + rest, other=f"{whole}.{rest}"
        )
        raise Unreadable(text, expected, could)
    value = _value(plain)
    if not math.isfinite(value):
        raise Unreadable(text, expected, reason("that number is too large or divides by zero"))
    return value


def _value(plain: str) -> float:
    if "/" in plain:
        *whole, fraction = re.split(r"[ -]+", plain)
        upper, lower = fraction.split("/")
        return sum(map(float, whole)) + (float(upper) / float(lower) if float(lower) else math.inf)
    plain = plain.replace(" ", "").replace("'", "")
    if "," in plain and "." in plain:  # the later sign is the decimal sign, the earlier marks thousands
        thousands, decimal = (",", ".") if plain.rindex(",") < plain.rindex(".") else (".", ",")
        plain = plain.replace(thousands, "").replace(decimal, ".")
    elif plain.count(",") > 1 or plain.count(".") > 1:
        plain = plain.replace(",", "").replace(".", "")
    return float(plain.replace(",", "."))


def _guess(plain: str) -> Words:
    """A likely reading of what is no number, as advice; empty when there is none."""
    swapped = plain.translate(_LOOKALIKE)
    if swapped != plain and any(char.isdigit() for char in plain):
        head = re.match(rf"({NUMBER})(.*)", swapped, re.IGNORECASE)
        if head and head[2].strip() in ("", *"gm"):
            return reason("did you mean {guess}?", guess=swapped)
    approximate = re.fullmatch(rf"(?:{ABOUT}|<|>)\s*(.+)", plain, re.IGNORECASE)
    if approximate:
        return reason("write only {number}", number=approximate[1])
    if re.fullmatch(rf"({NUMBER})\s*(?:-|to)\s*({NUMBER})", plain, re.IGNORECASE):
        return reason("write one number, not a range")
    return ""


OZ_G = LB_G / 16

# Spellings -> grams and metres; exact by the international yard and pound agreement of 1959.
MASS_G: dict[str, float] = {
    **dict.fromkeys(("g", "gr", "gm", "gms", "grm", "gram", "grams", "gramm", "gramme", "grammes"), 1.0),
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), 1000.0),
    **dict.fromkeys(("oz", "ozs", "ounce", "ounces"), OZ_G),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), LB_G),
}
LENGTH_M: dict[str, float] = {
    **dict.fromkeys(("m", "mtr", "mtrs", "metre", "metres", "meter", "meters"), 1.0),
    **dict.fromkeys(("km", "kilometre", "kilometres"), 1000.0),
    **dict.fromkeys(("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"), 0.01),
    **dict.fromkeys(("mm", "millimetre", "millimetres"), 0.001),
    **dict.fromkeys(("yd", "yds", "yard", "yards"), YD_M),
    **dict.fromkeys(("ft", "foot", "feet", "'", "′"), YD_M / 3),
    **dict.fromkeys(("in", "ins", "inch", "inches", '"', "″"), YD_M / 36),
}


def parse_units(text: str, factors: dict[str, float], bare: float | None, expected: Words) -> float:
    """A sum of numbers with units ("1 lb 2 oz", "220 yd") in the unit whose factor is 1.

    A number with no unit counts as `bare` (None: refused), and only when it stands alone. Raises Unreadable.
    """
    plain = tidy(text)
    terms = list(_TERM.finditer(plain))
    covered = "".join(term[0] for term in terms)
    if re.match(r"-\s*[\d.,]", plain):  # a dash alone is an empty cell to many
        raise Unreadable(text, expected, NEGATIVE)
    if not terms or covered.strip() != plain:
        raise Unreadable(text, expected, _guess(plain) or _strange_unit(plain, factors))
    total = 0.0
    before: re.Match[str] | None = None
    for term in terms:
        number, unit = term[1], term[2].casefold().rstrip(".")
        if not unit and len(terms) == 1 and bare is not None:
            factor = bare
        elif unit in factors:
            factor = factors[unit]
        else:
            raise Unreadable(text, expected, _guess(plain) or _strange_unit(f"1 {unit}" if unit else plain, factors))
        if before is not None and not before[3] and factor >= factors.get(before[2].casefold().rstrip("."), math.inf):
            raise Unreadable(text, expected, TWO_FIGURES)
        before = term
        total += factor * parse_number(number, expected)
    if not math.isfinite(total):
        raise Unreadable(text, expected, reason("that number is too large"))
    return total


_TERM = re.compile(rf"\s*({NUMBER})\s*((?:[^\W\d]+\.?|\"|'|″|′|%)?)(?:\s*(,|and|\+)(?=\s*\d))?\s*", re.IGNORECASE)
TWO_FIGURES = reason("those are two figures: write the one that counts, or + between them")
"""Said of "45 g 38 g", which may be two balls, or what it weighed last year and this; "1 lb 2 oz" is one weight."""


def _strange_unit(words: str, factors: dict[str, float]) -> Words:
    names = listed(name for name in factors if name in ("g", "kg", "oz", "lb", "m", "cm", "yd", "in"))
    if not any(char.isdigit() for char in words) and not words.isalpha():
        return ""
    word = re.sub(r"[\d\s.,/]+", "", words)
    if word.casefold() in ("nan", "inf", "infinity"):
        return reason("write a number, or leave the cell empty")
    if not word.isalpha() or (word == words and len(word) == 1):  # a letter alone is a slip, not a unit
        return ""
    each = re.findall(r"[^\W\d]+", words)
    word = next((one for one in each if one.casefold() not in factors), word)  # "yd skein": it is the skein
    return reason('"{word}" isn\'t a unit known here: use {units}', word=shorten(word, 20), units=names)
