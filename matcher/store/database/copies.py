"""Where the dated copies of a store lie."""

from __future__ import annotations

import re
from pathlib import Path

_NAME = re.compile(r"\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d(?:-\d\d)?(?: copy (\d{1,9}))? before .*\.sqlite")


def copies_folder(path: Path) -> Path:
    """Where the copies of a store lie: `bin.sqlite` has them in `bin copies`."""
    return path.with_name(f"{path.stem} copies")


def copies_of(path: Path) -> list[Path]:
    """Its copies, the first one made first: by their numbers, since a clock may be set back."""
    return [copy for _, _, copy in _numbered(copies_folder(path))]


def last_number(folder: Path) -> int:
    """The number of the copy that was made last; 0 where none has a number yet."""
    return max((number for number, _, _ in _numbered(folder)), default=0)


def _numbered(folder: Path) -> list[tuple[int, str, Path]]:
    """Number, name and place of each copy. Those of earlier versions have a time alone, and count as 0."""
    try:
        named = [(_NAME.fullmatch(one.name), one) for one in folder.iterdir()]
    except OSError:
        return []
    return sorted((int(matched[1] or 0), one.name, one) for matched, one in named if matched)
