"""Writing files so that none is ever half written."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.reason import Field, reason
from matcher.store.changes import changing
from matcher.store.under_way import give_rights


def write_files(contents: Mapping[Path, bytes]) -> None:
    """Write files: all are written beside their places first and put there at the end, so that none is half written.

    Raises BadInput when a place cannot be written to.
    """
    waiting: list[tuple[str, Path]] = []
    try:
        for path, data in contents.items():
            handle, name = tempfile.mkstemp(prefix=".matcher-", dir=path.parent)
            waiting.append((name, path))
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(name, 0o666 & ~_umask())
            give_rights(Path(name), path)
        with changing(*contents):
            for name, path in waiting:
                os.replace(name, path)
    except OSError as fault:
        what = reason("{file} cannot be written ({why})", file=str(path), why=fault.strerror or "no reason given")
        raise BadInput(what, Field("files"), reason("check folder and name")) from None
    finally:
        for name, _ in waiting:
            if os.path.exists(name):
                os.unlink(name)


def write_out(contents: Mapping[Path, bytes], *, replace: bool = False) -> tuple[Path, ...]:
    """Write files with the folders that they need; returns their paths.

    Raises BadInput when a place cannot be written, or holds something else and `replace` is not set.
    """
    for path, data in contents.items():
        if not replace and path.exists() and not _holds(path, data):
            todo = reason("name another, or give {field}", field=Field("replace"))
            raise BadInput(reason("there is a file already, with other content"), str(path), todo)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except (OSError, ValueError) as error:
            why = (getattr(error, "strerror", None) or "unwritable").lower()
            what = reason("the file cannot be written ({why})", why=why)
            raise BadInput(what, str(path), reason("choose another place")) from None
    write_files(contents)
    return tuple(contents)


def _holds(path: Path, data: bytes) -> bool:
    try:
        return path.is_file() and path.read_bytes() == data
    except OSError:
        return False


def _umask() -> int:
    """What a new file's rights leave out here; a temporary file has the narrowest rights of all."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
