"""Names for lots that have none: of yarn and colour, made each its own, the same in whatever order the rows stand."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from matcher.materials.reading.names import fold
from matcher.reasons.reason import Term, Words, counted, listed
from matcher.store.sheets.columns import LOTS, said_column
from matcher.store.sheets.tabulate import Row, Table

_LONGEST = 120  # letters of a name that is made; a choice
_APART = ("garment", "dye_lot", "place")
"""What tells lots of one yarn and colour apart, the first that does."""
_CHANGES = ("grams", "pieces", "reserve", "note", "weighed_on")
"""What changes while a lot stays the same one."""


def name_lots(lots: Table, notes: list[Words]) -> None:
    """Give each lot without a name one; a remark says so."""
    nameless = [row for row in lots.rows if not row.cells.get("lot") and "lot" not in row.bad]
    if not nameless or (lots.plain and "lot" in lots.columns):
        return
    taken = {fold(row.cells["lot"]) for row in lots.rows if row.cells.get("lot")}
    groups: dict[str, list[Row]] = {}
    for row in nameless:
        groups.setdefault(_plain_name(row), []).append(row)
    for name in sorted(groups):
        _name(name, groups[name], _APART, taken)
    one = "{sheet}: one lot has no name, and is called by its {columns}: {name}"
    many = "{sheet}: {n} lots have no name, and are called by {columns}, such as {name}"
    called = [Term("colour" if part == "colour_name" else said_column(part)) for part in _parts(nameless[0])]
    columns = listed(called or [Term("number")], "and")
    notes.append(counted(len(nameless), one, many, sheet=lots.where, columns=columns, name=nameless[0].cells["lot"]))


def _parts(row: Row) -> dict[str, str]:
    """What a lot is called by where it has no name: its cells by column."""
    cells = row.cells
    thing = next((column for column in ("yarn", "class", "fibre") if cells.get(column)), "")
    colour = "colour_name" if cells.get("colour_name") else "colour"
    parts = [thing, "" if "#" in cells.get(colour, "") or not cells.get(colour) else colour]
    if not all(parts):
        parts += [column for column in ("garment", "role") if cells.get(column)]
    return {column: cells[column] for column in parts if column}


def _plain_name(row: Row) -> str:
    name = " ".join(" ".join(_parts(row).values()).split())
    return name[:_LONGEST].strip() or "oddment"


def _name(name: str, rows: Sequence[Row], apart: Sequence[str], taken: set[str]) -> None:
    """Name rows that would be called alike: by what tells them apart, and what is left by number."""
    told: dict[str, list[Row]] = {}
    for column in apart if len(rows) > 1 or fold(name) in taken else ():
        told = {}
        for row in rows:
            told.setdefault(row.cells.get(column, ""), []).append(row)
        if len(told) > 1:
            for value in sorted(told):
                further = apart[apart.index(column) + 1 :]
                _name(f"{name} ({value})"[: _LONGEST + 40] if value else name, told[value], further, taken)
            return
    for row in sorted(rows, key=_order):
        row.cells["lot"] = _free(name, taken)
        taken.add(fold(row.cells["lot"]))


def _order(row: Row) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    lasting = sorted((column, text) for column, text in row.cells.items() if column not in _CHANGES)
    return lasting, sorted((column, text) for column, text in row.cells.items() if column in _CHANGES)


def _free(name: str, taken: Iterable[str]) -> str:
    number, free = 1, name
    while fold(free) in taken:
        number += 1
        free = f"{name} {number}"
    return free


assert set(_APART) | set(_CHANGES) <= set(LOTS)
