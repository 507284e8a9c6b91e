"""Places as she names them: her home folder written as ~, and where her own things lie."""

from __future__ import annotations

from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.reason import Field, reason


def expanded(given: Path | str) -> Path:
    """The place with ~ spelled out. Raises BadInput for a home folder that nobody knows."""
    try:
        return Path(given).expanduser()
    except RuntimeError:
        raise BadInput(reason("there is no such home folder"), str(given), reason("write the place in full")) from None


def lies_in(path: Path, folder: Path) -> bool:
    """Whether a path leads to something inside a folder, whatever links and dots it takes on its way."""
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):  # links in a circle, or no name of a file
        return False


def own_folder() -> Path:
    """The folder of her own store. Raises BadInput where the system knows no home of hers."""
    from platformdirs import user_data_path

    try:
        return user_data_path("matcher", appauthor=False).expanduser()
    except RuntimeError:
        todo = reason("name the file of your store ({store})", store=Field("store"))
        raise BadInput(reason("your home folder is not known"), "", todo) from None
