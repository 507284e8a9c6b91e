"""What was done, row by row, before and after; and how it is undone, the last action first."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Container, Mapping, Sequence
from datetime import datetime
from typing import Any

from matcher.reasons.reason import Term, Words, reason
from matcher.store.database.rows import KEYS, can_be

Image = tuple[str, dict[str, Any] | None, dict[str, Any] | None]  # table, row before, row after


def record(db: sqlite3.Connection, words: str, images: Sequence[Image], now: datetime, goes_on: str = "") -> None:
    """Write an action down, inside its own transaction; one that changed nothing leaves no trace.

    goes_on: words of the last action, where this one is to be one with it.
    """
    if not images:
        return
    last = done_actions(db, 1)
    number = last[0][0] if goes_on and last and last[0][2] == goes_on else None
    done = db.execute(
        "INSERT OR REPLACE INTO actions (id, words, done_at) VALUES (?, ?, ?)",
        (number, words, f"{now:%Y-%m-%dT%H:%M:%S}"),
    )
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


class BadImage(Exception):
    """A row of the journal that the program cannot have written; `why` tells how that shows."""

    def __init__(self, why: Words) -> None:
        super().__init__(why)
        self.why = why


def image_of(text: str | None, table: str, columns: Mapping[str, Container[str]]) -> dict[str, Any] | None:
    """A row as it was, by its text in the journal; None for none. Names reach SQL from here: only known ones do.

    columns: those of each table. Raises BadImage.
    """
    if table not in columns:
        raise BadImage(reason("it isn't about any table of a store"))
    if text is None:
        return None
    try:
        found = json.loads(text, parse_constant=_refuse)
    except (ValueError, RecursionError):
        raise BadImage(reason("it can't be read")) from None
    if not isinstance(found, dict) or not all(name in columns[table] for name in found) or KEYS[table] not in found:
        raise BadImage(reason("it isn't a row of {table}", table=Term(table)))
    if not all(map(can_be, found.values())):
        raise BadImage(reason("it holds something that no cell can"))
    return found


def _refuse(word: str) -> None:
    raise ValueError(word)


def take_back(db: sqlite3.Connection, action: int, columns: Mapping[str, Container[str]]) -> None:
    """Put every row back as it was before that action, and forget it; inside a transaction of the caller's.

    columns: those of each table. Only the last action may be taken back. Raises BadImage where the journal is damaged.
    """
    lines = db.execute(
        "SELECT of_table, before, after FROM journal WHERE action = ? ORDER BY id DESC", (action,)
    ).fetchall()
    for table, before_text, after_text in lines:
        before, after = (image_of(text, table, columns) for text in (before_text, after_text))
        key = KEYS[table]
        if before is None and after is None:
            raise BadImage(reason("it holds no row"))
        if before is None:
            assert after is not None
            done = db.execute(f"DELETE FROM {table} WHERE {key} = ?", (after[key],))
        elif after is None:
            names = ", ".join(f'"{one}"' for one in before)
            marks = ", ".join("?" * len(before))
            done = db.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(before.values()))
        else:
            sets = ", ".join(f'"{one}" = ?' for one in before)
            done = db.execute(f"UPDATE {table} SET {sets} WHERE {key} = ?", (*before.values(), after[key]))
        if done.rowcount != 1:
            raise BadImage(reason("the row that it changed isn't there"))
    db.execute("DELETE FROM journal WHERE action = ?", (action,))
    db.execute("DELETE FROM actions WHERE id = ?", (action,))
