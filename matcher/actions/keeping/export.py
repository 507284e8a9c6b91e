"""Write the whole bin out: what intake reads, the same bytes every time."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.place import names_store, own_bin
from matcher.errors import BadInput, BadSheets, found_expected
from matcher.materials.reading.names import readable_name
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Field, Words, reason
from matcher.reasons.visible import visible
from matcher.store.catalogue.folders import demo_folder
from matcher.store.cells import NOTHING, AllCells, all_cells, whole_sheets
from matcher.store.collection.columns import is_parquet
from matcher.store.database.store import open_store
from matcher.store.files import write_out
from matcher.store.places import expanded, to_read
from matcher.store.sheets.books import SheetRows
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE
from matcher.store.sheets.read import read_sheets
from matcher.store.sheets.write import write_sheets

# Tables of a store beside its sheets: what is on the needles, what was used, decided, written and wished.
OTHERS = ("works", "claims", "used", "swatches", "decisions", "written", "readings", "wishes")


@dataclass(frozen=True)
class Export:
    """A whole bin as cells: lots, garments and people by column, the store's other tables, and the files written.

    given : how many rows of free yarn a Parquet file got, None where sheets were written. withheld : the place that was
    asked for and isn't in it, since it would name somebody. notes : what does not go along.
    """

    source: Path
    cells: AllCells
    others: Mapping[str, Sequence[Mapping[str, Any]]]
    written: tuple[Path, ...] = ()
    given: int | None = None
    withheld: str = ""
    notes: tuple[Words, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {sheet: [dict(row) for row in rows] for sheet, rows in {**self.cells, **self.others}.items()}


def export(
    to: Path | str | None = None,
    bin: Path | str | None = None,
    *,
    as_written: bool = False,
    code: str = "",
    place: str = "",
    replace: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Export:
    """Write a bin as a folder of csv sheets, or as one .xlsx or .ods file; with no `to` only read it. Motif files that
    its garments name go along: into the folder, or beside the file.

    A file that ends in .parquet gets what is free in the bin, for a collection of many bins, and nobody's name.

    bin : a store, a folder or a workbook; None reads the usual store, else the demo.
    as_written : add a sheet of what she wrote herself where the store has it otherwise.
    code, place : of a Parquet file, whose it is in a collection, and where it lies there.
    replace : write over files of other content.

    Raises BadInput, BadSheets (for a bin in sheets that cannot be read) and NotFound.
    """
    source = to_read(bin) if bin is not None else own_bin() or demo_folder()
    if to is not None and is_parquet(expanded(to)):
        return _shared(expanded(to), source, code, place, replace)
    if code or place:
        what = reason("only a file that ends in .parquet says whose it is")
        raise BadInput(what, Field("code" if code else "place"), reason("leave it out, or name such a file"))
    cells, others = _read(source)
    written: tuple[Path, ...] = ()
    notes: tuple[Words, ...] = ()
    if to is not None:
        along, notes = _along(cells, source)
        sheets = [*whole_sheets(cells), *([_as_written(others["written"])] if as_written else [])]
        written = write_sheets(expanded(to), sheets, replace=replace, progress=progress, along=along)
    return Export(source, cells, others, written, notes=notes)


def _along(cells: AllCells, source: Path) -> tuple[Mapping[Path, bytes], tuple[Words, ...]]:
    """The motif files of the garments, and what to say of those that stay behind."""
    if not any(row.get("motif") for row in cells["garments"]):
        return {}, ()
    from matcher.actions.desk import desk_of  # brings numpy and the catalogue, which most bins don't need
    from matcher.store.motifs.along import motifs_along

    motifs = desk_of(None).catalogue.motifs.values()
    return motifs_along(cells["garments"], source if source.is_dir() else source.parent, motifs)


def _shared(file: Path, source: Path, code: str, place: str, replace: bool) -> Export:
    """What is free in a bin, as a Parquet file."""
    from matcher.actions.desk import Desk
    from matcher.actions.given import given
    from matcher.store.collection.writing import parquet_of

    named = {name: _name(name, text) for name, text in (("code", code), ("place", place))}
    collection = given(Desk(source), **named)
    written = write_out({file: parquet_of(collection)}, replace=replace)
    withheld = "" if collection.place.values[0] else named["place"]
    return Export(source, NOTHING, {table: [] for table in OTHERS}, written, len(collection), withheld)


def _name(field: str, text: str) -> str:
    try:
        return readable_name(text)
    except Unreadable as fault:
        raise BadInput(found_expected(text, fault.expected, fault.mend), Field(field)) from None


def _as_written(rows: Sequence[Mapping[str, Any]]) -> SheetRows:
    """What she wrote, as a sheet for herself; intake leaves it alone."""
    named = {"of_column": "read as", "heading": "your heading", "cell": "you wrote", "taken": "taken as"}
    columns = {"sheet": "sheet", "name": "name", **named}
    said = [{columns[key]: visible(row[key]) for key in columns} for row in rows]
    return SheetRows("as written", list(columns.values()), said)


def _read(source: Path) -> tuple[AllCells, Mapping[str, Sequence[Mapping[str, Any]]]]:
    if names_store(source):
        with open_store(source) as store, store.reading():
            return all_cells(store), {table: store.rows(table) for table in OTHERS}
    sheets = read_sheets(source)
    if sheets.faults:
        raise BadSheets(sheets.faults, str(source))
    cells = {
        columns.sheet: [{column: row.cells.get(column, "") for column in columns} for row in table.rows]
        if table
        else []
        for columns, table in ((LOTS, sheets.lots), (GARMENTS, sheets.garments), (PEOPLE, sheets.people))
    }
    return cells, {table: [] for table in OTHERS}
