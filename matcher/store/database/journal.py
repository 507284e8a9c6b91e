"""What was done, row by row, before and after; and how it is undone, the last action first."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from datetime import datetime
from typing import Any

Image = tuple[str, dict[str, Any] | None, dict[str, Any] | None]  # table, row before, row after


def record(db: sqlite3.Connection, words: str, images: Sequence[Image], now: datetime) -> None:
    """Write an action down, inside its own transaction; one that changed nothing leaves no trace."""
    if not images:
        return
    done = db.execute("INSERT INTO actions (words, done_at) VALUES (?, ?)", (words, f"{now:%Y-%m-%dT%H:%M:%S}"))
    db.executemany(
        "INSERT INTO journal (action, of_table, before, after) VALUES (?, ?, ?, ?)",
        [(done.lastrowid, table, _text(before), _text(after)) for table, before, after in images],
    )


def _text(image: dict[str, Any] | None) -> str | None:
    return None if image is None else json.dumps(image, ensure_ascii=False, separators=(",", ":"))


def done_actions(db: sqlite3.Connection, most: int) -> list[tuple[int, str, str]]:
    """Number, time and words of the last actions, the last one first."""
    found = db.execute("SELECT id, done_at, words FROM actions ORDER BY id DESC LIMIT ?", (most,))
    return [(int(row[0]), str(row[1]), str(row[2])) for row in found]


def take_back(db: sqlite3.Connection, action: int, keys: dict[str, str]) -> None:
    """Put every row back as it was before that action, and forget it; inside a transaction of the caller's.

    keys: the column that names a row of each table. Only the last action may be taken back.
    """
    lines = db.execute(
        "SELECT of_table, before, after FROM journal WHERE action = ? ORDER BY id DESC", (action,)
    ).fetchall()
    for table, before_text, after_text in lines:
        key = keys[table]
        before, after = json.loads(before_text or "null"), json.loads(after_text or "null")
        if before is None:
            db.execute(f"DELETE FROM {table} WHERE {key} = ?", (after[key],))
        elif after is None:
            columns = ", ".join(f'"{one}"' for one in before)
            marks = ", ".join("?" * len(before))
            db.execute(f"INSERT INTO {table} ({columns}) VALUES ({marks})", tuple(before.values()))
        else:
            sets = ", ".join(f'"{one}" = ?' for one in before)
            db.execute(f"UPDATE {table} SET {sets} WHERE {key} = ?", (*before.values(), after[key]))
    db.execute("DELETE FROM journal WHERE action = ?", (action,))
    db.execute("DELETE FROM actions WHERE id = ?", (action,))
