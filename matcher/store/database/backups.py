"""Dated copies of a store, in a folder beside it: made before every migration and intake, the last ten kept."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.reason import reason
from matcher.store.database.copies import copies_folder, copies_of
from matcher.store.database.faults import system_words, told

KEPT = 10


def back_up(db: sqlite3.Connection, path: Path, before: str, now: datetime | None = None) -> Path:
    """Copy a whole store as it stands, and drop all but the last ten copies; returns the new one.

    before: what is about to happen, such as "intake". It appears under its name only when it is complete. Raises
    BadInput when the folder cannot be written to: then what is about to happen should not.
    """
    folder = copies_folder(path)
    stamp = f"{now or datetime.now():%Y-%m-%d %H.%M.%S}"
    unfinished = folder / f".{stamp} {os.getpid()}"
    with told(path):
        try:
            folder.mkdir(exist_ok=True)
            with closing(sqlite3.connect(unfinished)) as copy:
                db.backup(copy)
                # One file alone, which can be carried away.
                copy.execute("PRAGMA journal_mode = DELETE")
            number, target = 1, folder / f"{stamp} before {before}.sqlite"
            while target.exists():
                number += 1
                target = folder / f"{stamp}-{number:02d} before {before}.sqlite"
            os.replace(unfinished, target)
        except OSError as error:
            what = reason("no copy could be made, so nothing was begun")
            raise BadInput(what, str(folder), system_words(error)) from None
        finally:
            with suppress(OSError):
                unfinished.unlink()
    for old in copies_of(path)[:-KEPT]:
        old.unlink(missing_ok=True)
    return target
