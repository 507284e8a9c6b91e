"""Rows of the sheet of people, and the rule of every sheet that each row has a name of its own."""

from __future__ import annotations

from matcher.errors import Fault
from matcher.materials.people import Person, divided
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import shorten
from matcher.materials.skin_words import tells_of_skin
from matcher.reasons.reason import Column, reason
from matcher.store.sheets.cells import CellReader
from matcher.store.sheets.columns import PEOPLE
from matcher.store.sheets.tabulate import Table
from matcher.store.sheets.understood import CellRead, Understood

_NOTE_ALONE = reason(
    "a note, of which nothing is made: write fibres that do not suit the skin under {column}",
    column=Column("avoid_on_skin"),
)
_MEASURED = ("head", "hand", "foot", "chest")


def people_of(table: Table, reader: CellReader, faults: list[Fault], understood: Understood) -> dict[str, Person]:
    """The people by name, as far as the rows allow; faults and odd cells are added to the lists."""
    check_names(table, PEOPLE.thing, faults)
    missing = frozenset(PEOPLE.needed) - table.columns
    found: dict[str, Person] = {}
    for row in table.rows:
        cells = reader.row(row, PEOPLE, table.where, missing, faults, understood)
        if cells is not None:
            if tells_of_skin(cells["note"]) and not cells["avoid_on_skin"]:
                place = (table.where, row.number, cells["person"], "note", cells["note"])
                understood.add(CellRead(*place, _NOTE_ALONE, False))
            likes, dislikes = divided(cells["likes"], cells["dislikes"])
            found[cells["person"]] = Person(
                name=cells["person"],
                size=cells["size"],
                measures={body: cells[f"{body}_cm"] for body in _MEASURED if cells[f"{body}_cm"] is not None},
                unsuited=cells["avoid_on_skin"],
                eyes=cells["eyes"],
                likes=likes,
                dislikes=dislikes,
                note=cells["note"],
            )
    return found


def check_names(table: Table, column: str, faults: list[Fault]) -> dict[str, str]:
    """The names of a sheet's rows by what they are found by; a fault for each that two rows share."""
    first: dict[str, int] = {}
    names: dict[str, str] = {}
    for row in table.rows:
        name = row.cells.get(column, "")
        folded = fold(name)
        if not folded:
            continue
        if folded in first:
            expected = reason("a name of its own; row {row} has it already", row=first[folded])
            mend = reason("add a number or the dye lot to one of the names")
            faults.append(Fault(table.where, row.number, column, shorten(name), expected, mend))
        first.setdefault(folded, row.number)
        names.setdefault(folded, " ".join(name.split()))
    return names
