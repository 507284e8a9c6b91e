"""What can be wrong with a store as a file, each in one sentence: what, where, what to do."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from matcher.errors import BadInput, MatcherError, NotFound

HEADER = b"SQLite format 3\x00"
APPLICATION_ID = 0x6D746368  # "mtch"; stands in the file's header, so that another program's file is known as such


def header_of(path: Path) -> tuple[int, int] | None:
    """Application id and schema version from the file's header; None when it is no SQLite file."""
    try:
        with path.open("rb") as file:
            head = file.read(100)
    except (OSError, ValueError):
        return None
    if len(head) < 100 or not head.startswith(HEADER):
        return None
    return int.from_bytes(head[68:72], "big"), int.from_bytes(head[60:64], "big")


def refuse(path: Path, newest: int) -> None:
    """Refuse what is no store that this version can work with."""
    try:
        exists, is_folder = path.exists(), path.is_dir()
    except (OSError, ValueError):  # a name too long for the disk
        exists = is_folder = False
    if not exists:
        raise NotFound("there is no store yet", str(path), todo="matcher add and matcher intake begin one")
    if is_folder:
        raise BadInput(
            "a folder is a bin on paper, not a store", str(path), f"take it in with matcher intake {path}, then work on"
        )
    if not path.is_file():
        raise BadInput("this is no file that can hold a store", str(path), "give a file, such as bin.sqlite")
    try:
        with path.open("rb") as file:
            size = len(file.read(100))
    except OSError as error:
        raise BadInput(
            "the store cannot be read", str(path), f"{(error.strerror or 'unreadable').lower()}: see to its permissions"
        ) from None
    head = header_of(path)
    if head is None:
        what = "the file is empty" if size == 0 else "the file is no store"
        raise BadInput(what, str(path), "give the store's own file, or another name and a new one is begun")
    application, version = head
    if application != APPLICATION_ID:
        raise BadInput(
            "the file belongs to another program", str(path), "it was left as it is; give the store's own file"
        )
    if version > newest:
        raise BadInput(
            f"the store was written by a later version of matcher (its schema is {version}, this one knows {newest})",
            str(path),
            "bring matcher up to date; nothing was changed",
        )


def is_marked_read_only(path: Path) -> bool:
    """Whether the file or its folder may not be written to; a file marked so counts, whoever runs this."""
    try:
        return not path.stat().st_mode & 0o222 or not os.access(path, os.W_OK) or not os.access(path.parent, os.W_OK)
    except OSError:
        return False


def read_only(path: Path) -> BadInput:
    return BadInput(
        "the store is read-only",
        str(path),
        "nothing was changed; allow writing to the file and its folder, or work on a copy with --bin",
    )


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what the database says into one of our errors."""
    try:
        yield
    except sqlite3.Error as error:
        raise _told(error, path) from None
    except UnicodeEncodeError:
        raise BadInput("a name or a note holds what is no letter", str(path), "type it again") from None


def _told(error: sqlite3.Error, path: Path) -> MatcherError:
    # Extended codes carry the plain one in their lowest byte.
    code = getattr(error, "sqlite_errorcode", 0) or 0
    plain, where = code & 0xFF, str(path)
    if plain in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return BadInput(
            "the store is in use by another program", where, "nothing was changed; wait until that is done, try again"
        )
    if code in (sqlite3.SQLITE_IOERR_READ, sqlite3.SQLITE_IOERR_SHORT_READ, sqlite3.SQLITE_IOERR_CORRUPTFS):
        return damaged(path)
    if plain in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR):
        return BadInput(
            "the disk is full or cannot be written to", where, "nothing was changed; make room and try again"
        )
    if plain in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM):
        return read_only(path)
    if plain in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return damaged(path)
    if plain == sqlite3.SQLITE_CANTOPEN:
        return BadInput("the store cannot be opened", where, "see to the permissions of the file and its folder")
    if plain == sqlite3.SQLITE_CONSTRAINT:
        return BadInput(f"the store refused it ({error})", where, "nothing was changed; matcher verify looks it over")
    return BadInput(f"the store cannot be used ({error})", where, "matcher verify looks it over")


def damaged(path: Path) -> BadInput:
    """The message for a file with broken pages, with the last dated copy when there is one."""
    from matcher.store.database.backups import copies_of

    copies = copies_of(path)
    todo = f"put its last copy in its place: {copies[-1]}" if copies else "put a copy of your own in its place"
    return BadInput("the store is damaged", str(path), todo)
