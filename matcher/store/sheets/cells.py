"""Cells to values: one reader for each kind of cell, and a whole row with every fault in it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

from matcher.errors import MOST_TOLD, Fault
from matcher.knitting.bodies import parse_size
from matcher.knitting.fit.measured import LIMITS_CM
from matcher.materials.care import parse_wash
from matcher.materials.colours.colour import parse_colour
from matcher.materials.fibre import Blend, parse_blend
from matcher.materials.lots import MENDING, STATUSES, parse_alterations
from matcher.materials.people import ORDINARY, parse_eyes, parse_list, parse_unsuited
from matcher.materials.reading.amounts import Amount
from matcher.materials.reading.bands import ball_mass_g, heard_ball_length, heard_ball_mass
from matcher.materials.reading.dye_lots import known_dye_lot
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import did_you_mean, fold
from matcher.materials.reading.numerals import Unclear, Unreadable, shorten
from matcher.materials.reading.units import (
    parse_cm,
    parse_count,
    parse_gauge,
    parse_length_m,
    parse_tex,
)
from matcher.materials.reading.weights import heard_amount
from matcher.materials.thickness import heard_thickness
from matcher.reasons.quantities import Kilograms, Length, Measure, Number, Tex
from matcher.reasons.reason import Column, Term, Words, reason
from matcher.store.catalogue.standards import Standards
from matcher.store.codes import is_code
from matcher.store.sheets.columns import Columns, Kind, as_day
from matcher.store.sheets.tabulate import Row
from matcher.store.sheets.understood import CellRead, Understood

_LABELS = {
    **dict.fromkeys(("yes", "y", "true", "whole"), "yes"),
    **dict.fromkeys(("partly", "part", "torn"), "partly"),
    **dict.fromkeys(("no", "n", "false", "none", "lost"), "no"),
}


class CellReader:
    """Reads cells by the catalogue's standards; with a memory, since cells repeat.

    A reader of a kind gives a value, or a `Heard` where it had to make something of the cell.
    """

    def __init__(self, standards: Standards) -> None:
        self.limits = limits = standards.limits
        self.amounts = standards.amounts
        self._memory: dict[tuple[Kind, str, float | None], Heard[Any] | Unclear] = {}
        self._faults: Counter[str] = Counter()  # by sheet
        # Linear density is the same in all units.
        self._tex_limits = {"least": Number(limits.least_tex), "most": Tex(limits.most_tex)}
        check_unit = reason("check the unit")
        self._weight = reason("a weight above 0 and at most {most}", most=Kilograms(limits.most_grams / 1000))
        reserve = reason("metres to hold back, at most {most}", most=Length(limits.most_metres))
        tex = reason("a yarn count from {least} to {most}", **self._tex_limits)
        pieces = reason("a number of pieces from 1 to {most}", most=Number(limits.most_pieces))
        low, high = limits.least_chest_cm, limits.most_chest_cm
        chest = reason("a chest from {least} to {most}", least=Measure(low), most=Measure(high))
        self._readers: dict[Kind, Callable[[str], Any]] = {
            "name": self._name,
            "folded": lambda text: fold(self._name(text)),
            "words": str,
            "colour": lambda text: parse_colour(text, standards.colour_words),
            "amount": self._amount,
            "ball grams": _between(
                heard_ball_mass,
                *(0, limits.most_grams),
                self._weight,
                check_unit,
                at_zero=check_unit,
            ),
            "ball metres": _between(
                heard_ball_length,
                *(0, limits.most_metres),
                reason("metres of a full ball, above 0"),
                check_unit,
                at_zero=check_unit,
            ),
            "reserve": _between(parse_length_m, 0, limits.most_metres, reserve, check_unit),
            "tex": _between(
                parse_tex,
                *(limits.least_tex, limits.most_tex),
                tex,
                reason("a sock yarn has about 250; is it the right unit?"),
            ),
            "class": lambda text: heard_thickness(text, standards.classes, standards.yarn_names),
            "fibre": lambda text: parse_blend(text, standards.fibres),
            "wash": parse_wash,
            "pieces": _between(parse_count, 1, limits.most_pieces, pieces, reason("count the ends and halve them")),
            "dye lot": lambda text: known_dye_lot(self._name(text)),
            "label": _label,
            "day": as_day,
            "code": lambda text: text if is_code(text) else "",
            "status": _status,
            "chest": _between(parse_cm, low, high, chest, reason("write inches as 36 in")),
            "stitches": _between(
                _stitches,
                *(limits.least_stitches_10cm, limits.most_stitches_10cm),
                _STITCHES,
                _knittable(limits.least_stitches_10cm, limits.most_stitches_10cm),
            ),
            "rows": _between(
                _rows,
                *(limits.least_rows_10cm, limits.most_rows_10cm),
                _ROWS,
                _knittable(limits.least_rows_10cm, limits.most_rows_10cm),
            ),
            "plans": lambda text: parse_alterations(text, limits.most_planned_cm),
            "mending": _mending,
            "size": lambda text: parse_size(text, standards.sizes),
            **{body: _body(body) for body in ("head", "hand", "foot")},
            "fibres": lambda text: parse_unsuited(text, standards.fibres, standards.fibre_groups),
            "eyes": parse_eyes,
            "list": parse_list,
        }

    def value(self, kind: Kind, text: str) -> Any:
        """What a cell says; raises Unclear when it cannot be read."""
        return self.heard(kind, text).value

    def heard(self, kind: Kind, text: str) -> Heard[Any]:
        """The same with what was made of it, where it does not say that plainly, and whether that is a guess."""
        return self._remembered((kind, text, None), lambda: self._readers[kind](text))

    def heard_in(self, kind: Kind, text: str, cells: Mapping[str, str]) -> Heard[Any]:
        """The same of a cell among the others of its row: what half a ball weighs, the band beside it says."""
        if kind != "amount":
            return self.heard(kind, text)
        try:
            ball_g = ball_mass_g(cells)
        except Unclear:
            ball_g = None  # told by its own cell
        return self._remembered((kind, text, ball_g), lambda: self._amount(text, ball_g))

    def _remembered(self, key: tuple[Kind, str, float | None], read: Callable[[], Any]) -> Heard[Any]:
        if key not in self._memory:
            try:
                found = read()
                self._memory[key] = found if isinstance(found, Heard) else Heard(found)
            except Unclear as fault:
                self._memory[key] = fault.with_traceback(None)
        heard = self._memory[key]
        if isinstance(heard, Unclear):
            raise heard
        return heard

    def _amount(self, text: str, ball_g: float | None = None) -> Heard[Amount]:
        heard = heard_amount(text, self.amounts, ball_g)
        grams = heard.value.mass.mean
        if grams == 0:
            raise Unreadable(text, self._weight, reason("leave the row out if nothing is left"))
        if grams > self.limits.most_grams:
            raise Unreadable(text, self._weight, reason("check the unit"))
        return heard

    def row(
        self,
        row: Row,
        columns: Columns,
        where: str,
        missing: frozenset[str],
        faults: list[Fault],
        understood: Understood,
    ) -> dict[str, Any] | None:
        """The values of a row by column, or None with its faults added; odd cells are added to `understood`.

        missing: columns that the sheet lacks.
        """
        values: dict[str, Any] = {}
        name = row.cells.get(columns.thing, "")
        whole = not row.bad
        for column, rule in columns.rules.items():
            text = row.cells.get(column)
            if text is None:
                values[column] = EMPTY.get(rule.kind, "")
                if rule.needed and column not in row.bad:
                    whole = False
                    if column not in missing:
                        holds, mend = reason(rule.holds), reason("fill in the cell")
                        faults.append(Fault(where, row.number, column, "", holds, mend))
                continue
            try:
                heard = self.heard_in(rule.kind, text, row.cells)
                values[column] = heard.value
                if heard.taken or not heard.sure:
                    understood.add(CellRead(where, row.number, name, column, text, heard.taken, heard.sure))
            except Unclear as fault:
                whole = False
                faults.append(self._fault(where, row.number, column, text, fault, reason(rule.holds)))
        return values if whole else None

    def _fault(self, where: str, row: int, column: str, text: str, fault: Unclear, holds: Words) -> Fault:
        """The fault of a cell; how to mend it is worked out for the first ones of a sheet only, which are shown."""
        self._faults[where] += 1
        told = self._faults[where] <= MOST_TOLD
        if isinstance(fault, Unreadable):
            return Fault(where, row, column, fault.found, fault.expected, fault.mend if told else "")
        return Fault(where, row, column, shorten(text), holds, fault.said if told else "")

    def check_ball_band(self, grams: str, metres: str) -> None:
        """Refuse a ball band whose figures cannot both be right."""
        try:
            tex = 1000.0 * self.value("ball grams", grams) / self.value("ball metres", metres)
        except Unclear:
            return  # told by the row's own check
        if not self.limits.least_tex <= tex <= self.limits.most_tex:
            said = "a ball band that makes {least} to {most}, not {tex}"
            expected = reason(said, tex=Number(tex, 1), **self._tex_limits)
            raise Unreadable(f"{metres} / {grams}", expected, reason("are grams and metres in the right columns?"))

    def _name(self, text: str) -> str:
        longest = self.limits.longest_name
        if len(text) > longest:
            mend = reason("shorten it, and put the rest in {note}", note=Column("note"))
            raise Unreadable(text, reason("at most {n} characters", n=Number(longest)), mend)
        return " ".join(text.split())


# What a cell that is empty says, where that is not "".
EMPTY: dict[Kind, Any] = {
    **dict.fromkeys(
        ("amount", "ball grams", "ball metres", "reserve", "tex", "class", "pieces", "chest", "stitches", "rows"), None
    ),
    "fibre": Blend(),
    "wash": "unknown",
    **dict.fromkeys(("plans", "fibres", "list"), ()),
    **dict.fromkeys(("head", "hand", "foot"), None),
    "eyes": ORDINARY,
}


def _between(
    parse: Callable[[str], float | Heard[float]],
    low: float,
    high: float,
    expected: Words,
    mend: Words,
    at_zero: Words = "",
) -> Callable[[str], float | Heard[float]]:
    """A reader that refuses what lies outside; and nothing at all, where `at_zero` says how to mend that."""

    def read(text: str) -> float | Heard[float]:
        found = parse(text)
        value = found.value if isinstance(found, Heard) else found
        if at_zero and value == 0:
            raise Unreadable(text, expected, at_zero)
        if not low <= value <= high:
            raise Unreadable(text, expected, mend)
        return found

    return read


_STITCHES, _ROWS = reason("stitches in 10 cm such as 22"), reason("rows in 10 cm such as 30")


def _knittable(low: float, high: float) -> Words:
    said = "{least} to {most} is what knitting has; is it counted over 10 cm?"
    return reason(said, least=Number(low), most=Number(high))


def _stitches(text: str) -> float:
    return _gauge(text, text, _STITCHES)[0]


def _rows(text: str) -> float:
    """Rows alone ("30", "30 rows in 4 in"), or those of a whole gauge."""
    alone = re.sub(r"\b(?:rows?|rounds?|rnds?|r)\b", "st", text, flags=re.IGNORECASE)
    first, rows = _gauge(text, text if " x " in text else alone, _ROWS)
    return first if rows is None else rows


def _gauge(text: str, read_as: str, expected: Words) -> tuple[float, float | None]:
    try:
        return parse_gauge(read_as)
    except Unreadable as fault:
        raise Unreadable(text, expected, fault.mend) from fault


def _body(body: Kind) -> Callable[[str], float | Heard[float]]:
    """A reader of what was measured round a part of a body."""
    low, high = LIMITS_CM[body]
    expected = reason(
        "what the {body} measures, from {least} to {most}", body=Term(body), least=Measure(low), most=Measure(high)
    )
    return _between(parse_cm, low, high, expected, reason("measure round it; write inches as 22 in"))


def _label(text: str) -> str:
    if text.casefold() not in _LABELS:
        raise Unreadable(text, reason("yes, partly or no"), lambda: did_you_mean(text, ("yes", "partly", "no")))
    return _LABELS[text.casefold()]


def _status(text: str) -> str:
    if text.casefold() not in STATUSES:
        mend = did_you_mean(text, STATUSES) or reason("given may come back to be mended, gone will not")
        raise Unreadable(text, reason("worn, given or gone"), mend)
    return text.casefold()


def _mending(text: str) -> str:
    if text.casefold() not in MENDING:
        mend = did_you_mean(text, MENDING) or reason("usual keeps yarn for darned holes and any one larger repair")
        raise Unreadable(text, reason("little, usual or all"), mend)
    return text.casefold()
