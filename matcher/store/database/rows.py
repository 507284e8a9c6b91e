"""Rows of a store: its tables with their columns, and reading them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from matcher.materials.reading.names import fold
from matcher.reasons.reason import Term, reason
from matcher.store.database.faults import damaged, told
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE

LARGEST = 2**63 - 1  # whole number that a store can hold

# Each table and the column that names a row.
KEYS = {
    "lots": "lot",
    "garments": "garment",
    "works": "id",
    "claims": "id",
    "used": "id",
    "swatches": "id",
    "decisions": "lot",
    "written": "id",
    "readings": "id",
    "people": "person",
    "wishes": "wish",
    "opinions": "thing",
}
# Tables of what has a name of its own, and of which she may have written in a sheet.
NAMED = ("lots", "garments", "people")


def can_be(value: object) -> bool:
    """Whether the program may have written this into a store; what cannot be comes from elsewhere, or is damage.

    The bounds of figures are far beyond any yarn, and such that no product of a few of them leaves what a computer can
    count. Bytes that were no text stand as lone surrogates.
    """
    if value is None:
        return True
    if isinstance(value, str):  # most cells are none or text
        return value.isascii() or _is_text(value)
    if isinstance(value, float):
        return value == 0.0 or 1e-30 < abs(value) < 1e12
    return isinstance(value, int) and abs(value) <= LARGEST


def _is_text(value: str) -> bool:
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


class Rows:
    """Reading an open store; changing it is an action of `Store`."""

    def __init__(self, path: Path, db: sqlite3.Connection) -> None:
        self.path, self._db = path, db

    def people(self) -> list[dict[str, str]]:
        """Cells of the people as the sheet writes them, in order of their names; an empty cell is ""."""
        return self._cells("people", PEOPLE.typed)

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
            return [dict(zip(columns, row, strict=True)) for row in found]

    def rows(self, table: str) -> list[dict[str, Any]]:
        """All columns of every row of a table, in order of its key."""
        return self.select(f"SELECT * FROM {table} ORDER BY {KEYS.get(table, 'rowid')}")

    def select(self, query: str, *values: object) -> list[dict[str, Any]]:
        """Rows of a query of our own. Raises BadInput for a figure that the program cannot have written."""
        with told(self.path):
            found = [dict(row) for row in self._db.execute(query, values)]
        first = found[0].items() if found else ()
        for name in [name for name, value in first if value is None or type(value) is float]:
            for row in found:
                if not can_be(row[name]):
                    raise damaged(self.path, reason("{column} is {figure}", column=Term(name), figure=str(row[name])))
        return found

    def columns(self, table: str) -> tuple[str, ...]:
        """The columns of a table."""
        return tuple(row["name"] for row in self.select(f"PRAGMA table_info({table})"))

    def undecoded(self, table: str) -> Iterator[dict[str, Any]]:
        """Rows of a table with their numbers, whatever they hold: bytes that are no text stand as lone surrogates."""
        usual, self._db.text_factory = self._db.text_factory, lambda raw: raw.decode("utf-8", "surrogateescape")
        try:
            for row in self._db.execute(f"SELECT rowid AS rowid, * FROM {table}"):
                yield dict(row)
        finally:
            self._db.text_factory = usual

    def raw(self, query: str) -> list[dict[str, Any]]:
        """The same with the database's own errors, for those that want to tell them apart."""
        return [dict(row) for row in self._db.execute(query)]

    def row(self, table: str, key: str | int) -> dict[str, Any] | None:
        """The row of that key, or None."""
        found = self.select(f"SELECT * FROM {table} WHERE {KEYS[table]} = ?", key)
        return found[0] if found else None

    def named(self, table: str, name: str) -> dict[str, Any] | None:
        """The lot, garment or person of that name, whatever its case; a lot also by its short code."""
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
