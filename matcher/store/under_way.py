"""Files under way: begun where nothing lies, for their owner's eyes; at the end with the rights of what they follow."""

from __future__ import annotations

import os
import stat
import time
from contextlib import suppress
from pathlib import Path
from tempfile import mkstemp

_ABANDONED_S = 3600.0  # nothing here takes an hour: what is older was left by a run that was killed


def begin_file(folder: Path, begins: str) -> Path:
    """An empty file that its owner alone may read, of a name that nobody can guess. Raises OSError."""
    handle, name = mkstemp(prefix=begins, dir=folder)
    os.close(handle)
    return Path(name)


def begin_folder(path: Path, of: Path) -> None:
    """A folder for files like another: who may read that one may look into it. One that is there stays as it is."""
    if path.is_dir():
        return
    path.mkdir(mode=0o700)
    told = of.stat()
    readers = told.st_mode & 0o044
    _give(path, told, stat.S_IRWXU | readers | readers >> 2)


def give_rights(path: Path, of: Path) -> None:
    """Let a file belong to whom another belongs, with the same rights; as it is where there is no other."""
    with suppress(FileNotFoundError):
        told = of.stat()
        _give(path, told, stat.S_IMODE(told.st_mode))


def _give(path: Path, told: os.stat_result, mode: int) -> None:
    if hasattr(os, "chown"):  # before the mode, which it may clear; only one who may give files away does so
        with suppress(OSError):
            os.chown(path, told.st_uid, told.st_gid)
    with suppress(OSError):  # a disk without rights
        os.chmod(path, mode)


def sweep(folder: Path, begins: str) -> None:
    """Take away what killed runs left under way in a folder, by how its names begin."""
    with suppress(OSError):
        for one in folder.iterdir():
            if one.name.startswith(begins) and time.time() - one.lstat().st_mtime > _ABANDONED_S and not one.is_dir():
                one.unlink(missing_ok=True)
