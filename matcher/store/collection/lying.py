"""What lies in a folder of many bins: each file, or folder of sheets, that is one; where it lies, and its code.

A folder inside is a place, a depot; a folder with one member's sheets in it is a bin. What is there twice counts once.
`codes.csv` beside them may say which file is which code. The order is that of the paths, whatever the disk's is.
"""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from matcher.errors import BadInput, BadSheets, Fault, NotFound
from matcher.materials.reading.names import nearest, readable_name
from matcher.materials.reading.numerals import Unreadable, shorten
from matcher.reasons.reason import listed, reason
from matcher.store.collection.copies import alike
from matcher.store.database.copies import copies_folder
from matcher.store.database.store import is_store
from matcher.store.places import BOOK_ENDINGS, PARQUET, STORE_ENDINGS
from matcher.store.sheets.csv_files import read_csv
from matcher.store.sheets.one_bin import reads_as_one
from matcher.store.sheets.own_names import TEXTS, is_bin
from matcher.store.sheets.texts import lists_yarn

CODES = "codes.csv"
SHEET_ENDINGS = (".csv", ".tsv", *BOOK_ENDINGS)
# Lists in forms that no command reads: told of as a fault, since nobody would miss a member who is passed over.
_OTHER_SHEETS = (".xls", ".xlsb", ".numbers", ".fods", ".gnumeric")
_OF_SYSTEMS = ("thumbs.db", "desktop.ini")  # what a system keeps of a folder, and neither store nor list
# What nobody takes for a list: it is passed over and not told of.
_PICTURES = (".jpg", ".jpeg", ".png", ".gif", ".webp", ".heic", ".tif", ".tiff", ".bmp", ".svg")
_NOTES = ("readme", "read me", "notes", "note", "licence", "license")
_TEXT = ".txt"
_OWN_LIST = re.compile(r"/[^/]+\.(?:csv|tsv|txt)$")


@dataclass(frozen=True)
class Lying:
    """A bin, or a file of several. called : its path in the folder. place : "" right in it. code : "" where none is
    given. link : whether it leads elsewhere, so that it is not read. shut : whether it is a folder that can't
    be opened. other : whether it is a file that is no bin, and maybe was meant as one. copies : the paths of others
    that hold the same, and are not counted.
    """

    path: Path
    called: str
    place: str
    code: str = ""
    link: bool = False
    shut: bool = False
    other: bool = False
    copies: tuple[str, ...] = ()

    @property
    def of_many(self) -> bool:
        """Whether it may hold many members' rows."""
        return self.path.suffix.casefold() == PARQUET

    @property
    def size(self) -> int:
        """Bytes of the file, or of the sheets of the folder; 0 where the disk does not say."""
        try:
            return sum(file.stat().st_size for file in self.files)
        except OSError:
            return 0

    @property
    def files(self) -> tuple[Path, ...]:
        """The file, or the sheets of the folder; none where what is there isn't read."""
        if self.link or self.shut:
            return ()
        if not self.path.is_dir():
            return (self.path,)
        return tuple(self.path / name for name in _names(self.path) if Path(name).suffix.casefold() in TEXTS)


def lying_in(folder: Path) -> tuple[Lying, ...]:
    """All of them, each content once. Raises NotFound, BadInput for what is no such folder, and BadSheets for faults of
    the codes."""
    if not folder.exists():
        raise NotFound(reason('no folder called "{place}"', place=str(folder)))
    if not folder.is_dir():
        todo = reason("put the bins into a folder, and name that")
        raise BadInput(reason("a pool is a folder of bins, and this is a file"), str(folder), todo)
    if is_bin(_names(folder)):
        todo = reason("put each bin into a folder of its own in there")
        raise BadInput(reason("this folder is one bin by itself"), str(folder), todo)
    found = [one for one in _in_order(folder) if not one.other]
    if not found:
        todo = reason("put stores, workbooks, folders with lots.csv or .parquet files there")
        raise BadInput(reason("there is no bin in this folder"), str(folder), todo)
    codes = _codes(folder, [one.called for one in found])
    return tuple(_as_one([found[at] for at in group], codes) for group in alike([one.files for one in found]))


def _as_one(same: Sequence[Lying], codes: Mapping[str, str]) -> Lying:
    """The first of those that hold the same, by the code that any of them was given."""
    code = next((codes[one.called] for one in same if one.called in codes), "")
    return replace(same[0], code=code, copies=tuple(one.called for one in same[1:]))


def passed_over_in(folder: Path) -> tuple[str, ...]:
    """Paths of files in the folder that are no bins, and maybe were meant as such: somebody's list as a letter, say."""
    return tuple(one.called for one in _in_order(folder) if one.other)


def _in_order(folder: Path) -> list[Lying]:
    return sorted(_below(folder, (), folder), key=lambda one: [part.casefold() for part in one.called.split("/")])


def _below(folder: Path, parts: tuple[str, ...], top: Path) -> Iterator[Lying]:
    place = parts[0] if parts else ""
    copies = {copies_folder(folder / name).name for name in _names(folder)}
    for name in _names(folder):
        path, called = folder / name, "/".join((*parts, name))
        if name.startswith((".", "~$")) or name.casefold() in (*_OF_SYSTEMS, *([] if parts else [CODES])):
            continue
        if path.is_symlink():
            if path.is_dir() or _may_be_bin(path):
                yield Lying(path, called, place, link=True)
        elif path.is_dir():
            if _is_shut(path):
                yield Lying(path, called, place, shut=True)
            elif is_bin(_names(path)):
                yield Lying(path, called, place)
            elif name not in copies:
                inside = list(_below(path, (*parts, name), top))
                yield from [Lying(path, called, place)] if _is_one(path, inside) else inside
        elif not _is_plain_note(path):
            yield Lying(path, called, place, other=not _may_be_bin(path))


def _is_one(folder: Path, inside: Sequence[Lying]) -> bool:
    """Whether a folder is one member's lists; no store, workbook or folder of somebody's may lie in it."""
    bins = [one for one in inside if not one.other]
    own = all(one.path.parent == folder and not one.link and one.path.suffix.casefold() == ".csv" for one in bins)
    return bool(bins) and own and reads_as_one(folder)


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


def _may_be_bin(path: Path) -> bool:
    """Whether a file is, or is named as, sheets, a store or a collection; of text, whether it is a list of yarn."""
    ending = path.suffix.casefold()
    if ending == _TEXT:
        return lists_yarn(path)
    return ending in (*SHEET_ENDINGS, *_OTHER_SHEETS, *STORE_ENDINGS, PARQUET) or is_store(path)


def _is_plain_note(path: Path) -> bool:
    """Whether a file is by its name a picture, or a word to whoever opens the folder."""
    return path.suffix.casefold() in _PICTURES or (
        path.stem.casefold() in _NOTES and path.suffix.casefold() not in (*SHEET_ENDINGS, *STORE_ENDINGS, PARQUET)
    )


def _codes(folder: Path, called: Sequence[str]) -> Mapping[str, str]:
    """Codes by path. called : the paths of all bins. Raises BadSheets."""
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
    known = _Known(called)
    for number, row in grid.rows[1:]:
        cells = dict(zip(head, map(str.strip, row), strict=False))
        said, code = cells.get("file", ""), cells.get("code", "")
        if not said and not code:
            continue
        meant = known.meant(said)
        file = meant[0] if len(meant) == 1 else ""
        if len(meant) > 1:
            one_of = reason("one of these, written as it is here: {files}", files=listed(meant))
            faults.append(Fault(CODES, number, "file", shorten(said), one_of))
        elif not meant:
            expected = reason("a bin of this folder by its path in it, such as {file}", file=known.like(said))
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


class _Known:
    """Bins by their paths, as somebody may write them: as they are, else with accents as signs of their own or not,
    else with whatever capitals."""

    def __init__(self, called: Sequence[str]) -> None:
        self._forms: list[tuple[Callable[[str], str], dict[str, list[str]]]] = []
        for form in (str, _accented, _folded):
            by_form: dict[str, list[str]] = {}
            for one in called:
                by_form.setdefault(form(one), []).append(one)
            self._forms.append((form, by_form))

    def meant(self, said: str) -> list[str]:
        """The bins that a path may mean, several where it is none of them to the letter; a folder also by its list."""
        for form, known in self._forms:
            file = form(_path(said))
            if found := known.get(file) or known.get(_OWN_LIST.sub("", file)):
                return found
        return []

    def like(self, said: str) -> str:
        """The bin whose path is most like it."""
        _, known = self._forms[-1]
        return known[nearest(_folded(_path(said)), known) or next(iter(known))][0]


def _path(said: str) -> str:
    return said.replace("\\", "/").removeprefix("./").rstrip("/")


def _accented(path: str) -> str:
    """Some systems keep an accent as a sign of its own, and no keyboard writes it so."""
    return unicodedata.normalize("NFC", path)


def _folded(path: str) -> str:
    return _accented(path).casefold()
