"""Places as she names them: her home folder written as ~, and where her own things lie."""

from __future__ import annotations

from pathlib import Path

from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import Field, reason
from matcher.store.catalogue.folders import demo_folder

DEMO = "demo"
BOOK_ENDINGS = (".xlsx", ".xlsm", ".ods")
STORE_ENDINGS = (".sqlite", ".sqlite3", ".db")
PARQUET = ".parquet"
"""What the files are named in which a bin, or a part of many, may lie."""


def expanded(given: Path | str) -> Path:
    """The place with ~ spelled out. Raises BadInput for a home folder that nobody knows."""
    try:
        return Path(given).expanduser()
    except RuntimeError:
        raise BadInput(reason("there is no such home folder"), str(given), reason("write the place in full")) from None


def to_read(given: Path | str) -> Path:
    """The place to read from: what lies there, else the demo or a file of it, which "demo" names in any folder."""
    place = expanded(given)
    shipped = _of_demo(place)
    return place if shipped is None or is_there(place) or not is_there(shipped) else shipped


def no_such_bin(place: Path) -> NotFound:
    """The fault of a bin that is named and isn't there, with what is called nearly so."""
    from difflib import get_close_matches  # seldom needed

    try:
        beside = [entry.name for entry in place.parent.iterdir()]
    except (OSError, ValueError):
        beside = []
    near = [str(place.parent / name) for name in get_close_matches(place.name, beside, n=3, cutoff=0.6)]
    return NotFound(reason('no folder or workbook called "{place}"', place=str(place)), "", near)


def is_there(place: Path) -> bool:
    """Whether anything lies at a place."""
    try:
        return place.exists()
    except (OSError, ValueError):  # a name too long for the disk, or with a zero in it
        return False


def hides_demo(given: Path | str) -> bool:
    """Whether something else of hers is called as the demo is, so that the demo is not what is read."""
    place = expanded(given)
    shipped = _of_demo(place)
    if shipped is None or not is_there(place):
        return False
    files = ("lots.csv", "garments.csv") if place.is_dir() else ("",)
    return not all(_alike(place / name, shipped / name) for name in files)


def _of_demo(place: Path) -> Path | None:
    return demo_folder().joinpath(*place.parts[1:]) if place.parts[:1] == (DEMO,) else None


def _alike(one: Path, other: Path) -> bool:
    """Whether two files hold the same, as a copy of the demo does."""
    from filecmp import cmp

    try:
        return cmp(one, other, shallow=False)
    except OSError:
        return False


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
        raise BadInput(reason("your home folder isn't known"), "", todo) from None
