"""Write the whole bin out: what intake reads, the same bytes every time."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.place import own_bin
from matcher.errors import BadSheets
from matcher.store.catalogue.catalogue import demo_folder
from matcher.store.database.store import STORE_ENDINGS, is_store, open_store
from matcher.store.intake import COLUMNS, state_of, whole_sheets
from matcher.store.sheets.read import read_sheets
from matcher.store.sheets.write import write_sheets

# Tables of a store beside its two sheets: what is on the needles, what was used, what was decided.
OTHERS = ("works", "claims", "used", "swatches", "decisions")


@dataclass(frozen=True)
class Export:
    """A whole bin as cells: lots and garments by column, the store's other tables, and the files written."""

    source: Path
    state: Mapping[str, Sequence[Mapping[str, str]]]
    others: Mapping[str, Sequence[Mapping[str, Any]]]
    written: tuple[Path, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {sheet: [dict(row) for row in rows] for sheet, rows in {**self.state, **self.others}.items()}


def export(
    to: Path | str | None = None,
    bin: Path | str | None = None,
    *,
    replace: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Export:
    """Write a bin as a folder of csv sheets, or as one .xlsx or .ods file; with no `to` only read it.

    bin : a store, a folder or a workbook; None reads the usual store, else the demo.
    replace : write over files of other content.

    Raises BadInput, BadSheets (for a bin in sheets that cannot be read) and NotFound.
    """
    source = Path(bin).expanduser() if bin is not None else own_bin() or demo_folder()
    state, others = _read(source)
    written: tuple[Path, ...] = ()
    if to is not None:
        written = write_sheets(Path(to).expanduser(), whole_sheets(state), replace=replace, progress=progress)
    return Export(source, state, others, written)


def _read(
    source: Path,
) -> tuple[Mapping[str, Sequence[Mapping[str, str]]], Mapping[str, Sequence[Mapping[str, Any]]]]:
    if is_store(source) or source.suffix.casefold() in STORE_ENDINGS:
        with open_store(source) as store, store.reading():
            return state_of(store), {table: store.rows(table) for table in OTHERS}
    sheets = read_sheets(source)
    if sheets.faults:
        raise BadSheets(sheets.faults, str(source))
    state: dict[str, list[dict[str, str]]] = {}
    for sheet, table in (("lots", sheets.lots), ("garments", sheets.garments)):
        columns = [*COLUMNS[sheet], *(("weighed_on", "code") if sheet == "lots" else ())]
        rows = (
            [{**row.cells, **(sheets.beside.get(row.number, {}) if sheet == "lots" else {})} for row in table.rows]
            if table
            else []
        )
        state[sheet] = [{column: row.get(column, "") for column in columns} for row in rows]
    return state, {table: [] for table in OTHERS}
