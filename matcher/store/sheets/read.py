"""The bin in sheets: a folder with lots.csv, garments.csv and people.csv, or one .xlsx or .ods with such sheets."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path

from matcher.errors import BadInput, BadSheets, Fault, NotFound
from matcher.materials.lots import Bin
from matcher.materials.reading.names import nearest
from matcher.reasons.reason import Column, Words, counted, listed, reason
from matcher.store.catalogue.standards import Standards
from matcher.store.places import lies_in, to_read
from matcher.store.promised import keep_promises
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE, SHEETS, Columns
from matcher.store.sheets.csv_files import read_csv
from matcher.store.sheets.grid import Grid
from matcher.store.sheets.said import NOTHING_SAID, Said, put_in
from matcher.store.sheets.settled import settle
from matcher.store.sheets.tabulate import Table, tabulate
from matcher.store.sheets.understood import Understood
from matcher.store.sheets.workbooks import read_workbook


def bin_from_sheets(path: Path | str, catalogue: Standards) -> Bin:
    """Read a bin that is in sheets.

    path: a folder with lots.csv, garments.csv and people.csv, or an .xlsx or .ods workbook with sheets of these names;
    only the first is needed.
    Returns a Bin with lengths [m] and their deviations; remarks that stop nothing are in `Bin.notes`.
    Raises NotFound when there is no such place, BadInput when it is no bin, and BadSheets with all faults of
    all sheets at once; then nothing is read.
    """
    read = reading_of(path, catalogue)
    if read.faults:
        raise BadSheets(read.faults, read.bin.source)
    return read.bin


@dataclass(frozen=True)
class Reading:
    """A bin as read from sheets, and how. faults: what cannot be read, in order; while there are any, the bin is not
    whole. understood: what was made of headings and odd cells. tables: the rows by sheet."""

    bin: Bin
    understood: Understood
    faults: tuple[Fault, ...] = ()
    tables: Mapping[str, Table] = field(default_factory=dict)


def reading_of(path: Path | str, catalogue: Standards, said: Said = NOTHING_SAID) -> Reading:
    """The same with what was made of headings and cells, and faults as values. Raises NotFound and BadInput.

    said: what she said herself that headings and cells mean.
    """
    from matcher.store.sheets.lots import build_bin  # brings numpy, which an export need not load

    place = to_read(path)
    sheets = read_sheets(place, said)
    lots, garments, faults, notes = sheets.lots, sheets.garments, sheets.faults, sheets.notes
    if sheets.garments_grid is None and _names_garment(lots):
        where = "garments" if place.is_file() else "garments.csv"
        naming = [row.number for row in lots.rows if "garment" in row.cells] if lots else []
        wanted = "a sheet of garments, since {lots} (first: row {row})"
        lots_naming = counted(len(naming), "{n} lot names one", "{n} lots name one")
        mend = reason(
            "add it with the columns {columns}, or clear those cells",
            columns=listed(map(Column, GARMENTS.needed), "and"),
        )
        faults.append(Fault(where, None, None, "", reason(wanted, lots=lots_naming, row=naming[0]), mend))
    known_all = garments is not None and "garment" in garments.columns
    read = (known_all, catalogue, str(place), faults, notes, sheets.understood)
    bin_ = build_bin(lots, garments, *read, people=sheets.people)
    return Reading(bin_, sheets.understood, tuple(in_order(faults)), sheets.tables)


@dataclass
class Sheets:
    """The sheets as they stand: grids, tables by column (None when unreadable or not there), faults and notes, and
    what was made of headings."""

    lots_grid: Grid
    garments_grid: Grid | None
    people_grid: Grid | None
    lots: Table | None = None
    garments: Table | None = None
    people: Table | None = None
    faults: list[Fault] = field(default_factory=list)
    notes: list[Words] = field(default_factory=list)
    understood: Understood = field(default_factory=Understood)

    @property
    def tables(self) -> dict[str, Table]:
        """The tables that are there, by sheet."""
        every = ((LOTS.sheet, self.lots), (GARMENTS.sheet, self.garments), (PEOPLE.sheet, self.people))
        return {sheet: table for sheet, table in every if table is not None}


def read_sheets(path: Path, said: Said = NOTHING_SAID) -> Sheets:
    """The sheets at a place, split into cells and not judged further.

    said: what she said herself that headings and cells mean.
    Raises NotFound when there is no such place, BadInput when it cannot hold sheets; all else is in `faults`.
    """
    sheets = Sheets(*_grids(path))
    sheets.lots = _table(sheets.lots_grid, LOTS, sheets, said)
    grid = sheets.garments_grid
    if grid is not None and (grid.rows or grid.faults or _names_garment(sheets.lots)):
        sheets.garments = _table(grid, GARMENTS, sheets, said)
    grid = sheets.people_grid
    if grid is not None and (grid.rows or grid.faults):
        sheets.people = _table(grid, PEOPLE, sheets, said)
    return sheets


def _table(grid: Grid, columns: Columns, sheets: Sheets, said: Said) -> Table | None:
    told = said.of_sheet(columns.sheet)
    table = tabulate(grid, columns, sheets.faults, sheets.notes, sheets.understood, told)
    if table is not None:
        put_in(said, table, columns, sheets.faults, sheets.understood)
        settle(table, columns, sheets.understood)
    return table


def in_order(faults: Sequence[Fault]) -> list[Fault]:
    """Faults as she reads the sheets: lots, garments, people, each from top to foot; columns stay in their order."""

    def place(fault: Fault) -> tuple[int, int]:
        later = (number for number, name in enumerate(SHEETS) if fault.where.casefold().startswith(name))
        return next(later, 0), fault.row or 0

    return sorted(faults, key=place)


def _names_garment(lots: Table | None) -> bool:
    return lots is not None and any("garment" in row.cells for row in lots.rows)


def _grids(place: Path) -> tuple[Grid, Grid | None, Grid | None]:
    """The grid of lots, and those of garments and people if there are any. Faults of a file are in its grid."""
    try:
        is_folder, is_file, is_there = place.is_dir(), place.is_file(), place.exists()
    except (OSError, ValueError):  # a name too long for the disk, or with a zero in it
        is_folder = is_file = is_there = False
    if is_folder:
        return _from_folder(place)
    if is_file:
        return _from_file(place)
    if is_there:
        todo = reason("name a folder with lots.csv, an .xlsx, an .ods or a store")
        raise BadInput(reason("{place} is a pipe or a device, not a file", place=str(place)), "", todo)
    raise NotFound(reason('no folder or workbook called "{place}"', place=str(place)), "", _near_paths(place))


def _from_folder(folder: Path) -> tuple[Grid, Grid | None, Grid | None]:
    keep_promises(folder)
    try:
        names = {name.casefold(): name for name in sorted(os.listdir(folder), reverse=True)}
    except OSError as error:
        why = (error.strerror or "unreadable").lower()
        raise BadInput(reason("the folder cannot be opened"), str(folder), why) from None
    if "lots.csv" not in names:
        grid = Grid("lots.csv")
        books = sorted(name for name in names if name.endswith((".xlsx", ".ods")))
        like = nearest("lots.csv", [name for name in names if name not in ("garments.csv", "people.csv")])
        mend = reason("put the list of lots there under that name")
        if books:
            mend = reason("give the command the workbook: {file}", file=str(folder / names[books[0]]))
        elif like:
            mend = reason("rename {file}, or save it as csv", file=names[like])
        grid.fail(", ".join(sorted(names.values())[:5]), reason("a file lots.csv in the folder"), mend)
    else:
        grid = _csv_in(folder, names["lots.csv"], LOTS)
    garments, people = (
        _csv_in(folder, names[name], columns) if (name := f"{columns.sheet}.csv") in names else None
        for columns in (GARMENTS, PEOPLE)
    )
    return grid, garments, people


def _csv_in(folder: Path, name: str, known: Columns) -> Grid:
    """A sheet of the folder; one that leads elsewhere is refused, since its faults would quote other files."""
    if lies_in(folder / name, folder):
        return read_csv(folder / name, known)
    found = reason("a link that leads out of the folder")
    return Grid(name).fail(found, reason("a sheet in the folder itself"), reason("put the sheet there"))


def _from_file(path: Path) -> tuple[Grid, Grid | None, Grid | None]:
    kind = path.suffix.casefold()
    if kind in (".csv", ".tsv", ".txt"):
        todo = reason("give the folder that holds lots.csv and garments.csv")
        raise BadInput(reason("one sheet is not a bin"), str(path), todo)
    if kind not in (".xlsx", ".xlsm", ".ods"):
        todo = reason("give a folder with lots.csv and garments.csv, or a workbook saved as .xlsx or .ods")
        what = reason("a {kind} file is not a bin", kind=kind) if kind else reason("a nameless file is not a bin")
        raise BadInput(what, str(path), todo)
    sheets, whole = read_workbook(path)
    if whole.faults:
        return whole, None, None
    lots = sheets.get("lots")
    if lots is None:
        lots = Grid("lots")
        found = reason("the sheets {titles}", titles=listed(grid.where for grid in sheets.values()))
        lots.fail(found, reason("a sheet called lots"), reason("rename the sheet that lists them"))
    return lots, sheets.get("garments"), sheets.get("people")


def _near_paths(place: Path) -> list[str]:
    try:
        beside = [entry.name for entry in place.parent.iterdir()]
    except (OSError, ValueError):
        return []
    return [str(place.parent / name) for name in get_close_matches(place.name, beside, n=3, cutoff=0.6)]
