"""Wishes out of a store, as she wrote them; quickly, since every command asks."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

from matcher.store.database.schema import migrations
from matcher.store.database.store import is_store, store_path
from matcher.store.places import to_read


def written_wishes(bin: Path | None = None) -> Mapping[str, str]:
    """The wishes of a store by name; nothing where a bin is in sheets, or cannot be read.

    bin : None is her own store. A store of an earlier version has none; one with a fault is told of by whatever opens
    it to work on it.
    """
    try:
        path = store_path() if bin is None else to_read(bin)
        if not is_store(path):
            return {}
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as db:
            if db.execute("PRAGMA user_version").fetchone()[0] != migrations()[-1].version:
                return {}
            db.execute("PRAGMA trusted_schema = OFF")
            return {str(wish): str(wanted) for wish, wanted in db.execute("SELECT wish, wanted FROM wishes")}
    except (OSError, ValueError, sqlite3.Error):
        return {}
