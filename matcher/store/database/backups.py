"""Dated copies of a store, in a folder beside it: made before every migration and intake, the last ten kept."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.reason import reason
from matcher.store.database.copies import copies_folder, copies_of, last_number
from matcher.store.database.faults import system_words, told
from matcher.store.under_way import begin_file, begin_folder, give_rights, sweep

KEPT = 10
_UNDER_WAY = ".under-way-"


def back_up(db: sqlite3.Connection, path: Path, before: str, now: datetime | None = None) -> Path:
    """Copy a whole store as it stands, and drop all but the last ten copies; returns the new one.

    before: what is about to happen, such as "intake". It appears under its name only when it is complete, and who may
    read the store may read it. Raises BadInput when the folder cannot be written to: then what is about to happen
    should not.
    """
    folder = copies_folder(path)
    stamp = f"{now or datetime.now():%Y-%m-%d %H.%M.%S}"
    unfinished: Path | None = None
    with told(path):
        try:
            begin_folder(folder, path)
            sweep(folder, _UNDER_WAY)
            unfinished = begin_file(folder, _UNDER_WAY)
            with closing(sqlite3.connect(unfinished)) as copy:
                db.backup(copy)
                # One file alone, which can be carried away.
                copy.execute("PRAGMA journal_mode = DELETE")
            give_rights(unfinished, path)
            target = _put(unfinished, folder, stamp, before)
        except OSError as error:
            what = reason("no copy could be made, so nothing was begun")
            raise BadInput(what, str(folder), system_words(error)) from None
        finally:
            if unfinished is not None:
                with suppress(OSError):
                    unfinished.unlink()
    for old in copies_of(path)[:-KEPT]:
        old.unlink(missing_ok=True)
    return target


def _put(unfinished: Path, folder: Path, stamp: str, before: str) -> Path:
    """Give a copy its name, which nothing has yet. Numbers go on whatever the clock says."""
    number = last_number(folder)
    while True:
        number += 1
        target = folder / f"{stamp} copy {number} before {before}.sqlite"
        try:
            os.link(unfinished, target)
        except FileExistsError:  # another program was quicker
            continue
        except OSError:  # a disk without links
            os.replace(unfinished, target)
        return target
