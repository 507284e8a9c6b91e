"""The bin on disk: a folder with lots.csv and garments.csv, or one .xlsx with sheets lots and garments."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import Protocol

from matcher.errors import BadInput, BadSheets, Fault, NotFound
from matcher.materials.fibre import Fibre
from matcher.materials.lots import Bin
from matcher.materials.yarn import MeasuringRules, WeightClass
from matcher.store.sheet_columns import GARMENTS, LOTS, Table, tabulate
from matcher.store.sheet_files import Grid, read_csv, read_workbook


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

    path: a folder with lots.csv and garments.csv, or an .xlsx workbook with sheets lots and garments.
    Returns a Bin with lengths [m] and their deviations; remarks that stop nothing are in `Bin.notes`.
    Raises NotFound when there is no such place, BadInput when it is no bin, and BadSheets with all faults of
    both sheets at once; then nothing is read.
    """
    from matcher.store.sheet_lots import build_bin  # brings pydantic, which other commands need not load

    place = Path(path).expanduser()
    lots_grid, garments_grid = _grids(place)
    faults: list[Fault] = []
    notes: list[str] = []
    lots = tabulate(lots_grid, LOTS, faults, notes)
    garments: Table | None = None
    if garments_grid is not None:
        empty_sheet = not garments_grid.rows and not garments_grid.faults
        if not empty_sheet or _names_garment(lots):
            garments = tabulate(garments_grid, GARMENTS, faults, notes)
    elif _names_garment(lots):
        where = "garments" if place.is_file() else "garments.csv"
        naming = [row for row in lots.rows if "garment" in row.cells] if lots else []
        expected = f"a sheet of garments, since {len(naming)} lot(s) name one (first: row {naming[0].number})"
        mend = "add it with the columns garment and status, or clear those cells"
        faults.append(Fault(where, None, None, "", expected, mend))
    known_all = garments is not None and "garment" in garments.columns
    bin_ = build_bin(lots, garments, known_all, catalogue, str(place), faults, notes)
    if faults:
        raise BadSheets(sorted(faults, key=_order), str(place))
    return bin_


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
        books = sorted(name for name in names if name.endswith(".xlsx"))
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
    if kind not in (".xlsx", ".xlsm"):
        todo = "give a folder with lots.csv and garments.csv, or a workbook saved as .xlsx"
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
