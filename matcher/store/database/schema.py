"""The store's schema: numbered migrations, each one transaction, recorded in the file itself.

A migration is a file `migrations/NNNN_name.sql`. One that drops or renames a column must do the same to the row
images in `journal`, so that undo reaches back beyond it; a column that is added needs a default and nothing more.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import Path

from matcher.store.database.faults import APPLICATION_ID

_FILE = re.compile(r"(\d{4})_(\w+)\.sql")


@dataclass(frozen=True)
class Migration:
    """One step from the version before it: its number, name and statements."""

    version: int
    name: str
    statements: tuple[str, ...]


@lru_cache(maxsize=1)
def migrations() -> tuple[Migration, ...]:
    """Every step, in order; the last one's number is the schema version of this program."""
    found = []
    for path in sorted((Path(__file__).parent / "migrations").iterdir()):
        matched = _FILE.fullmatch(path.name)
        if matched:
            text = path.read_text(encoding="utf-8")
            found.append(Migration(int(matched[1]), matched[2].replace("_", " "), statements_of(text)))
    return tuple(found)


def statements_of(text: str) -> tuple[str, ...]:
    """The statements of a file one by one: run as a script they would not be one transaction."""
    found, begun = [], ""
    for piece in re.split(r"(?<=;)", text):
        begun += piece
        if sqlite3.complete_statement(begun):
            found.append(begun.strip())
            begun = ""
    if re.sub(r"--.*", "", begun).strip():
        raise ValueError(f"a statement without an end: {begun.strip()[:40]}")
    return tuple(found)


def version_of(db: sqlite3.Connection) -> int:
    """The schema version of an open file."""
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def migrate(db: sqlite3.Connection, steps: Sequence[Migration]) -> list[int]:
    """Take a file through every step that it has not had, each all or nothing; returns their numbers."""
    done = []
    for step in steps:
        if version_of(db) >= step.version:
            continue
        db.execute("BEGIN IMMEDIATE")
        try:
            if version_of(db) < step.version:  # another program may have come first
                for statement in step.statements:
                    db.execute(statement)
                db.execute(
                    "INSERT INTO migrations VALUES (?, ?, ?)",
                    (step.version, step.name, f"{datetime.now():%Y-%m-%dT%H:%M:%S}"),
                )
                db.execute(f"PRAGMA user_version = {step.version:d}")
                db.execute(f"PRAGMA application_id = {APPLICATION_ID:d}")
                done.append(step.version)
            db.execute("COMMIT")
        except BaseException:
            if db.in_transaction:
                db.execute("ROLLBACK")
            raise
    return done
