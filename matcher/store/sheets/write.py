"""Sheets written: a folder of csv files, a workbook (.xlsx) or an OpenDocument spreadsheet (.ods).

The same rows give the same bytes, and reading gives back the very text of every cell. Text that a spreadsheet would
run as a formula gets an apostrophe before it, which reading takes off again.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.reason import reason
from matcher.store.files import write_out
from matcher.store.sheets.books import SheetRows, Told, ods, xlsx

Progress = Callable[[int, int], None]

_OTHER_KINDS = (".csv", ".tsv", ".txt", ".xls", ".xlsm", ".json", ".sqlite", ".db", ".html")


def write_sheets(
    place: Path,
    sheets: Sequence[SheetRows],
    *,
    replace: bool = False,
    progress: Progress | None = None,
    along: Mapping[Path, bytes] | None = None,
) -> tuple[Path, ...]:
    """Write the sheets; the files that hold them.

    place: a file ending in .xlsx or .ods, else a folder that gets one csv file a sheet. Each file is written beside
    its place and moved there when all of them are whole. along: files that go with them, by their paths in that folder,
    or in the one that the file lies in. Raises BadInput for another kind of file, for a place that
    cannot be written, for text that the kind of file cannot hold, and where a file of other content stands already
    and `replace` is not set.
    """
    kind = place.suffix.casefold()
    if kind in _OTHER_KINDS and not place.is_dir():
        todo = reason("give a folder, or a file ending in .xlsx or .ods")
        raise BadInput(reason("a {kind} file can't hold both sheets", kind=kind), str(place), todo)
    told = Told(sheets, place, progress)
    if kind == ".xlsx":
        files = {place: xlsx(sheets, told)}
    elif kind == ".ods":
        files = {place: ods(sheets, told)}
    else:
        files = {place / f"{sheet.name}.csv": _csv(sheet, told) for sheet in sheets}
    folder = place.parent if kind in (".xlsx", ".ods") else place
    return write_out({**files, **{folder / path: data for path, data in (along or {}).items()}}, replace=replace)


def _csv(sheet: SheetRows, told: Told) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(sheet.columns)
    writer.writerows(told.rows(sheet))
    # The mark at the start makes spreadsheets read the file as UTF-8.
    return text.getvalue().encode("utf-8-sig")
