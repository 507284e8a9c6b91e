"""What a heading means: which column it may be, and what bare numbers below it count in.

A heading is folded to a bag of words: order, case, plurals and small words do not matter, "skein" is "ball", a unit is
a unit whatever it is called. Bags are looked up in the catalogue's table of headings; a word that is in no heading may
be a slip of one that is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import lru_cache
from typing import NamedTuple

from matcher.materials.reading.numerals import LENGTH_M, MASS_G
from matcher.store.catalogue.headings import HeadingWords, Phrase, load_headings
from matcher.store.sheets.columns import SHEETS, WHY, Columns

AS_NAMED, OTHERWISE, NEARLY = 4, 3, 2
"""How well a heading fits: it is the column's name, or says it in other words, or is spelled nearly so."""

UNITS = {"yd": "yards", "m": "metres", "oz": "ounces", "g": "grams", "in": "inches", "cm": "centimetres"}
"""What bare numbers may count in, as she would say it."""

_LONGEST = 100  # letters; what is longer is no heading
_SPAN = re.compile(r"(?<![\w.,])(\d+(?:[.,]\d+)?)\s*(cm|ins?|inch(?:es)?|[\"″]|g|gr|grams?|oz)(?![^\W\d_])")
_WORD = re.compile(r"[^\W_]+|[\"″]")
_NEAR_SHORT = 0.8  # likeness: a choice
_LAST_IN = re.compile(r"\s+in\W*$", re.IGNORECASE)
_BRACKETS = re.compile(r"[(\[].*?[)\]]")
_LENGTH, _MASS = "#length", "#mass"
# What each spelling of a unit is called here, whatever its size.
_UNITS: dict[str, tuple[str, str]] = {
    spelled: (of, min((one for one, other in factors.items() if other == factor and one.isalpha()), key=len))
    for of, factors in ((_MASS, MASS_G), (_LENGTH, LENGTH_M))
    for spelled, factor in factors.items()
}
_OF_KIND = {
    **dict.fromkeys(("mass", "amount", "ball grams"), _MASS),
    **dict.fromkeys(("ball metres", "reserve", "chest", "head", "hand", "foot"), _LENGTH),
}
_FOOT, _FEET = "foot_cm", ("foot", "feet")  # of bodies, where they are measured: no unit there
_GAUGES = ("stitches", "rows")
# Small words that change nothing, but for these: what is made for somebody isn't made of them.
_OF, _SMALL = "of", frozenset(("of", "for", "by", "in", "on"))


@dataclass(frozen=True)
class Folded:
    """A heading folded: its words, the unit that it names, what it counts over, such as "10 cm" or "100 g"; small:
    words between that say whose or of what, as in "made for"."""

    words: frozenset[str]
    unit: str = ""
    span: str = ""
    small: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Fit:
    """A column that a heading may be. fits: how well; unit, when, yes, no: as a Phrase has them, the unit
    hers where she names one; span: what it counts over, or, of a length that is left, her unit."""

    column: str
    fits: int
    unit: str = ""
    when: str = ""
    yes: str = ""
    no: str = ""
    span: str = ""


class Meant(NamedTuple):
    """What she said herself that a heading holds. column: "" where it is left out; unit: of bare numbers below, ""
    where the heading says it."""

    column: str
    unit: str = ""


def fold_heading(heading: str) -> str:
    """ "Ball metres [m]" -> "ball_metres"."""
    plain = _BRACKETS.sub("", heading.replace("\ufeff", ""))
    return re.sub(r"[\s_-]+", "_", plain.strip().casefold()).strip("_")


class HeadingReader:
    """Headings of one sheet, such as lots; with a memory, since many rows are looked at."""

    def __init__(self, columns: Columns, table: HeadingWords) -> None:
        self.columns, self.table = columns, table
        self._bags: dict[frozenset[str], list[Phrase]] = {}
        # Columns of a bag whose phrase has that small word, such as "made of" and "worn by".
        self._with: dict[tuple[frozenset[str], str], set[str]] = {}
        own = (Phrase(columns.sheet, one.name, (one.name,)) for one in columns.rules.values())
        for phrase in (*table.phrases, *own):
            for words in phrase.words if phrase.sheet == columns.sheet else ():
                said = self._folded(words)
                known = self._bags.setdefault(said.words, [])
                told = said.unit != usual_unit(columns, phrase.column) and self._counts(phrase.column, said.unit)
                unit = phrase.unit or (said.unit if told else "")
                if not any((one.column, one.when) == (phrase.column, phrase.when) for one in known):
                    known.append(replace(phrase, unit=unit))
                    for small in said.small:
                        self._with.setdefault((said.words, small), set()).add(phrase.column)
        self._known = frozenset({word for bag in self._bags for word in bag} | set(table.same) | set(_UNITS))
        self._fits: dict[tuple[str, bool], tuple[Fit, ...]] = {}

    def fits(self, heading: str, nearly: bool = True) -> tuple[Fit, ...]:
        """Columns that the heading may be, the likeliest first; none where it is not known."""
        key = heading, nearly
        if key not in self._fits:
            self._fits[key] = self._sought(heading, nearly) if 0 < len(heading) <= _LONGEST else ()
        return self._fits[key]

    def named(self, heading: str) -> str:
        """The column whose very name this is, "" if none; a unit in brackets may stand behind."""
        folded = fold_heading(heading)
        name = self.columns.spellings.get(folded, folded)
        return name if name in self.columns else ""

    def words(self, heading: str, mended: bool = True) -> frozenset[str]:
        """The words that a heading is known by, with slips put right or not; a unit is "#mass" or "#length"."""
        said = self._folded(heading[:_LONGEST])
        return ((self._mended(said) if mended else None) or said).words

    def _sought(self, heading: str, nearly: bool) -> tuple[Fit, ...]:
        exact = self.named(heading)
        if exact:
            alone = self._folded(_BRACKETS.sub(" ", heading))
            fit = Fit(exact, AS_NAMED)
            fit = self._counted(fit, self._folded(" ".join(_BRACKETS.findall(heading))).unit)
            open_ = exact in (self.columns.thing, "colour_name", "label")
            others = tuple(self._looked_up(alone, OTHERWISE)) if open_ else ()
            return (fit, *(one for one in others if one.column != exact))
        # "Chest in" is in inches, "Kept in" is not.
        whole = (heading, _BRACKETS.sub(" ", heading), _LAST_IN.sub("", heading))
        for text in dict.fromkeys((*whole, *(heading.split("/") if "/" in heading else ()))):  # "Farbe/Colour"
            said = replace(self._folded(text), small=self._folded(heading).small)
            found, near_unit = tuple(self._looked_up(said, OTHERWISE)), ""
            if not found and nearly and (near := self._mended(said)) is not None:
                found, near_unit = tuple(self._looked_up(near, NEARLY)), near.unit
            if found:
                unit = self._folded(heading).unit
                return tuple(self._counted(one, unit or near_unit) for one in found)
        return ()

    def _looked_up(self, said: Folded, fits: int) -> list[Fit]:
        """The bag as it is; else without its unit, for the columns that are counted in such units."""
        found = self._bags.get(said.words, []) if said.words else []
        told = [columns for small in sorted(said.small) if (columns := self._with.get((said.words, small)))]
        if told:
            found = [one for one in found if one.column in told[0]]
        elif said.small:
            found = [one for one in found if one.column not in self._with.get((said.words, _OF), ())]
        if not found and said.words & {_LENGTH, _MASS}:
            of = _LENGTH if _LENGTH in said.words else _MASS
            rest = self._bags.get(said.words - {_LENGTH, _MASS}, [])
            kinds = ((one, self.columns[one.column].kind) for one in rest)
            found = [one for one, kind in kinds if _OF_KIND.get(kind) == of or (of == _LENGTH and kind in _GAUGES)]
        return [Fit(one.column, fits, one.unit, one.when, one.yes, one.no, said.span) for one in found]

    def _counted(self, fit: Fit, unit: str) -> Fit:
        """With the unit of the heading, where the column can be counted in it."""
        if fit.unit == "length":
            return replace(fit, span=unit)
        return replace(fit, unit=unit) if self._counts(fit.column, unit) else fit

    def _counts(self, column: str, unit: str) -> bool:
        """Whether a column can be counted in a unit: "used in" is in no inches."""
        of, kind = _UNITS.get(unit, ("",))[0], self.columns[column].kind
        return (kind in _GAUGES and of == _LENGTH) or (of != "" and _OF_KIND.get(kind) == of)

    def _folded(self, heading: str) -> Folded:
        """Her words as a bag, with what they count in and over."""
        text = heading.replace("\ufeff", "").casefold().replace("'s", " ").replace("\u2019s", " ")
        spans = [f"{one[1]} {_UNITS[one[2]][1]}" for one in _SPAN.finditer(text)]
        words = _WORD.findall(_SPAN.sub(" ", text).replace("_", " "))
        bag: set[str] = set()
        unit = ""
        for place, word in enumerate(words):
            plain = self.table.units.get(word, word)
            if plain in _FEET and _FOOT in self.columns:
                bag.add("foot")
                continue
            if plain == "in" and len(words) > 1 and (place < len(words) - 1 or unit):
                continue  # the small word
            if plain in _UNITS:
                of, called = _UNITS[plain]
                if not unit:
                    bag.add(of)
                    unit = called
            elif (single := self._word(plain)) != "":
                bag.add(single)
        bag = bag or set(words)  # small words alone are all there is
        span = next((one for one in spans if one.endswith("cm")), spans[0] if spans else "")
        return Folded(frozenset(bag), unit, span, _SMALL.intersection(words))

    def _word(self, word: str) -> str:
        single = word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word
        return self.table.same.get(word, self.table.same.get(single, single))

    def _mended(self, said: Folded) -> Folded | None:
        """The heading with slips put right; None where a word is like none that headings have."""
        bag: set[str] = set()
        unit = said.unit
        for word in said.words:
            near = word if word in self._known or word[0] == "#" else _nearest(word, self._known)
            near = near or (_nearest_short(word, self._known) if len(said.words) > 1 else "")
            if not near:
                return None
            of, called = _UNITS.get(near, ("", ""))
            bag.add(of or self.table.same.get(near, near))
            unit = called or unit
        return replace(said, words=frozenset(bag - {""}), unit=unit) if bag != said.words else None


@lru_cache(maxsize=4096)
def _nearest(word: str, known: frozenset[str]) -> str:
    return min((one for one in known if is_slip(word, one)), default="")


def _nearest_short(word: str, known: frozenset[str]) -> str:
    """For a word too short to be told by itself; the words beside it say what the heading is about."""
    return next(iter(get_close_matches(word, sorted(known), 1, _NEAR_SHORT)), "") if len(word) > 2 else ""


def is_slip(word: str, meant: str) -> bool:
    """Whether one word is the other with one letter wrong, too many, missing or moved; two in a long one.

    Short words and those with digits are never slips: "red" is no "rust", "jumper 1" no "jumper 2".
    """
    if min(len(word), len(meant)) < 4 or not (word.isalpha() and meant.isalpha()):
        return False
    most = 2 if max(len(word), len(meant)) >= 8 else 1
    return abs(len(word) - len(meant)) <= most and _changes(word, meant) <= most


def _changes(one: str, other: str) -> int:
    """Letters put in, left out, changed, or swapped with the next."""
    before: list[int] = []
    row = list(range(len(other) + 1))
    for place, letter in enumerate(one, 1):
        earlier, before, row = before, row, [place]
        for at, against in enumerate(other, 1):
            least = min(before[at] + 1, row[at - 1] + 1, before[at - 1] + (letter != against))
            if at > 1 and place > 1 and letter == other[at - 2] and one[place - 2] == against:
                least = min(least, earlier[at - 2] + 1)
            row.append(least)
    return row[-1]


def usual_unit(columns: Columns, column: str) -> str:
    """What bare numbers count in where nothing says otherwise."""
    return {_MASS: "g", _LENGTH: "m" if columns[column].kind in ("ball metres", "reserve") else "cm"}.get(
        _OF_KIND.get(columns[column].kind, ""), ""
    )


@lru_cache(maxsize=1)
def heading_readers() -> Mapping[str, HeadingReader]:
    """A reader for each sheet, by its name."""
    table = load_headings()
    return {name: HeadingReader(columns, table) for name, columns in SHEETS.items()}


def is_heading(text: str) -> bool:
    """Whether any sheet may have a column headed so."""
    return any(reader.fits(text, nearly=False) for reader in heading_readers().values()) or text == WHY
