"""A whole bin as the cells of its sheets: out of the store, and as sheets to write."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from matcher.store.sheets.books import SheetRows
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE, SHEETS

if TYPE_CHECKING:
    from matcher.store.database.rows import Rows

AllCells = Mapping[str, Sequence[Mapping[str, str]]]
"""Rows of each sheet by its name, in all its columns; an empty cell is ""."""

NOTHING: AllCells = {sheet: [] for sheet in SHEETS}


def all_cells(store: Rows) -> dict[str, list[dict[str, str]]]:
    """Cells of the store's lots, garments and people, with what an export adds: day of weighing, code on the tag."""
    columns = ", ".join(f'"{column}"' for column in LOTS)
    lots = store.select(f"SELECT {columns} FROM lots ORDER BY lot")
    return {"lots": lots, "garments": store.garments(), "people": store.people()}


def whole_sheets(cells: AllCells) -> list[SheetRows]:
    """A whole bin as the sheets that intake reads, rows in order of their names.

    What an export adds stands at the end where any lot has it. A sheet of people is made where there are any.
    """
    lots, garments, people = (sorted(cells[one.sheet], key=lambda row: row[one.thing]) for one in SHEETS.values())
    added = [column for column in LOTS.exported if any(row.get(column) for row in lots)]
    sheets = [SheetRows("lots", [*LOTS.typed, *added], lots), SheetRows("garments", GARMENTS.typed, garments)]
    return [*sheets, *([SheetRows("people", PEOPLE.typed, people)] if people else [])]
