"""Where the dated copies of a store lie."""

from __future__ import annotations

import re
from pathlib import Path

_NAME = re.compile(r"\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d(?:-\d\d)? before .*\.sqlite")


def copies_folder(path: Path) -> Path:
    """Where the copies of a store lie: `bin.sqlite` has them in `bin copies`."""
    return path.with_name(f"{path.stem} copies")


def copies_of(path: Path) -> list[Path]:
    """Its copies, oldest first."""
    folder = copies_folder(path)
    try:
        return sorted(one for one in folder.iterdir() if _NAME.fullmatch(one.name))
    except OSError:
        return []
