"""Cells to values: one reader for each kind of cell, and a whole row with every fault in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from matcher.errors import Fault
from matcher.materials.care import parse_wash
from matcher.materials.colours.colour import parse_colour
from matcher.materials.fibre import Blend, parse_blend
from matcher.materials.lots import STATUSES, parse_alterations
from matcher.materials.reading.dye_lots import known_dye_lot
from matcher.materials.reading.names import did_you_mean, fold
from matcher.materials.reading.numerals import Unclear, Unreadable, shorten
from matcher.materials.reading.units import (
    parse_cm,
    parse_count,
    parse_gauge,
    parse_length_m,
    parse_mass_g,
    parse_tex,
)
from matcher.materials.yarn import WeightClass
from matcher.reasons.quantities import Kilograms, Length, Measure, Number, Tex
from matcher.reasons.reason import Column, Words, listed, reason
from matcher.store.catalogue.standards import Standards
from matcher.store.codes import is_code
from matcher.store.sheets.columns import Columns, Kind, as_day
from matcher.store.sheets.tabulate import Row

_LABELS = {
    **dict.fromkeys(("yes", "y", "true", "whole"), "yes"),
    **dict.fromkeys(("partly", "part", "torn"), "partly"),
    **dict.fromkeys(("no", "n", "false", "none", "lost"), "no"),
}
# A class word that the standard's chart gives to two classes, and the one that knitters mean by it.
_USUAL_CLASS = {"fingering": 1}
_CHECK_UNIT = reason("check the unit")


class CellReader:
    """Reads cells by the catalogue's standards; with a memory, since cells repeat."""

    def __init__(self, standards: Standards) -> None:
        self.standards, self.limits = standards, standards.limits
        self._memory: dict[tuple[Kind, str], Any] = {}
        self._readers: dict[Kind, Callable[[str], Any]] = {
            "name": self._name,
            "folded": lambda text: fold(self._name(text)),
            "words": str,
            "colour": lambda text: parse_colour(text, standards.colour_words),
            "mass": self.mass,
            "ball metres": self.ball_metres,
            "reserve": self._reserve,
            "tex": self._tex,
            "class": lambda text: parse_class(text, standards.classes),
            "fibre": lambda text: parse_blend(text, standards.fibres),
            "wash": parse_wash,
            "pieces": self._pieces,
            "dye lot": lambda text: known_dye_lot(self._name(text)),
            "label": _label,
            "day": as_day,
            "code": lambda text: text if is_code(text) else "",
            "status": _status,
            "chest": self._chest,
            "stitches": self._stitches,
            "rows": self._rows,
            "plans": lambda text: parse_alterations(text, self.limits.most_planned_cm),
        }

    def value(self, kind: Kind, text: str) -> Any:
        """What a cell says; raises Unclear when it cannot be read."""
        key = (kind, text)
        if key not in self._memory:
            try:
                self._memory[key] = self._readers[kind](text)
            except Unclear as fault:
                self._memory[key] = fault
        value = self._memory[key]
        if isinstance(value, Unclear):
            raise value
        return value

    def row(
        self, row: Row, columns: Columns, where: str, missing: frozenset[str], faults: list[Fault]
    ) -> dict[str, Any] | None:
        """The values of a row by column, or None with its faults added. missing: columns that the sheet lacks."""
        values: dict[str, Any] = {}
        whole = not row.bad
        for column, rule in columns.rules.items():
            text = row.cells.get(column)
            if text is None:
                values[column] = EMPTY.get(rule.kind, "")
                if rule.needed and column not in row.bad:
                    whole = False
                    if column not in missing:
                        faults.append(
                            Fault(where, row.number, column, "", reason(rule.holds), reason("fill in the cell"))
                        )
                continue
            try:
                values[column] = self.value(rule.kind, text)
            except Unreadable as fault:
                whole = False
                faults.append(Fault(where, row.number, column, fault.found, fault.expected, fault.mend))
            except Unclear as fault:
                whole = False
                faults.append(Fault(where, row.number, column, shorten(text), reason(rule.holds), fault.said))
        return values if whole else None

    def mass(self, text: str) -> float:
        """Grams, above 0."""
        most = self.limits.most_grams
        expected = reason("a weight above 0 and at most {most}", most=Kilograms(most / 1000))
        if parse_mass_g(text) == 0:
            raise Unreadable(text, expected, reason("leave the row out if nothing is left"))
        return _within(text, parse_mass_g(text), 0, most, expected, _CHECK_UNIT)

    def ball_metres(self, text: str) -> float:
        """Metres of a full ball, above 0."""
        metres, expected = parse_length_m(text), reason("metres of a full ball, above 0")
        if metres == 0:
            raise Unreadable(text, expected, _CHECK_UNIT)
        return _within(text, metres, 0, self.limits.most_metres, expected, _CHECK_UNIT)

    def _name(self, text: str) -> str:
        longest = self.limits.longest_name
        if len(text) > longest:
            expected = reason("at most {n} characters", n=Number(longest))
            raise Unreadable(text, expected, reason("shorten it, and put the rest in {note}", note=Column("note")))
        return " ".join(text.split())

    def _reserve(self, text: str) -> float:
        most = self.limits.most_metres
        expected = reason("metres to hold back, at most {most}", most=Length(most))
        return _within(text, parse_length_m(text), 0, most, expected, _CHECK_UNIT)

    def _tex(self, text: str) -> float:
        expected = reason("a yarn count from {least} to {most}", **self._tex_limits)
        mend = reason("a sock yarn has about 250; is it the right unit?")
        return _within(text, parse_tex(text), self.limits.least_tex, self.limits.most_tex, expected, mend)

    @property
    def _tex_limits(self) -> dict[str, Number | Tex]:
        return {"least": Number(self.limits.least_tex), "most": Tex(self.limits.most_tex)}

    def check_ball_band(self, grams: str, metres: str) -> None:
        """Refuse a ball band whose figures cannot both be right."""
        try:
            tex = 1000.0 * self.mass(grams) / self.ball_metres(metres)
        except Unclear:
            return  # told by the row's own check
        if not self.limits.least_tex <= tex <= self.limits.most_tex:
            said = "a ball band that makes {least} to {most}, not {tex}"
            expected = reason(said, tex=Number(tex, 1), **self._tex_limits)
            raise Unreadable(f"{metres} / {grams}", expected, reason("are grams and metres in the right columns?"))

    def _pieces(self, text: str) -> int:
        most = self.limits.most_pieces
        expected = reason("a number of pieces from 1 to {most}", most=Number(most))
        return int(_within(text, parse_count(text), 1, most, expected, reason("count the ends and halve them")))

    def _chest(self, text: str) -> float:
        low, high = self.limits.least_chest_cm, self.limits.most_chest_cm
        expected = reason("a chest from {least} to {most}", least=Number(low), most=Measure(high))
        return _within(text, parse_cm(text), low, high, expected, reason("write inches as 36 in"))

    def _stitches(self, text: str) -> float:
        stitches, _ = _gauge(text, text, reason("stitches in 10 cm such as 22"))
        low, high = self.limits.least_stitches_10cm, self.limits.most_stitches_10cm
        return self._knittable(text, stitches, low, high, reason("stitches in 10 cm such as 22"))

    def _rows(self, text: str) -> float:
        """Rows alone ("30", "30 rows in 4 in"), or those of a whole gauge."""
        alone = re.sub(r"\b(?:rows?|rounds?|rnds?|r)\b", "st", text, flags=re.IGNORECASE)
        expected = reason("rows in 10 cm such as 30")
        first, rows = _gauge(text, text if " x " in text else alone, expected)
        low, high = self.limits.least_rows_10cm, self.limits.most_rows_10cm
        return self._knittable(text, first if rows is None else rows, low, high, expected)

    @staticmethod
    def _knittable(text: str, value: float, low: float, high: float, expected: Words) -> float:
        said = "{least} to {most} is what knitting has; is it counted over 10 cm?"
        return _within(text, value, low, high, expected, reason(said, least=Number(low), most=Number(high)))


# What a cell that is empty says, where that is not "".
EMPTY: dict[Kind, Any] = {
    **dict.fromkeys(("mass", "ball metres", "reserve", "tex", "class", "pieces", "chest", "stitches", "rows"), None),
    "fibre": Blend(),
    "wash": "unknown",
    "plans": (),
}


def parse_class(text: str, classes: Sequence[WeightClass]) -> int:
    """Class number from "3", "class 3", "DK", "worsted", "super fine". Raises Unreadable."""
    expected = reason(
        "a yarn weight class from {first} to {last}, or a name such as DK",
        first=classes[0].number,
        last=classes[-1].number,
    )
    folded = re.sub(r"[\s_-]+", " ", text.casefold()).strip()
    number = re.fullmatch(r"(?:class )?(\d+)(?:\.0)?", folded)
    if number:
        if int(number[1]) not in {entry.number for entry in classes}:
            mend = reason(
                "metres and grams of a ball go in {metres} and {grams}",
                metres=Column("ball_metres"),
                grams=Column("ball_grams"),
            )
            raise Unreadable(text, expected, mend)
        return int(number[1])
    names: dict[str, list[int]] = {}
    for entry in classes:
        for name in (entry.name, *entry.types):
            names.setdefault(name.casefold(), []).append(entry.number)
    folded = folded.removesuffix(" weight").removesuffix(" yarn")
    meant = [_USUAL_CLASS[folded]] if folded in _USUAL_CLASS else sorted(set(names.get(folded, [])))
    if not meant:
        raise Unreadable(text, expected, did_you_mean(folded, names))
    if len(meant) > 1:
        both = listed(map(str, meant), "and")
        raise Unreadable(text, expected, reason("that name stands for {classes}: write the number", classes=both))
    return meant[0]


def _within(text: str, value: float, low: float, high: float, expected: Words, mend: Words) -> float:
    if not low <= value <= high:
        raise Unreadable(text, expected, mend)
    return value


def _gauge(text: str, read_as: str, expected: Words) -> tuple[float, float | None]:
    try:
        return parse_gauge(read_as)
    except Unreadable as fault:
        raise Unreadable(text, expected, fault.mend) from fault


def _label(text: str) -> str:
    if text.casefold() not in _LABELS:
        raise Unreadable(text, reason("yes, partly or no"), did_you_mean(text, ("yes", "partly", "no")))
    return _LABELS[text.casefold()]


def _status(text: str) -> str:
    if text.casefold() not in STATUSES:
        mend = did_you_mean(text, STATUSES) or reason("given may come back to be mended, gone will not")
        raise Unreadable(text, reason("worn, given or gone"), mend)
    return text.casefold()
