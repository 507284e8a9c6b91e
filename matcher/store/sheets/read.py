"""The bin in sheets: a folder with lots.csv and garments.csv, or one .xlsx or .ods with sheets lots and garments."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Protocol

from matcher.errors import BadInput, BadSheets, Fault, NotFound
from matcher.materials.fibre import Fibre
from matcher.materials.lots import Bin
from matcher.materials.yarn import MeasuringRules, WeightClass
from matcher.store.sheets.columns import GARMENTS, LOTS, Columns, Table, tabulate
from matcher.store.sheets.files import Grid, read_csv, read_workbook


class Standards(Protocol):
    """The part of the catalogue that reading a bin needs."""

    @property
    def classes(self) -> Sequence[WeightClass]: ...
    @property
    def fibres(self) -> Sequence[Fibre]: ...
    @property
    def measuring(self) -> MeasuringRules: ...
    @property
    def colour_words(self) -> Mapping[str, str]: ...


def read_bin(path: Path | str, catalogue: Standards) -> Bin:
    """Read a bin.

    path: a folder with lots.csv and garments.csv, or an .xlsx or .ods workbook with sheets lots and garments.
    Returns a Bin with lengths [m] and their deviations; remarks that stop nothing are in `Bin.notes`.
    Raises NotFound when there is no such place, BadInput when it is no bin, and BadSheets with all faults of
    both sheets at once; then nothing is read.
    """
    from matcher.store.sheets.lots import build_bin  # brings pydantic, which other commands need not load

    place = Path(path).expanduser()
    sheets = read_sheets(place)
    lots, garments, faults, notes = sheets.lots, sheets.garments, sheets.faults, sheets.notes
    if sheets.garments_grid is None and _names_garment(lots):
        where = "garments" if place.is_file() else "garments.csv"
        naming = [row for row in lots.rows if "garment" in row.cells] if lots else []
        expected = f"a sheet of garments, since {len(naming)} lot(s) name one (first: row {naming[0].number})"
        mend = "add it with the columns garment and status, or clear those cells"
        faults.append(Fault(where, None, None, "", expected, mend))
    known_all = garments is not None and "garment" in garments.columns
    bin_ = build_bin(lots, garments, known_all, catalogue, str(place), faults, notes)
    if faults:
        raise BadSheets(in_order(faults), str(place))
    return bin_


# Columns that an export adds and a bin does without: the code on a lot's tag, when it was weighed, and why a row
# was refused.
BESIDE = {"code": "the code on its tag", "weighed_on": "a date such as 2026-11-25", "why": "why it was refused"}


@dataclass
class Sheets:
    """Both sheets as they stand: grids, tables by column (None when unreadable or not there), faults and notes.

    beside: cells of the columns of BESIDE, by the row of the lots; they are in no table.
    """

    lots_grid: Grid
    garments_grid: Grid | None
    lots: Table | None = None
    garments: Table | None = None
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    beside: dict[int, dict[str, str]] = field(default_factory=dict)


def read_sheets(path: Path) -> Sheets:
    """The sheets at a place, split into cells and not judged further.

    Raises NotFound when there is no such place, BadInput when it cannot hold sheets; all else is in `faults`.
    """
    sheets = Sheets(*_grids(path))
    sheets.lots = tabulate(sheets.lots_grid, _with_beside(LOTS), sheets.faults, sheets.notes)
    grid = sheets.garments_grid
    if grid is not None and (grid.rows or grid.faults or _names_garment(sheets.lots)):
        sheets.garments = tabulate(grid, _with_beside(GARMENTS), sheets.faults, sheets.notes)
    for table in (sheets.lots, sheets.garments):
        if table is None:
            continue
        table.columns -= BESIDE.keys()
        for row in table.rows:
            beside = {column: row.cells.pop(column) for column in BESIDE if column in row.cells}
            if beside and table is sheets.lots:
                sheets.beside[row.number] = beside
        table.rows = [row for row in table.rows if row.cells or row.bad]
    return sheets


def _with_beside(kind: Columns) -> Columns:
    return replace(kind, known={**kind.known, **BESIDE}, free=kind.free | BESIDE.keys())


def in_order(faults: Sequence[Fault]) -> list[Fault]:
    """Faults as she reads the sheets: lots before garments, from the top to the foot."""
    return sorted(faults, key=_order)


def _order(fault: Fault) -> tuple[bool, int]:
    """Lots before garments, then from the top of the sheet to its foot; columns stay in their order."""
    return (fault.where.casefold().startswith("garments"), fault.row or 0)


def _names_garment(lots: Table | None) -> bool:
    return lots is not None and any("garment" in row.cells for row in lots.rows)


def _grids(place: Path) -> tuple[Grid, Grid | None]:
    """The grid of lots, and that of garments if there is one. Faults of a file are in its grid."""
    try:
        is_folder, is_file = place.is_dir(), place.is_file()
    except (OSError, ValueError):  # a name too long for the disk, or with a zero in it
        is_folder = is_file = False
    if is_folder:
        return _from_folder(place)
    if is_file:
        return _from_file(place)
    raise NotFound(f'no folder or workbook called "{place}"', "", _near_paths(place))


def _from_folder(folder: Path) -> tuple[Grid, Grid | None]:
    try:
        names = {name.casefold(): name for name in sorted(os.listdir(folder), reverse=True)}
    except OSError as error:
        raise BadInput("the folder cannot be opened", str(folder), (error.strerror or "unreadable").lower()) from None
    if "lots.csv" not in names:
        grid = Grid("lots.csv")
        books = sorted(name for name in names if name.endswith((".xlsx", ".ods")))
        like = get_close_matches("lots.csv", [name for name in names if name != "garments.csv"], n=1)
        mend = "put the list of lots there under that name"
        if books:
            mend = f"give the command the workbook: {folder / names[books[0]]}"
        elif like:
            mend = f"rename {names[like[0]]}, or save it as csv"
        grid.fail(", ".join(sorted(names.values())[:5]), "a file lots.csv in the folder", mend)
    else:
        grid = read_csv(folder / names["lots.csv"], LOTS.known)
    garments = names.get("garments.csv")
    return grid, read_csv(folder / garments, GARMENTS.known) if garments else None


def _from_file(path: Path) -> tuple[Grid, Grid | None]:
    kind = path.suffix.casefold()
    if kind in (".csv", ".tsv", ".txt"):
        todo = "give the folder that holds lots.csv and garments.csv"
        raise BadInput("one sheet is not a bin", str(path), todo)
    if kind not in (".xlsx", ".xlsm", ".ods"):
        todo = "give a folder with lots.csv and garments.csv, or a workbook saved as .xlsx or .ods"
        raise BadInput(f"a {kind or 'nameless'} file is not a bin", str(path), todo)
    sheets, whole = read_workbook(path)
    if whole.faults:
        return whole, None
    lots = sheets.get("lots")
    if lots is None:
        lots = Grid("lots")
        titles = ", ".join(grid.where for grid in sheets.values())
        lots.fail(f"the sheets {titles}", "a sheet called lots", "rename the sheet that lists them")
    return lots, sheets.get("garments")


def _near_paths(place: Path) -> list[str]:
    try:
        beside = [entry.name for entry in place.parent.iterdir()]
    except (OSError, ValueError):
        return []
    return [str(place.parent / name) for name in get_close_matches(place.name, beside, n=3, cutoff=0.6)]
