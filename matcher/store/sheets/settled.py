"""Cells that the store keeps in one wording only: what she wrote is put into it, and stays beside it.

So is what other rows tell of a cell, since the store has not all of them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from matcher.materials.garment_words import heard_status
from matcher.materials.reading.chests import (
    EITHER_BELOW,
    EITHER_BELOW_CHILD,
    INCHES_BELOW_ADULT,
    INCHES_BELOW_CHILD,
    bare_chest,
    in_inches,
    says_child,
    says_inches,
)
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unclear
from matcher.materials.reading.units import parse_mass_g
from matcher.reasons.quantities import Length, Measure
from matcher.reasons.reason import reason
from matcher.store.sheets.as_meant import with_unit
from matcher.store.sheets.columns import TELL_AGE, Columns
from matcher.store.sheets.tabulate import Row, Table
from matcher.store.sheets.understood import CellRead, Understood
from matcher.store.weights import tex_by

_GRAMS = re.compile(r"\d\s*(?:g|gr|grams?|oz)\b", re.IGNORECASE)
_KEEP = re.compile(r"^(?:keep|hold back|save)\s+", re.IGNORECASE)


def settle(table: Table, columns: Columns, understood: Understood) -> None:
    """Put what became of a garment into one of its three words, a chest that is inches as others are with its unit, and
    so many grams to hold back into metres; what cannot be read is left, and told with its row."""
    if "status" in columns:
        _statuses(table, columns.thing, understood)
    if "chest_cm" in columns:
        _chests(table, columns.thing, understood)
    if "reserve" in columns:
        _reserves(table, columns.thing, understood)


def _reserves(table: Table, thing: str, understood: Understood) -> None:
    for row in table.rows:
        text = row.cells.get("reserve", "")
        if not _GRAMS.search(text):
            continue
        try:
            metres = 1000.0 * parse_mass_g(_KEEP.sub("", text)) / tex_by(row.cells)
        except Unclear:
            continue
        heard = Heard(metres, reason("{length} of this yarn", length=Length(metres)))
        _put(table, row, thing, understood, "reserve", with_unit(f"{metres:.6g}", "m"), heard)


def _statuses(table: Table, thing: str, understood: Understood) -> None:
    for row in table.rows:
        text = row.cells.get("status", "")
        try:
            heard = heard_status(text) if text else None
        except Unclear:
            continue
        if heard is not None and heard.value != text:
            _put(table, row, thing, understood, "status", heard.value, heard)


@dataclass(frozen=True)
class _Bare:
    """A chest without a unit, and whether a child's."""

    number: float
    row: Row
    child: bool

    @property
    def only_inches(self) -> bool:
        return self.number < (INCHES_BELOW_CHILD if self.child else INCHES_BELOW_ADULT)

    @property
    def either(self) -> bool:
        return not self.only_inches and self.number < (EITHER_BELOW_CHILD if self.child else EITHER_BELOW)


def _chests(table: Table, thing: str, understood: Understood) -> None:
    """Each bare chest is in the unit in which it is possible. What may be either is inches in a column where more grown
    people's must be inches than must be centimetres; and where some count in inches, those in centimetres are told."""
    bare: list[_Bare] = []
    inches = False
    for row in table.rows:
        text = row.cells.get("chest_cm", "")
        number = bare_chest(text)
        if number is not None:
            bare.append(_Bare(number, row, says_child(" ".join(row.cells.get(one, "") for one in TELL_AGE))))
        inches = inches or says_inches(text)
    grown = [one for one in bare if not one.child]
    follow = sum(one.only_inches for one in grown) > sum(not (one.only_inches or one.either) for one in grown)
    for one in bare:
        if follow and one.either:
            text = with_unit(one.row.cells["chest_cm"], "in")
            _put(table, one.row, thing, understood, "chest_cm", text, in_inches(one.number))
    if not inches and not any(one.only_inches for one in bare):
        return
    told = {cell.row for cell in understood.cells if (cell.where, cell.column) == (table.where, "chest_cm")}
    for one in bare:
        # A grown person's that may be either is told with its own row.
        either = one.either and (follow or not one.child)
        if not (one.only_inches or either or one.row.number in told):
            _tell_cm(table, one, thing, understood)


def _tell_cm(table: Table, one: _Bare, thing: str, understood: Understood) -> None:
    """Tell a chest in centimetres that stands among others in inches; it is a guess where it may be either."""
    row, taken = one.row, reason("{chest}", chest=Measure(one.number))
    hers = row.hers.get("chest_cm", row.cells["chest_cm"])
    understood.add(CellRead(table.where, row.number, row.cells.get(thing, ""), "chest_cm", hers, taken, not one.either))


def _put(table: Table, row: Row, thing: str, understood: Understood, column: str, text: str, heard: Heard[Any]) -> None:
    hers = row.cells[column]
    row.hers.setdefault(column, hers)
    row.cells[column] = text
    if heard.taken:
        named = row.cells.get(thing, "")
        understood.add(CellRead(table.where, row.number, named, column, hers, heard.taken, heard.sure))
