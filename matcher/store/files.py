"""Writing files so that none is ever half written."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from matcher.errors import BadInput


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
        for name, path in waiting:
            os.replace(name, path)
    except OSError as fault:
        raise BadInput(
            f"{path} cannot be written ({fault.strerror or 'no reason given'})", "files", "check folder and name"
        ) from None
    finally:
        for name, _ in waiting:
            if os.path.exists(name):
                os.unlink(name)


def _umask() -> int:
    """What a new file's rights leave out here; a temporary file has the narrowest rights of all."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
