"""What lies in a folder of many bins: each file, or folder of sheets, that is one; where it lies, and its code.

A folder inside is a place, a depot; a folder with sheets of its own in it is a bin. `codes.csv` beside them may say
which file is which code. The order is that of the paths, whatever the disk's is.
"""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from matcher.errors import BadInput, BadSheets, Fault, NotFound
from matcher.materials.reading.names import nearest, readable_name
from matcher.materials.reading.numerals import Unreadable, shorten
from matcher.reasons.reason import reason
from matcher.store.database.copies import copies_folder
from matcher.store.database.store import is_store
from matcher.store.places import BOOK_ENDINGS, PARQUET, STORE_ENDINGS
from matcher.store.sheets.columns import SHEETS
from matcher.store.sheets.csv_files import read_csv

CODES = "codes.csv"
SHEET_ENDINGS = (".csv", ".tsv", *BOOK_ENDINGS)
# Lists in forms that no command reads: told of as a fault, since nobody would miss a member who is passed over.
_OTHER_SHEETS = (".xls", ".xlsb", ".numbers", ".fods", ".gnumeric")
_PICTURES = "thumbs.db"  # what a system keeps of the pictures in a folder, and no store


@dataclass(frozen=True)
class Lying:
    """A bin, or a file of several. called : its path in the folder. place : "" right in it. code : "" where none is
    given. link : whether it leads elsewhere, so that it is not read. shut : whether it is a folder that can't
    be opened.
    """

    path: Path
    called: str
    place: str
    code: str = ""
    link: bool = False
    shut: bool = False

    @property
    def of_many(self) -> bool:
        """Whether it may hold many members' rows."""
        return self.path.suffix.casefold() == PARQUET

    @property
    def size(self) -> int:
        """Bytes of the file, or of the sheets of the folder; 0 where the disk does not say."""
        files = self.path.glob("*.csv") if self.path.is_dir() else (self.path,)
        try:
            return sum(file.stat().st_size for file in files)
        except OSError:
            return 0


def lying_in(folder: Path) -> tuple[Lying, ...]:
    """All of them. Raises NotFound, BadInput for what is no such folder, and BadSheets for faults of the codes."""
    if not folder.exists():
        raise NotFound(reason('no folder called "{place}"', place=str(folder)))
    if not folder.is_dir():
        todo = reason("put the bins into a folder, and name that")
        raise BadInput(reason("a pool is a folder of bins, and this is a file"), str(folder), todo)
    if _is_bin(_names(folder)):
        todo = reason("put each bin into a folder of its own in there")
        raise BadInput(reason("this folder is one bin by itself"), str(folder), todo)
    found = sorted(_below(folder, (), folder), key=lambda one: [part.casefold() for part in one.called.split("/")])
    if not found:
        todo = reason("put stores, workbooks, folders with lots.csv or .parquet files there")
        raise BadInput(reason("there is no bin in this folder"), str(folder), todo)
    codes = _codes(folder, {_folded(one.called): one.called for one in found})
    return tuple(replace(one, code=codes.get(_folded(one.called), "")) for one in found)


def _below(folder: Path, parts: tuple[str, ...], top: Path) -> Iterator[Lying]:
    place = parts[0] if parts else ""
    copies = {copies_folder(folder / name).name for name in _names(folder)}
    for name in _names(folder):
        path, called = folder / name, "/".join((*parts, name))
        if name.startswith((".", "~$")) or name.casefold() in (_PICTURES, *([] if parts else [CODES])):
            continue
        if path.is_symlink():
            if path.is_dir() or _may_be_bin(path):
                yield Lying(path, called, place, link=True)
        elif path.is_dir():
            if _is_shut(path):
                yield Lying(path, called, place, shut=True)
            elif _is_bin(_names(path)):
                yield Lying(path, called, place)
            elif name not in copies:
                yield from _below(path, (*parts, name), top)
        elif _may_be_bin(path):
            yield Lying(path, called, place)


def _names(folder: Path) -> list[str]:
    try:
        return sorted(os.listdir(folder))
    except OSError as error:
        why = (error.strerror or "unreadable").lower()
        raise BadInput(reason("the folder can't be opened"), str(folder), why) from None


def _is_shut(folder: Path) -> bool:
    """Whether what lies in a folder can't be seen: that is its own fault, and the others are read all the same."""
    try:
        os.listdir(folder)
    except OSError:
        return True
    return False


def _is_bin(names: list[str]) -> bool:
    """Whether a folder of these names is a bin in sheets."""
    return any(f"{sheet}.csv" in {name.casefold() for name in names} for sheet in SHEETS)


def _may_be_bin(path: Path) -> bool:
    """Whether a file is, or is named as, sheets, a store or a collection."""
    return path.suffix.casefold() in (*SHEET_ENDINGS, *_OTHER_SHEETS, *STORE_ENDINGS, PARQUET) or is_store(path)


def _codes(folder: Path, known: Mapping[str, str]) -> Mapping[str, str]:
    """Codes by folded path. known : paths by their folded form. Raises BadSheets."""
    path = next((folder / name for name in _names(folder) if name.casefold() == CODES), None)
    if path is None:
        return {}
    grid = read_csv(path, {path.name: CODES})
    if grid.faults:
        raise BadSheets(grid.faults)
    line, top = grid.rows[0]
    head = [cell.strip().casefold() for cell in top]
    if not {"code", "file"} <= set(head):
        raise BadSheets([Fault(CODES, line, None, ", ".join(filter(None, head)), reason("the columns file and code"))])
    faults: list[Fault] = []
    codes: dict[str, str] = {}
    for number, row in grid.rows[1:]:
        cells = dict(zip(head, map(str.strip, row), strict=False))
        said, code = cells.get("file", ""), cells.get("code", "")
        if not said and not code:
            continue
        file = _meant(said, known)
        if file not in known:
            near = known[nearest(file, known) or next(iter(known))]
            expected = reason("a bin of this folder by its path in it, such as {file}", file=near)
            faults.append(Fault(CODES, number, "file", shorten(said), expected))
        elif codes.get(file, code) != code:
            faults.append(Fault(CODES, number, "code", shorten(code), reason("one code for each file")))
        try:
            codes[file] = readable_name(code)
        except Unreadable as fault:
            faults.append(Fault(CODES, number, "code", shorten(code), fault.expected, fault.mend))
        if not code:
            faults.append(Fault(CODES, number, "code", "", reason("a code")))
    if faults:
        raise BadSheets(faults)
    return codes


def _meant(said: str, known: Mapping[str, str]) -> str:
    """The folded path of a bin as somebody wrote it: a folder also by the list in it."""
    file = _folded(said.replace("\\", "/")).removeprefix("./").rstrip("/")
    return file if file in known else file.removesuffix("/lots.csv")


def _folded(path: str) -> str:
    """A path to be compared by: some systems keep an accent as a sign of its own, and no keyboard writes it so."""
    return unicodedata.normalize("NFC", path).casefold()
