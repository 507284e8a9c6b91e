"""The store's schema: numbered migrations, each one transaction, recorded in the file itself.

A migration is a file `migrations/NNNN_name.sql`. One that drops or renames a column must do the same to the row
images in `journal`, so that undo reaches back beyond it; a column that is added needs a default and nothing more.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Sequence
from contextlib import closing
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


Object = tuple[str, str, str]  # its kind, its name, and the statement that made it


@lru_cache(maxsize=8)
def known_schema(steps: tuple[Migration, ...]) -> frozenset[Object]:
    """What a file holds that went through these steps, and nothing else."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        migrate(db, steps)
        return frozenset(_objects(db))


def strange_objects(db: sqlite3.Connection, steps: Sequence[Migration]) -> list[tuple[str, str]]:
    """Kind and name of each object of a file that is not what these steps make, or is missing.

    A store may come from anywhere: its own triggers, views and checks would run with her commands. Nothing of it but
    this list is read before it is looked at.
    """
    known, held = known_schema(tuple(steps)), set(_objects(db))
    # What was put in comes before what is missing or made otherwise.
    differ = (*sorted(held - known, reverse=True), *sorted(known - held))
    return list(dict.fromkeys((kind, name) for kind, name, _ in differ))


def _objects(db: sqlite3.Connection) -> list[Object]:
    """Spaces and line ends count for nothing; bytes that are no text for what they are."""
    usual, db.text_factory = db.text_factory, lambda raw: raw.decode("utf-8", "backslashreplace")
    try:
        found = db.execute("SELECT type, name, sql FROM sqlite_schema").fetchall()
    finally:
        db.text_factory = usual
    return [(str(kind), str(name), " ".join(str(sql or "").split())) for kind, name, sql in found]


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
