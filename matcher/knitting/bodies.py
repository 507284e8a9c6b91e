"""Body sizes: a table from size and dimension to centimetres, each figure with its source."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import did_you_mean, fold
from matcher.materials.reading.numerals import Unclear, Unreadable
from matcher.reasons.reason import Term, listed, reason

DIMENSIONS = (
    "head",
    "head_arc",
    "neck",
    "neck_base",
    "chest",
    "shoulders",
    "hand",
    "wrist",
    "palm_length",
    "hand_length",
    "thumb",
    "foot",
    "foot_length",
    "ankle",
    "calf",
)


@dataclass(frozen=True)
class BodyFigure:
    """One dimension of one size [cm], and where it comes from."""

    size: str
    wearer: str
    dimension: str
    cm: float
    source: str
    how_obtained: str
    note: str = ""


@dataclass(frozen=True)
class Sizes:
    """All sizes, in the order of the table (smallest first). words: what else a size goes by, folded."""

    names: tuple[str, ...]
    table: Mapping[str, Mapping[str, float]]
    figures: tuple[BodyFigure, ...] = field(default=(), repr=False)
    words: Mapping[str, str] = field(default_factory=dict, repr=False)

    def named(self, word: str) -> str:
        """The size that a word means, such as one that a store holds from earlier; any other word as it is."""
        folded = fold(word)
        return next((name for name in self.names if fold(name) == folded), self.words.get(folded, word))

    def dimension(self, size: str, dimension: str) -> float:
        """Centimetres of a dimension of a size. Raises KeyError with a reason."""
        try:
            return self.table[size][dimension]
        except KeyError:
            if size not in self.table:
                known = listed(self.names)
                raise KeyError(reason('unknown size "{size}"; the sizes are {known}', size=size, known=known)) from None
            said = 'size "{size}" has no dimension "{dimension}"'
            raise KeyError(reason(said, size=size, dimension=dimension)) from None

    def has(self, size: str, dimension: str) -> bool:
        """Whether the table holds the dimension for the size."""
        return dimension in self.table.get(size, {})

    def wearer(self, size: str) -> str:
        """Who wears a size ("baby", "child", "adult", "anyone"), as the table says."""
        return next((one.wearer for one in self.figures if one.size == size), "")


_AGE = re.compile(
    r"(?:aged?\s*)?(\d+(?:[.,]\d+)?)(?:\s*(?:to\s)?\s*(\d+(?:[.,]\d+)?))?"
    r"\s*(months?|mths?|mos?|m|weeks?|wks?|years?|yrs?|y(?:\.?o\.?)?)?(?:\s*olds?)?\.?",
    re.IGNORECASE,
)
_IN_YEAR = {"m": 12.0, "w": 52.0, "y": 1.0}
_WHOSE = re.compile(r"^(?:(?:wo)?men'?s|ladies'?|gents'?|mens|womens)\s+")
_GROWN = 16.0  # years, a choice: from here on somebody is nearer to the small adult than to 13 years


def parse_size(text: str, sizes: Sizes) -> Heard[str]:
    """A size by its name, another word for it, or an age: that of the nearest size. Raises Unreadable."""
    plain = _WHOSE.sub("", fold(text)).strip()
    if plain != fold(text) and sizes.named(plain) in sizes.table:
        return Heard(sizes.named(plain), Term(sizes.named(plain)), sure=False)
    named = sizes.named(text)
    if named in sizes.table:
        return Heard(named, "" if fold(named) == fold(text) else Term(named))
    matched = _AGE.fullmatch(text.strip().replace("-", " "))
    ages = {name: years for name in sizes.names if (years := _years(name)) is not None}
    years = _years(text) if matched else None
    if years is None or not ages or (years >= _GROWN and matched and matched[2]):
        such = listed(map(Term, sizes.names), "or")
        raise Unreadable(text, reason("a size: {sizes}", sizes=such), lambda: did_you_mean(text, sizes.names))
    if years >= _GROWN:
        grown = listed((Term(name) for name in sizes.names if sizes.wearer(name) == "adult"), "or")
        raise Unreadable(text, reason("a size of somebody grown: {sizes}", sizes=grown))
    nearest = min(ages, key=lambda name: (_times(ages[name], years), -ages[name]))
    return Heard(nearest, reason("{size}, the nearest size", size=Term(nearest)), sure=bool(matched and matched[3]))


def _times(one: float, other: float) -> float:
    """How many times the other an age is, or that is it: the younger somebody is, the more a month counts."""
    return max(one, other) / max(min(one, other), 1e-3)


def is_grown(text: str) -> bool:
    """Whether a text is the age of somebody grown, its unit told: "34 years"."""
    matched = _AGE.fullmatch(text.strip().replace("-", " "))
    return matched is not None and matched[3] is not None and (_years(text) or 0.0) >= _GROWN


def _years(text: str) -> float | None:
    """An age in years: "6 months", "age 4", "10 weeks"; the middle of "3-6 months"."""
    matched = _AGE.fullmatch(text.strip().replace("-", " "))
    if not matched:
        return None
    numbers = [float(one.replace(",", ".")) for one in matched.group(1, 2) if one]
    return sum(numbers) / len(numbers) / _IN_YEAR[(matched[3] or "y")[0].casefold()]


def sizes_of(figures: Iterable[BodyFigure], words: Mapping[str, str] | None = None) -> Sizes:
    """Build the table from its rows; words: what else the sizes go by. A repeated size and dimension raises Unclear."""
    rows = tuple(figures)
    table: dict[str, dict[str, float]] = {}
    for row in rows:
        body = table.setdefault(row.size, {})
        if row.dimension in body:
            said = 'size "{size}" gives "{dimension}" twice'
            raise Unclear(reason(said, size=row.size, dimension=row.dimension))
        body[row.dimension] = row.cm
    return Sizes(tuple(table), table, rows, {fold(word): size for word, size in (words or {}).items()})
