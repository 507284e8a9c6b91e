"""What can be wrong with a store as a file, each in one sentence: what, where, what to do."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from matcher.errors import BadInput, MatcherError, NotFound
from matcher.reasons.reason import Action, Field, Words, listed, reason
from matcher.store.database.copies import copies_of

_MOST_TOLD = 5
HEADER = b"SQLite format 3\x00"
APPLICATION_ID = 0x6D746368  # "mtch"; stands in the file's header, so that another program's file is known as such


def header_of(path: Path) -> tuple[int, int] | None:
    """Application id and schema version from the file's header; None when it is no SQLite file."""
    try:
        if not path.is_file():  # a pipe would be waited for
            return None
        with path.open("rb") as file:
            head = file.read(100)
    except (OSError, ValueError):
        return None
    if len(head) < 100 or not head.startswith(HEADER):
        return None
    return int.from_bytes(head[68:72], "big"), int.from_bytes(head[60:64], "big")


def refuse(path: Path, newest: int) -> None:
    """Refuse what is no store that this version can work with."""
    where = str(path)
    try:
        exists, is_folder = path.exists(), path.is_dir()
    except (OSError, ValueError):  # a name too long for the disk
        exists = is_folder = False
    if not exists:
        begin = reason("{add} and {intake} begin one", add=Action("add"), intake=Action("intake"))
        raise NotFound(reason("there is no store yet"), where, todo=begin)
    if is_folder:
        todo = reason("take it in with {intake} {path}, then work on", intake=Action("intake"), path=where)
        raise BadInput(reason("a folder is a bin on paper, not a store"), where, todo)
    if not path.is_file():
        todo = reason("give a file, such as bin.sqlite")
        raise BadInput(reason("this file can't hold a store"), where, todo)
    try:
        with path.open("rb") as file:
            size = len(file.read(100))
    except OSError as error:
        todo = reason("{why}: check its permissions", why=system_words(error))
        raise BadInput(reason("the store can't be read"), where, todo) from None
    head = header_of(path)
    if head is None:
        what = reason("the file is empty") if size == 0 else reason("the file isn't a store")
        raise BadInput(what, where, reason("give the store's own file, or another name and a new one is begun"))
    application, version = head
    if application != APPLICATION_ID:
        todo = reason("it was left as it is; give the store's own file")
        raise BadInput(reason("the file belongs to another program"), where, todo)
    if version > newest:
        later = "the store was written by a later version of matcher (its schema is {theirs}, this one knows {ours})"
        todo = reason("bring matcher up to date; nothing was changed")
        raise BadInput(reason(later, theirs=version, ours=newest), where, todo)


def is_marked_read_only(path: Path) -> bool:
    """Whether the file or its folder may not be written to; a file marked so counts, whoever runs this."""
    try:
        return not path.stat().st_mode & 0o222 or not os.access(path, os.W_OK) or not os.access(path.parent, os.W_OK)
    except OSError:
        return False


def system_words(error: OSError) -> str:
    """What the system says about a file that it cannot give or write."""
    return (error.strerror or "it can't be read or written to").lower()


def read_only(path: Path) -> BadInput:
    """The message for a file that may not be written to."""
    todo = "nothing was changed; allow writing to the file and its folder, or work on a copy ({field})"
    return BadInput(reason("the store is read-only"), str(path), reason(todo, field=Field("store")))


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what the database says into one of our errors."""
    try:
        yield
    except sqlite3.Error as error:
        raise _told(error, path) from None
    except UnicodeDecodeError:  # an error of the database that names what it cannot read
        raise damaged(path) from None
    except UnicodeEncodeError:
        what = reason("a name or a note holds something that isn't text")
        raise BadInput(what, str(path), reason("type it again")) from None


def _told(error: sqlite3.Error, path: Path) -> MatcherError:
    # Extended codes carry the plain one in their lowest byte.
    code = getattr(error, "sqlite_errorcode", 0) or 0
    plain, where = code & 0xFF, str(path)
    if str(error).startswith("Could not decode"):  # Python's own words; they have no code
        return damaged(path, reason("a cell holds something that isn't text"))
    if plain in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        todo = reason("nothing was changed; wait until that is done, then try again")
        return BadInput(reason("the store is in use by another program"), where, todo)
    if code in (sqlite3.SQLITE_IOERR_READ, sqlite3.SQLITE_IOERR_SHORT_READ, sqlite3.SQLITE_IOERR_CORRUPTFS):
        return damaged(path)
    if plain in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR):
        todo = reason("nothing was changed; make room and try again")
        return BadInput(reason("the disk is full or can't be written to"), where, todo)
    if plain in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM):
        return read_only(path)
    if plain in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return damaged(path)
    if plain == sqlite3.SQLITE_CANTOPEN:
        todo = reason("check the permissions of the file and its folder")
        return BadInput(reason("the store can't be opened"), where, todo)
    looks = reason("{verify} looks it over", verify=Action("verify"))
    if plain == sqlite3.SQLITE_CONSTRAINT:
        what = reason("the store refused it ({error})", error=str(error))
        return BadInput(what, where, reason("nothing was changed; {looks}", looks=looks))
    return BadInput(reason("the store can't be used ({error})", error=str(error)), where, looks)


def damaged(path: Path, how: Words = "") -> BadInput:
    """The message for a file that cannot be what the program wrote, with the last dated copy when there is one."""
    what = reason("the store is damaged: {how}", how=how) if how else reason("the store is damaged")
    return BadInput(what, str(path), _put_copy(path))


def _put_copy(path: Path) -> Words:
    copies = copies_of(path)
    if copies:
        return reason("put its last copy in its place: {copy}", copy=str(copies[-1]))
    return reason("put a copy of your own in its place")


def changed_elsewhere(path: Path, objects: Sequence[tuple[str, str]]) -> BadInput:
    """The message for a file whose tables are not the program's own: kind and name of each that differs."""
    named: list[Words] = [f"{kind} {name}" for kind, name in objects[:_MOST_TOLD]]
    if len(objects) > _MOST_TOLD:
        named.append(reason("{n} more", n=len(objects) - _MOST_TOLD))
    what = "the store was damaged, or changed by something other than matcher: {named}"
    todo = reason("nothing was read from it; {copy}", copy=_put_copy(path))
    return BadInput(reason(what, named=listed(named, "and")), str(path), todo)
