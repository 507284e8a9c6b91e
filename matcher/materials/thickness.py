"""How thick a yarn is by a word for it: "3", "DK", "4ply", "DK/worsted", "aran-ish"; and the tex that follows.

A word may leave several classes open: then the yarn is anywhere from the thinnest to the thickest of all. A thickness
in plies is a name, whatever the number of strands. Names: catalog/standards/yarn_names.csv.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matcher.materials.estimate import Estimate
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import did_you_mean, slip_of
from matcher.materials.reading.numerals import ABOUT, LONGEST_READ, Unreadable
from matcher.materials.yarn import MeasuringRules, WeightClass, tex_from_class, tex_of_tables
from matcher.reasons.reason import Column, Words, listed, reason

Names = Mapping[str, tuple[int, ...]]
"""Names of thicknesses, folded, and the classes that each may mean."""

_MOST_PARTS = 5  # a choice: nobody names more thicknesses for one yarn
_FILLERS = frozenset(("weight", "wt", "yarn", "yarns", "wool", "thickness", "type", "class", "cyc", "category", "cat"))
_BOTH = re.compile(r"\s*(?:/|,|\||\(|\)|\bor\b|\band\b|&)\s*")
_SPAN = re.compile(r"\s*(?:\bto\b|-)\s*")
_LOOSE = re.compile(
    rf"^(?:{ABOUT}|sort of|kind of|nearly)\s*|[\s-]*(?:ish|like|or so)$|\s*\?+$"
    r"|^(?:maybe|probably|possibly|perhaps)\s+|[\s,(]*\b(?:i think|i guess|maybe|probably|possibly|perhaps)\)?$"
)
_SHIFT = {**dict.fromkeys(("light", "fine", "thin"), -1), **dict.fromkeys(("heavy", "thick"), 1)}


@dataclass(frozen=True)
class Thickness:
    """Classes that a yarn may be of, ascending; loose: it is only said to be near."""

    classes: tuple[int, ...]
    loose: bool = False


def heard_thickness(text: str, classes: Sequence[WeightClass], names: Names) -> Heard[Thickness]:
    """The classes that a cell names. Raises Unreadable, with the nearest name."""
    known = _Known(classes, names)
    if len(text) > LONGEST_READ:
        raise Unreadable(text, known.expected)
    folded = _fold(text)
    number = re.fullmatch(r"(?:class )?(\d+)(?:\.0)?", folded)
    if number and int(number[1]) in known.numbers:
        return Heard(Thickness((int(number[1]),)))
    if number:
        mend = reason(
            "metres and grams of a ball go in {metres} and {grams}",
            metres=Column("ball_metres"),
            grams=Column("ball_grams"),
        )
        raise Unreadable(text, known.expected, mend)
    plain = _LOOSE.sub("", folded)
    loose = plain != folded
    meant, sure = known.meant(plain)
    if not meant:
        raise Unreadable(text, known.expected, lambda: did_you_mean(plain, sorted(known.names)))
    tidy = not loose and folded in known.standard and len(meant) == 1 and names.get(folded) in (None, meant)
    thickness = Thickness(meant, loose)
    return Heard(thickness, "" if tidy else _taken(thickness), sure and not loose)


def tex_of_thickness(thickness: Thickness, classes: Sequence[WeightClass], rules: MeasuringRules) -> Estimate:
    """Linear density [tex]: of one class as it is; of several as each table has them, from the first to the last."""
    if len(thickness.classes) == 1:
        tex = tex_from_class(thickness.classes[0], classes)
    else:
        thin, *_, thick = (one for one in classes if one.number in thickness.classes)
        # A table that lacks one of them has it as far as any table goes.
        thinnest, thickest = (thin.tex_min, thin.tex_max), (thick.tex_min, thick.tex_max)
        tables = [
            (thin.tables.get(table, thinnest)[0], thick.tables.get(table, thickest)[1])
            for table in (thin.tables | thick.tables)
        ]
        tex = tex_of_tables(tables)
    sd = math.hypot(tex.sd, rules.loose_sd_fraction * tex.mean) if thickness.loose else tex.sd
    return Estimate(tex.mean, sd)


def _taken(thickness: Thickness) -> Words:
    numbers = [str(one) for one in thickness.classes]
    run = thickness.classes[-1] - thickness.classes[0] == len(numbers) - 1
    if len(numbers) > 2 and run:
        said: Words = reason("class {first} to {last}", first=numbers[0], last=numbers[-1])
    else:
        said = reason("class {numbers}", numbers=listed(numbers, "or"))
    return reason("near {said}", said=said) if thickness.loose else said


class _Known:
    """All names with the classes that they mean: those of the table before those of the standard."""

    def __init__(self, classes: Sequence[WeightClass], names: Names) -> None:
        self.numbers = frozenset(one.number for one in classes)
        self.standard: dict[str, tuple[int, ...]] = {}
        for one in classes:
            for spelling in map(_fold, one.spellings):
                self.standard[spelling] = (*self.standard.get(spelling, ()), one.number)
        self.names = {**self.standard, **names}
        self.expected = reason(
            "a yarn weight class from {first} to {last}, or a name such as DK",
            first=classes[0].number,
            last=classes[-1].number,
        )

    def meant(self, text: str) -> tuple[tuple[int, ...], bool]:
        """The classes that a text names, and whether that is sure; none where it names none."""
        word, _, rest = text.partition(" ")
        if word in _SHIFT and text not in self.names and (named := self._named(rest)):
            both = {number + step for number in named[0] for step in (0, _SHIFT[word])}
            return tuple(sorted(both & self.numbers)), False
        if named := self._named(text):
            return named
        for sign, between in ((_BOTH, False), (_SPAN, True)):
            split = [part for part in sign.split(text) if part]
            parts = [self.meant(part) for part in split] if 1 < len(split) <= _MOST_PARTS else []
            if not parts or not all(classes for classes, _ in parts):
                continue
            numbers = sorted({number for classes, _ in parts for number in classes})
            numbers = list(range(numbers[0], numbers[-1] + 1)) if between else numbers
            return tuple(numbers), all(sure for _, sure in parts)
        near = slip_of(text, self.names)
        return (self.names[near], False) if near else ((), False)

    def _named(self, text: str) -> tuple[tuple[int, ...], bool] | None:
        """The same of a text that is made of names and fillers only: "dk weight", "lace 2 ply", "3 light"."""
        words = text.split()
        found: set[int] = set()
        sure = True
        while words:
            longest = next((n for n in range(len(words), 0, -1) if " ".join(words[:n]) in self.names), 0)
            if longest:
                named = self.names[" ".join(words[:longest])]
                found.update(named)
                sure = sure and len(named) == 1
            elif words[0].lstrip("#").isdecimal() and int(words[0].lstrip("#")) in self.numbers:
                found.add(int(words[0].lstrip("#")))
            elif words[0] not in _FILLERS:
                return None
            words = words[max(1, longest) :]
        return (tuple(sorted(found)), sure) if found else None


def _fold(text: str) -> str:
    """ "4-ply" and "4ply" are "4 ply"; "Aran_weight" is "aran weight", "D.K." is "dk"."""
    folded = re.sub(r"[\s_]+", " ", text.casefold()).strip(" .;:")
    folded = re.sub(r"\bd\. ?k\b\.?", "dk", folded)
    folded = re.sub(r"\b(\d+)[ -]?(?:ply|plies|plys)\b", r"\1 ply", folded)
    return re.sub(r"(?<=[a-z])-(?=(?:weight|knitting|knit|wt|bulky|chunky|fine|fingering|worsted|dk)\b)", " ", folded)
