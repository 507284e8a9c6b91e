"""What she said herself that a heading or a cell of a workbook means; it goes before what would be worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from matcher.errors import Fault
from matcher.materials.reading.names import fold
from matcher.reasons.reason import reason
from matcher.store.sheets.columns import Columns
from matcher.store.sheets.headings import Meant
from matcher.store.sheets.tabulate import Row, Table
from matcher.store.sheets.understood import CellRead, Understood


@dataclass(frozen=True)
class Said:
    """Her answers. headings: by sheet and folded heading; cells: (sheet, column, name of the row as `row_name` has it
    or "" for all rows, text as she wrote it) -> text to read in its place, "" for nothing."""

    headings: Mapping[tuple[str, str], Meant] = field(default_factory=dict)
    cells: Mapping[tuple[str, str, str, str], str] = field(default_factory=dict)

    def of_sheet(self, sheet: str) -> dict[str, Meant]:
        """What the headings of one sheet hold, by folded heading."""
        return {heading: meant for (of, heading), meant in self.headings.items() if of == sheet}


NOTHING_SAID = Said()
LEFT_EMPTY = reason("left empty")


def row_name(row: Row, columns: Columns, column: str) -> str:
    """What a row is known by when the workbook comes again: its folded name; its place where that is in question."""
    name = fold(row.cells.get(columns.thing, "")) if column != columns.thing else ""
    return name or f"#{row.number}"


def put_in(said: Said, table: Table, columns: Columns, faults: list[Fault], understood: Understood) -> None:
    """Read her answers in place of the cells that they are about; what she wrote stays in `Row.hers`."""
    spoken = {column for sheet, column, _, _ in said.cells if sheet == columns.sheet}
    asked = [column for column in columns if column in spoken]  # in their order, so that each run tells them alike
    for row in table.rows if asked else ():
        for column in asked:
            text = row.hers.get(column, row.cells.get(column, ""))
            name = row_name(row, columns, column)
            keys = ((columns.sheet, column, name, text), (columns.sheet, column, "", text))
            meant = next((said.cells[key] for key in keys if key in said.cells), None)
            if meant is None:
                continue
            place = (table.where, row.number, column)
            understood.said.add(place)
            if column in row.bad:
                row.bad.discard(column)
                faults[:] = [one for one in faults if (one.where, one.row, one.column) != place]
            if meant != text:
                row.hers.setdefault(column, text)
                row.cells[column] = meant
                named = row.cells.get(columns.thing, "")
                understood.add(CellRead(table.where, row.number, named, column, text, meant or LEFT_EMPTY, True))
            if not meant:
                row.cells.pop(column, None)
