"""Reading and writing files: only plain ones, nothing endless; written whole or not at all, and nothing destroyed."""

from __future__ import annotations

import errno
import os
import shutil
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.reason import Field, Words, reason
from matcher.store.changes import changing
from matcher.store.promised import OUT_BEGINS, Promise, keep_promises
from matcher.store.under_way import begin_file, give_rights, sweep

_SOLID = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)  # so that a pipe is opened at once, and then refused


def read_file(path: Path, most: int) -> bytes:
    """A plain file's bytes, of which there may be `most`.

    Raises OSError: for a pipe or a device, which could give bytes without end, and for a larger file, too.
    """
    with os.fdopen(os.open(path, os.O_RDONLY | _SOLID), "rb") as file:
        mode = os.fstat(file.fileno()).st_mode
        if stat.S_ISDIR(mode):
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if not stat.S_ISREG(mode):
            raise OSError(errno.EINVAL, "a pipe or a device, not a file")
        data = file.read(most + 1)
    if len(data) > most:
        raise OSError(errno.EFBIG, "too large for a file of its kind")
    return data


def write_out(contents: Mapping[Path, bytes], *, replace: bool = False) -> tuple[Path, ...]:
    """Write files with the folders that they need, all of them or none; returns their paths.

    Everything is checked first, written beside its place, and put there at the end; what goes wrong then is undone, and
    what a killed run leaves half done is finished by the next one that writes or reads sheets there. A file that is
    replaced keeps its rights. Raises BadInput when a place cannot be written to, is a link, a folder or a device, or
    holds something else and `replace` is not set.
    """
    for folder in {path.parent for path in contents}:
        keep_promises(folder)
    for path, data in contents.items():
        _refuse(path, data, replace)
    waiting: list[tuple[Path, Path]] = []
    with _folders(contents):
        try:
            for path, data in contents.items():
                with _told(path):
                    sweep(path.parent, OUT_BEGINS)
                    waiting.append((begin_file(path.parent, OUT_BEGINS), path))
                    _fill(waiting[-1][0], data, path)
            with changing(*contents):
                _put(waiting)
        finally:
            for name, _ in waiting:
                name.unlink(missing_ok=True)
    return tuple(contents)


def may_write(path: Path) -> None:
    """Refuse a link, a folder or a device before the work that a file's content takes. Raises BadInput."""
    _refuse(path, b"", True)


def _refuse(path: Path, data: bytes, replace: bool) -> None:
    with _told(path):
        try:
            mode = path.lstat().st_mode
        except (FileNotFoundError, NotADirectoryError):
            return
    what: Words = ""
    todo = reason("name a file of its own")
    if stat.S_ISLNK(mode):
        what, todo = reason("this is a link, and what it leads to is left alone"), reason("name the file itself")
    elif stat.S_ISDIR(mode):
        what = reason("this is a folder")
    elif not stat.S_ISREG(mode):
        what = reason("this is a pipe or a device, not a file")
    elif not replace and not _holds(path, data):
        what = reason("this file exists already, with other content")
        todo = reason("name another, or give {field}", field=Field("replace"))
    if what:
        raise BadInput(what, str(path), todo)


def _holds(path: Path, data: bytes) -> bool:
    try:
        return read_file(path, len(data)) == data
    except OSError:
        return False


@contextmanager
def _folders(contents: Mapping[Path, bytes]) -> Iterator[None]:
    """The folders that are needed; those that were made go again when nothing comes of the files."""
    made: list[Path] = []
    try:
        for path in contents:
            with _told(path):
                missing = [one for one in path.parents if not one.exists()]
                path.parent.mkdir(parents=True, exist_ok=True)
                made += reversed(missing)
        yield
    except BaseException:
        for folder in reversed(made):
            with suppress(OSError):
                folder.rmdir()
        raise


def _fill(name: Path, data: bytes, path: Path) -> None:
    with name.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    os.chmod(name, 0o666 & ~_umask())
    give_rights(name, path)


def _put(waiting: list[tuple[Path, Path]]) -> None:
    """Put files in their places; when one cannot be, those before it become again what they were."""
    put: list[tuple[Path, Path | None]] = []
    with _told(waiting[0][1].parent if waiting else Path()):
        promise = Promise(waiting)
    try:
        for name, path in waiting:
            with _told(path):
                old = _kept(path, name)
                os.replace(name, path)
                put.append((path, old))
        promise.end()
    except BaseException:
        promise.end()
        for path, old in put:
            with suppress(OSError):
                path.unlink() if old is None else os.replace(old, path)
        raise
    finally:
        for name, _ in waiting:
            _old(name).unlink(missing_ok=True)


def _kept(path: Path, name: Path) -> Path | None:
    """What stands in the place now, under another name as well; None for nothing."""
    try:
        os.link(path, _old(name))
    except FileNotFoundError:
        return None
    except OSError:  # a disk without links
        shutil.copy2(path, _old(name))
    return _old(name)


def _old(name: Path) -> Path:
    return name.with_name(f"{name.name}-old")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except (OSError, ValueError) as fault:
        why = (getattr(fault, "strerror", None) or "unwritable").lower()
        what = reason("the file can't be written ({why})", why=why)
        raise BadInput(what, str(path), reason("choose another place")) from None


def _umask() -> int:
    """What a new file's rights leave out here; a temporary file has the narrowest rights of all."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
