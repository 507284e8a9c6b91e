"""Rows of one table read column by column: each text that a column holds is understood once, however often it stands.

A cell that says plainly what it says is taken from its column; any other is read in its row, with all that is to be
said of it. So a sheet says the same either way, and a tidy one costs little.
"""

from __future__ import annotations

from typing import Any

from matcher.errors import Fault
from matcher.store.sheets.cells import EMPTY, ODD, CellReader
from matcher.store.sheets.columns import Columns
from matcher.store.sheets.tabulate import Table
from matcher.store.sheets.understood import Understood


class ByColumn:
    """The rows of a table, by their places."""

    def __init__(self, reader: CellReader, table: Table, columns: Columns) -> None:
        self._reader, self._table, self._of = reader, table, columns
        self._missing = frozenset(columns.needed) - table.columns
        self._names = tuple(columns)
        self._columns: list[list[Any]] = []
        self._odd = {at for at, row in enumerate(table.rows) if row.bad}
        for name, rule in columns.rules.items():
            texts = [row.cells.get(name) for row in table.rows]
            plain, kind = reader.plain, rule.kind
            meant: dict[str | None, Any] = {text: plain(kind, text) for text in set(texts) if text is not None}
            meant[None] = ODD if rule.needed else EMPTY.get(kind, "")
            values = [meant[text] for text in texts]
            if ODD in meant.values():
                self._odd.update(at for at, value in enumerate(values) if value is ODD)
            self._columns.append(values)

    def row(self, at: int, faults: list[Fault], understood: Understood) -> dict[str, Any] | None:
        """The values of a row by column, or None with its faults added; odd cells are added to `understood`."""
        values = dict(zip(self._names, [one[at] for one in self._columns], strict=True))
        if at not in self._odd:
            return values
        plain = {name: value for name, value in values.items() if value is not ODD}
        row, where = self._table.rows[at], self._table.where
        return self._reader.row(row, self._of, where, self._missing, faults, understood, plain)
