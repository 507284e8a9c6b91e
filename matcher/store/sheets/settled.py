"""Cells that the store keeps in one wording only: what she wrote is put into it, and stays beside it.

So is what other rows tell of a cell, since the store has not all of them.
"""

from __future__ import annotations

from typing import Any

from matcher.materials.garment_words import heard_status
from matcher.materials.reading.chests import EITHER_BELOW, INCHES_BELOW_ADULT, bare_chest, in_inches, says_child
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unclear
from matcher.store.sheets.as_meant import with_unit
from matcher.store.sheets.columns import TELL_AGE, Columns
from matcher.store.sheets.tabulate import Row, Table
from matcher.store.sheets.understood import CellRead, Understood


def settle(table: Table, columns: Columns, understood: Understood) -> None:
    """Put what became of a garment into one of its three words, and a chest that is inches as others are with its unit;
    what cannot be read is left, and told with its row."""
    if "status" in columns:
        _statuses(table, columns.thing, understood)
    if "chest_cm" in columns:
        _chests(table, columns.thing, understood)


def _statuses(table: Table, thing: str, understood: Understood) -> None:
    for row in table.rows:
        text = row.cells.get("status", "")
        try:
            heard = heard_status(text) if text else None
        except Unclear:
            continue
        if heard is not None and heard.value != text:
            _put(table, row, thing, understood, "status", heard.value, heard)


def _chests(table: Table, thing: str, understood: Understood) -> None:
    """Grown people's chests that may be either, in a column where more must be inches than must be centimetres."""
    bare: list[tuple[float, Row]] = []
    for row in table.rows:
        number = bare_chest(row.cells.get("chest_cm", ""))
        if number is not None and not says_child(" ".join(row.cells.get(one, "") for one in TELL_AGE)):
            bare.append((number, row))
    below = sum(number < INCHES_BELOW_ADULT for number, _ in bare)
    if below <= sum(number >= EITHER_BELOW for number, _ in bare):
        return
    for number, row in bare:
        if INCHES_BELOW_ADULT <= number < EITHER_BELOW:
            inches = with_unit(row.cells["chest_cm"], "in")
            _put(table, row, thing, understood, "chest_cm", inches, in_inches(number))


def _put(table: Table, row: Row, thing: str, understood: Understood, column: str, text: str, heard: Heard[Any]) -> None:
    hers = row.cells[column]
    row.hers.setdefault(column, hers)
    row.cells[column] = text
    if heard.taken:
        named = row.cells.get(thing, "")
        understood.add(CellRead(table.where, row.number, named, column, hers, heard.taken, heard.sure))
