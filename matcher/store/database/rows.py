"""Rows of a store: its tables with their columns, and reading them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from matcher.materials.reading.names import fold
from matcher.store.database.faults import told
from matcher.store.sheets.columns import GARMENTS, LOTS

# Each table and the column that names a row.
KEYS = {
    "lots": "lot",
    "garments": "garment",
    "works": "id",
    "claims": "id",
    "used": "id",
    "swatches": "id",
    "decisions": "lot",
}


class Rows:
    """Reading an open store; changing it is an action of `Store`."""

    def __init__(self, path: Path, db: sqlite3.Connection) -> None:
        self.path, self._db = path, db

    def lots(self) -> list[dict[str, str]]:
        """Cells of the lots as the sheet writes them, in order of their names; an empty cell is ""."""
        return self._cells("lots", LOTS.typed)

    def garments(self) -> list[dict[str, str]]:
        """Cells of the garments as the sheet writes them, in order of their names; an empty cell is ""."""
        return self._cells("garments", GARMENTS.typed)

    def _cells(self, table: str, columns: tuple[str, ...]) -> list[dict[str, str]]:
        wanted = ", ".join(f'"{one}"' for one in columns)
        with told(self.path):
            found = self._db.execute(f"SELECT {wanted} FROM {table} ORDER BY {KEYS[table]}")
            # As many values as columns were asked for; a check of it for each of 50,000 rows is felt.
            return [dict(zip(columns, row)) for row in found]  # noqa: B905

    def rows(self, table: str) -> list[dict[str, Any]]:
        """All columns of every row of a table, in order of its key."""
        return self.select(f"SELECT * FROM {table} ORDER BY {KEYS.get(table, 'rowid')}")

    def select(self, query: str, *values: object) -> list[dict[str, Any]]:
        """Rows of a query of our own."""
        with told(self.path):
            return [dict(row) for row in self._db.execute(query, values)]

    def raw(self, query: str) -> list[dict[str, Any]]:
        """The same with the database's own errors, for those that want to tell them apart."""
        return [dict(row) for row in self._db.execute(query)]

    def row(self, table: str, key: str | int) -> dict[str, Any] | None:
        """The row of that key, or None."""
        found = self.select(f"SELECT * FROM {table} WHERE {KEYS[table]} = ?", key)
        return found[0] if found else None

    def named(self, table: str, name: str) -> dict[str, Any] | None:
        """The lot or garment of that name, whatever its case; a lot also by its short code."""
        found = self.select(f"SELECT * FROM {table} WHERE folded = ?", fold(name))
        if not found and table == "lots":
            found = self.select("SELECT * FROM lots WHERE code = ?", name.strip().upper())
        return found[0] if found else None

    @contextmanager
    def reading(self) -> Iterator[None]:
        """Several questions to one and the same state, whatever others write meanwhile."""
        with told(self.path):
            self._db.execute("BEGIN")
            try:
                yield
            finally:
                self._db.execute("ROLLBACK")
