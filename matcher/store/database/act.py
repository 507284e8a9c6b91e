"""An action on the store under way: rows added, changed and taken out, each remembered as it was for undo."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from matcher.errors import BadInput
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Words, reason
from matcher.store.codes import code_of
from matcher.store.database.rows import KEYS, NAMED, Rows


class Act:
    """An action under way. What is worked out of the cells (folded names, grams as a number, codes) is set here."""

    def __init__(self, store: Rows, db: sqlite3.Connection, words: Words) -> None:
        self.store, self._db, self.words = store, db, words
        self.now = datetime.now()
        self.images: list[tuple[str, dict[str, Any] | None, dict[str, Any] | None]] = []

    @property
    def today(self) -> str:
        return f"{self.now:%Y-%m-%d}"

    def insert(self, table: str, values: Mapping[str, Any]) -> int:
        """Add a row; returns its row number, which is its key where that is a number."""
        whole = {**values, **self._worked_out(table, values, {})}
        columns = ", ".join(f'"{one}"' for one in whole)
        marks = ", ".join("?" * len(whole))
        done = self._db.execute(f"INSERT INTO {table} ({columns}) VALUES ({marks})", tuple(whole.values()))
        row = int(done.lastrowid or 0)
        after = self._db.execute(f"SELECT * FROM {table} WHERE rowid = ?", (row,)).fetchone()
        self.images.append((table, None, dict(after)))
        return row

    def update(self, table: str, key: str | int, values: Mapping[str, Any]) -> None:
        """Change a row; nothing happens when all its values are so already."""
        before = self._row(table, key)
        wanted = {**values, **self._worked_out(table, values, before)}
        changed = {name: value for name, value in wanted.items() if before[name] != value}
        if not changed:
            return
        sets = ", ".join(f'"{one}" = ?' for one in changed)
        self._db.execute(f"UPDATE {table} SET {sets} WHERE {KEYS[table]} = ?", (*changed.values(), key))
        self.images.append((table, before, {**before, **changed}))
        if table in NAMED and changed.get(KEYS[table]):
            for written in self._written(table, key):
                self.update("written", written, {"name": changed[KEYS[table]]})

    def delete(self, table: str, key: str | int) -> None:
        """Take a row out; a decision about a lot, and what she wrote of it, go with the lot."""
        before = self._row(table, key)
        for written in self._written(table, key):
            self.delete("written", written)
        if table == "lots" and self.store.row("decisions", key):
            self.delete("decisions", key)
        self._db.execute(f"DELETE FROM {table} WHERE {KEYS[table]} = ?", (key,))
        self.images.append((table, before, None))

    def _written(self, table: str, name: str | int) -> list[int]:
        """Rows of what she wrote of a lot or garment."""
        if table not in NAMED:
            return []
        found = self.store.select("SELECT id FROM written WHERE sheet = ? AND name = ? ORDER BY id", table, name)
        return [row["id"] for row in found]

    def _row(self, table: str, key: str | int) -> dict[str, Any]:
        found = self.store.row(table, key)
        if found is None:
            what = reason('{table} has no row "{key}"', table=table, key=key)
            raise BadInput(what, str(self.store.path), reason("nothing was changed"))
        return found

    def _worked_out(self, table: str, values: Mapping[str, Any], before: Mapping[str, Any]) -> dict[str, Any]:
        """What follows from the cells that are written. before: the row as it is, empty for a new one."""
        found: dict[str, Any] = {}
        if table in NAMED:
            key = KEYS[table]
            if key in values:
                found["folded"] = fold(values[key])
        if table == "lots":
            if values.keys() & {"grams", "ball_grams", "ball_metres"}:
                from matcher.store.weights import weight_g

                found["mass_g"] = weight_g({**before, **values})
            if "garment" in values:
                found["of_garment"] = fold(values["garment"]) or None
            if not before and "code" not in values:
                found["code"] = code_of(values["lot"], _Taken(self._db))
        return found


class _Taken:
    """The codes that lots have already."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db

    def __contains__(self, code: object) -> bool:
        return self._db.execute("SELECT 1 FROM lots WHERE code = ?", (code,)).fetchone() is not None
