"""The bin in sheets: a folder of csv files, one .csv, or one .xlsx or .ods; each sheet known by its columns."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from matcher.errors import BadInput, BadSheets, Fault
from matcher.materials.lots import Bin
from matcher.materials.reading.names import nearest
from matcher.reasons.reason import Action, Words, reason
from matcher.store.catalogue.standards import Standards
from matcher.store.places import BOOK_ENDINGS, PARQUET, STORE_ENDINGS, lies_in, no_such_bin, to_read
from matcher.store.promised import keep_promises
from matcher.store.sheets.columns import SHEETS
from matcher.store.sheets.csv_files import read_csv
from matcher.store.sheets.find import Found, find_tables, titled
from matcher.store.sheets.grid import AS_THEY_LIE, Called, Grid
from matcher.store.sheets.naming import name_lots
from matcher.store.sheets.own_names import TEXTS, own_names
from matcher.store.sheets.owners import settle_garments
from matcher.store.sheets.said import NOTHING_SAID, Said, put_in
from matcher.store.sheets.settled import settle
from matcher.store.sheets.tabulate import Table, tabulate
from matcher.store.sheets.understood import Understood

_MOST_FILES = 40  # of a folder that are looked through for the list of yarn; a choice


def bin_from_sheets(path: Path | str, catalogue: Standards) -> Bin:
    """Read a bin that is in sheets.

    path: a folder of csv files, one .csv file, or an .xlsx or .ods workbook. The sheet that lists yarn and the one that
    lists garments are known by their columns, or by being called lots and garments.
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


def reading_of(
    path: Path | str, catalogue: Standards, said: Said = NOTHING_SAID, called: Called = AS_THEY_LIE
) -> Reading:
    """The same with what was made of headings and cells, and faults as values. Raises NotFound and BadInput.

    said: what she said herself that headings and cells mean.
    """
    from matcher.store.sheets.lots import build_bin  # brings numpy, which an export need not load

    place = to_read(path)
    sheets = read_sheets(place, said, called=called)
    lots, garments, faults, notes = sheets.lots, sheets.garments, sheets.faults, sheets.notes
    known_all = garments is not None and "garment" in garments.columns
    read = (known_all, catalogue, called.get(place.name, str(place)), faults, notes, sheets.understood)
    bin_ = build_bin(lots, garments, *read, people=sheets.people)
    return Reading(bin_, sheets.understood, tuple(in_order(faults, sheets)), sheets.tables)


@dataclass
class Sheets:
    """The sheets as they stand. found: where the tables lie, and tables: their rows by column, by sheet (not there when
    unreadable or missing); faults and notes; what was made of headings."""

    found: dict[str, Found]
    tables: dict[str, Table] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    notes: list[Words] = field(default_factory=list)
    understood: Understood = field(default_factory=Understood)

    @property
    def lots(self) -> Table | None:
        return self.tables.get("lots")

    @property
    def garments(self) -> Table | None:
        return self.tables.get("garments")

    @property
    def people(self) -> Table | None:
        return self.tables.get("people")

    def sheet(self, where: str) -> str:
        """Which sheet a fault is in."""
        return next((name for name, one in self.found.items() if one.grid.where == where), "lots")


def read_sheets(
    path: Path, said: Said = NOTHING_SAID, garments: Iterable[str] = (), called: Called = AS_THEY_LIE
) -> Sheets:
    """The sheets at a place, split into cells and not judged further.

    said: what she said herself that headings and cells mean. garments: names of those that are known elsewhere.
    called: what she calls the place, and files in a folder, where they lie under other names.
    Raises NotFound when there is no such place, BadInput when it cannot hold sheets; all else is in `faults`.
    """
    faults: list[Fault] = []
    notes: list[Words] = []
    grids = _grids(path, faults, called)
    sheets = Sheets(
        {} if faults else find_tables(grids, called.get(path.name, path.name), faults, notes),
        faults=faults,
        notes=notes,
    )
    for name, found in sheets.found.items():
        if name == "garments" and not (found.grid.rows or found.grid.faults or _names_garment(sheets.lots)):
            continue
        table = tabulate(found, SHEETS[name], faults, notes, sheets.understood, said.of_sheet(name))
        if table is None:
            continue
        sheets.tables[name] = table
        if name == "lots":
            name_lots(table, notes)
        _name_cells(table, SHEETS[name].thing, sheets.understood)
        put_in(said, table, SHEETS[name], faults, sheets.understood)
        settle(table, SHEETS[name], sheets.understood)
    settled = settle_garments(sheets.lots, sheets.garments, garments, sheets.understood)
    if settled is not None:
        sheets.tables["garments"] = settled
    return sheets


def _name_cells(table: Table, thing: str, understood: Understood) -> None:
    """Cells that were read before their row had a name."""
    names = {row.number: row.cells.get(thing, "") for row in table.rows} if understood.cells else {}
    named = (one.where == table.where and not one.name for one in understood.cells)
    cells = zip(understood.cells, named, strict=True)
    understood.cells = [replace(one, name=names.get(one.row, "")) if mine else one for one, mine in cells]


def in_order(faults: Sequence[Fault], sheets: Sheets) -> list[Fault]:
    """Faults as she reads the sheets: lots before garments, from the top to the foot; columns stay in their order, and
    are called what she calls them."""
    places = list(SHEETS)
    hers = {
        (one.where, one.column): one.heading
        for one in reversed(sheets.understood.headings)
        if one.column and not one.as_named
    }
    told = [
        replace(one, heading=heading) if (heading := hers.get((one.where, one.column or ""), "")) else one
        for one in faults
    ]
    return sorted(told, key=lambda fault: (places.index(sheets.sheet(fault.where)), fault.row or 0))


def _names_garment(lots: Table | None) -> bool:
    return lots is not None and any("garment" in row.cells for row in lots.rows)


def _grids(place: Path, faults: list[Fault], called: Called) -> list[Grid]:
    """All sheets. Faults of a sheet are in its grid; those of the whole file are added to the list."""
    try:
        is_folder, is_file, is_there = place.is_dir(), place.is_file(), place.exists()
    except (OSError, ValueError):  # a name too long for the disk, or with a zero in it
        is_folder = is_file = is_there = False
    if is_folder:
        return grids_in(place, faults, called)
    if is_file:
        return _from_file(place, faults, called)
    if is_there:
        todo = reason("name a folder with lots.csv, an .xlsx, an .ods or a store")
        raise BadInput(reason("{place} is a pipe or a device, not a file", place=str(place)), "", todo)
    raise no_such_bin(place)


def grids_in(folder: Path, faults: list[Fault], called: Called) -> list[Grid]:
    """The csv files of a folder, and those of text that are called as a sheet; no other is looked into where lots and
    garments stand under their own names, but for a list of people by another name."""
    keep_promises(folder)
    try:
        names = {called.get(name, name).casefold(): name for name in sorted(os.listdir(folder), reverse=True)}
    except OSError as error:
        why = (error.strerror or "unreadable").lower()
        raise BadInput(reason("the folder can't be opened"), str(folder), why) from None
    by_sheet = own_names(names)
    own = set(by_sheet.values())
    texts = sorted({name for name in names if name.endswith(".csv")} | own, key=lambda name: (name not in own, name))
    if {"lots", "garments"} <= by_sheet.keys():
        texts = [name for name in texts if name in own or ("people" not in by_sheet and _lists_people(name))]
    if not texts:
        faults += _no_csv(folder, names).faults
        return []
    if len(texts) > _MOST_FILES:
        rename = reason("call the list of yarn lots.csv and the list of garments garments.csv")
        many = reason("{n} csv files", n=len(texts))
        faults += Grid(folder.name).fail(many, reason("the lists of yarn and of garments"), rename).faults
        return []
    return [
        _csv_in(folder, names[name], called) for name in texts if name in own or lies_in(folder / names[name], folder)
    ]


def _lists_people(name: str) -> bool:
    """Whether a file says by its name that it lists people: what does not suit their skin is not to be missed."""
    return titled(Grid(name)) == "people"


def _no_csv(folder: Path, names: dict[str, str]) -> Grid:
    books = sorted(name for name in names if name.endswith((".xlsx", ".ods")))
    like = nearest("lots.csv", list(names))
    mend = reason("put the list of yarn there as a csv file")
    if _holds_bins(folder, names.values()):
        mend = reason("if these are the bins of many, give the folder to {pool}", pool=Action("pool"))
    elif books:
        mend = reason("give the command the workbook: {file}", file=str(folder / names[books[0]]))
    elif like:
        mend = reason("rename {file}, or save it as csv", file=names[like])
    return Grid("lots.csv").fail(", ".join(sorted(names.values())[:5]), reason("a csv file in the folder"), mend)


def _holds_bins(folder: Path, names: Iterable[str]) -> bool:
    """Whether many bins lie in a folder, or in the folders in it."""
    bins = (*BOOK_ENDINGS, *STORE_ENDINGS, PARQUET)
    files = [name for name in names if name.casefold().endswith(bins)]
    inside = [folder / name for name in names if (folder / name).is_dir() and not (folder / name).is_symlink()]
    try:
        return len(files) > 1 or any(
            name.casefold().endswith((".csv", *bins)) for below in inside for name in os.listdir(below)
        )
    except OSError:
        return False


def _csv_in(folder: Path, name: str, called: Called) -> Grid:
    """A sheet of the folder; one that leads elsewhere is refused, since its faults would quote other files."""
    if lies_in(folder / name, folder):
        return read_csv(folder / name, called)
    found = reason("a link that leads out of the folder")
    return Grid(name).fail(found, reason("a sheet in the folder itself"), reason("put the sheet there"))


def _from_file(path: Path, faults: list[Fault], called: Called) -> list[Grid]:
    hers = called.get(path.name, str(path))
    kind = Path(hers).suffix.casefold()
    if kind in TEXTS:
        return [read_csv(path, called)]
    if kind not in BOOK_ENDINGS:
        todo = reason("give a folder with lots.csv and garments.csv, or a workbook saved as .xlsx or .ods")
        if kind == PARQUET:
            todo = reason("it is part of a pool: give the folder it lies in to {pool}", pool=Action("pool"))
        what = reason("a {kind} file isn't a bin", kind=kind) if kind else reason("a nameless file isn't a bin")
        raise BadInput(what, hers, todo)
    from matcher.store.sheets.workbooks import read_workbook  # most bins are folders of csv files, or stores

    sheets, whole = read_workbook(path, called)
    faults += whole.faults
    return list(sheets.values())
