"""Several files put in their places as one: what is promised stands in a list first, and a later run keeps the promise.

Files are put in their places one after the other. Of a run that is killed in between, some would be new and some old;
so the list of all of them is written before the first is moved, and whoever writes or reads there next moves the rest.
Only files of one folder are promised together, and only by plain names: a list from elsewhere reaches nothing outside.
"""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

from matcher.store.under_way import begin_file

OUT_BEGINS = ".matcher-out-"
"""How the names of files begin that wait to be put in their places."""
_BEGINS = ".matcher-plan-"
_MOST_BYTES = 1_000_000  # a choice: thousands of names


class Promise:
    """The lists of what waits, one for each folder with several files; held until they are kept or taken back."""

    def __init__(self, waiting: Iterable[tuple[Path, Path]]) -> None:
        by_folder: dict[Path, list[tuple[str, str]]] = {}
        for name, place in waiting:
            by_folder.setdefault(place.parent, []).append((name.name, place.name))
        self._held: list[tuple[Path, IO[str]]] = []
        for folder, names in by_folder.items():
            if len(names) > 1:
                plan = begin_file(folder, _BEGINS)
                file = plan.open("w", encoding="utf-8")
                self._held.append((plan, file))
                with suppress(OSError):  # a disk without locks
                    _lock(file)
                json.dump(names, file)
                file.flush()
                os.fsync(file.fileno())

    def end(self) -> None:
        """All is in its place, or nothing will be: the lists go."""
        for plan, file in self._held:
            with suppress(OSError):
                plan.unlink(missing_ok=True)
            file.close()
        self._held.clear()


def keep_promises(folder: Path) -> None:
    """Put in their places the files that a killed run had promised in this folder; what is under way is left alone."""
    with suppress(OSError):
        plans = [one for one in folder.iterdir() if one.name.startswith(_BEGINS)]
        for plan in plans:
            with suppress(OSError, ValueError), _abandoned(plan) as names:
                for name, place in names:
                    if _is_file(folder / name) and (_is_file(folder / place) or not os.path.lexists(folder / place)):
                        os.replace(folder / name, folder / place)
                plan.unlink(missing_ok=True)


@contextmanager
def _abandoned(plan: Path) -> Iterator[list[tuple[str, str]]]:
    """The names in a list that nobody holds any more; none in one that was cut off while it was written.

    Raises OSError for one that is held, or that is no file of one's own.
    """
    told = plan.lstat()
    if not stat.S_ISREG(told.st_mode) or (hasattr(os, "getuid") and told.st_uid != os.getuid()):
        raise PermissionError(plan)
    with plan.open(encoding="utf-8") as file:
        _lock(file)
        try:
            listed = json.loads(file.read(_MOST_BYTES))
        except ValueError:
            listed = []
        if not isinstance(listed, list) or not all(map(_is_pair, listed)):
            listed = []
        yield [(name, place) for name, place in listed]


def _is_pair(one: object) -> bool:
    """Two plain names, the first of a file that waits."""
    if not isinstance(one, list) or len(one) != 2 or not all(isinstance(name, str) for name in one):
        return False
    plain = all(name and not set(name) & {"/", "\\", "\0"} and name not in (".", "..") for name in one)
    return plain and one[0].startswith(OUT_BEGINS) and not one[1].startswith(".")


def _is_file(path: Path) -> bool:
    try:
        return stat.S_ISREG(path.lstat().st_mode)
    except OSError:
        return False


def _lock(file: IO[str]) -> None:
    """Hold a list until its file is closed or its process ends. Raises OSError when another process holds it."""
    try:
        import fcntl
    except ImportError:  # a system without such locks: an hour must pass
        import time

        if file.readable() and time.time() - os.fstat(file.fileno()).st_mtime < 3600:
            raise BlockingIOError(file.name) from None
        return
    fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
