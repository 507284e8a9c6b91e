"""What she wrote in her sheets, kept beside what was made of it: heading and cell of each column, as they stood."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from matcher.reasons.visible import visible
from matcher.store.database.act import Act
from matcher.store.database.rows import Rows
from matcher.store.sheets.headings import fold_heading
from matcher.store.sheets.tabulate import Row
from matcher.store.sheets.understood import HeadingRead


@dataclass(frozen=True)
class Written:
    """One cell of hers. column: of the store, "" where none was found for the heading; heading, cell: as she wrote
    them; taken: the text that went into the column."""

    column: str
    heading: str
    cell: str
    taken: str = ""


def headings_of(headings: Iterable[HeadingRead], where: str) -> dict[str, str]:
    """Her headings of one sheet by the columns that they were taken for."""
    return {one.column: one.heading for one in headings if one.where == where and one.column}


def of_row(row: Row, headings: Mapping[str, str]) -> tuple[Written, ...]:
    """What she wrote in a row, where it is otherwise than what is kept: another heading, another text, a column that
    was left out; signs that cannot be seen are written out. headings: hers by column."""
    cells = {**row.cells, **row.hers}
    found = [
        Written(column, visible(headings.get(column, "")), cells[column], row.cells.get(column, ""))
        for column in sorted(cells)
        if column in row.hers or fold_heading(headings.get(column, column)) != column
    ]
    return (*found, *(Written("", visible(heading), visible(cell)) for heading, cell in row.left.items()))


def keep_written(act: Act, sheet: str, name: str, written: Iterable[Written]) -> None:
    """Keep what she wrote of a lot or garment, in place of what she wrote in those columns before."""
    before = {
        (row["of_column"], row["heading"] if not row["of_column"] else ""): row["id"]
        for row in act.store.select("SELECT * FROM written WHERE sheet = ? AND name = ?", sheet, name)
    }
    for one in written:
        values = {"of_column": one.column, "heading": one.heading, "cell": one.cell, "taken": one.taken}
        key = before.get((one.column, one.heading if not one.column else ""))
        if key is None:
            act.insert("written", {"sheet": sheet, "name": name, **values})
        else:
            act.update("written", key, values)


def written_of(store: Rows, sheet: str, name: str) -> tuple[Written, ...]:
    """What she wrote of a lot or garment, by its name in the store: its columns first, then what was left out."""
    found = store.select("SELECT * FROM written WHERE sheet = ? AND name = ? ORDER BY of_column = '', id", sheet, name)
    return tuple(Written(row["of_column"], row["heading"], row["cell"], row["taken"]) for row in found)
