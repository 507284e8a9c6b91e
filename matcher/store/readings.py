"""What she said of a workbook, kept in the store: known by the file's name, or a copy by its headings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from zlib import crc32

from matcher.materials.reading.names import fold
from matcher.store.database.act import Act
from matcher.store.database.rows import Rows
from matcher.store.sheets.grid import AS_THEY_LIE, Called
from matcher.store.sheets.headings import Meant, fold_heading
from matcher.store.sheets.read import read_sheets
from matcher.store.sheets.said import NOTHING_SAID, Said
from matcher.store.sheets.understood import HeadingRead


@dataclass(frozen=True)
class Book:
    """A workbook or folder of sheets, as it is known when it comes again. name: of the file, folded; shape: a mark of
    its headings, "" where they are the store's own and so tell nothing."""

    name: str
    shape: str


@dataclass(frozen=True)
class Answer:
    """What she said of one heading or cell of a sheet; the columns of the store's table of readings.

    heading: folded, "" for a cell; column: "" for a heading that is left out; name: as `row_name` has it, "" for every
    cell of the column that says the same; cell: as she wrote it; taken: what is read in its place, "" for nothing, and
    of a heading the unit of bare numbers below.
    """

    sheet: str
    heading: str = ""
    column: str = ""
    name: str = ""
    cell: str = ""
    taken: str = ""


def book_of(file: Path, headings: Iterable[HeadingRead], called: Called = AS_THEY_LIE) -> Book:
    """The mark of a workbook by its name, as she calls it, and its headings."""
    hers = sorted({fold_heading(one.heading) for one in headings if not one.as_named})
    mark = crc32("\n".join(hers).encode("utf-8", "replace"))
    return Book(fold(called.get(file.name, file.name)) or "sheets", f"{mark:08x}" if hers else "")


def said_of(store: Rows, file: Path, called: Called = AS_THEY_LIE) -> Said:
    """What she said of this workbook, or of one with the same headings; its own answers go first.

    Raises as reading the file does, where another workbook was spoken of and its headings must be looked at.
    """
    kept = store.rows("readings")
    if not kept:
        return NOTHING_SAID
    book = book_of(file, (), called)
    if any(row["book"] != book.name for row in kept):  # else all of them are of it, whatever its headings
        book = book_of(file, read_sheets(file, called=called).understood.headings, called)
    of_it = [row for row in kept if row["book"] == book.name or (book.shape and row["shape"] == book.shape)]
    of_it.sort(key=lambda row: (row["book"] == book.name, row["id"]))
    return Said(
        {(row["sheet"], row["heading"]): Meant(row["of_column"], row["taken"]) for row in of_it if row["heading"]},
        {
            (row["sheet"], row["of_column"], row["name"], row["cell"]): row["taken"]
            for row in of_it
            if not row["heading"]
        },
    )


def keep(act: Act, book: Book, answer: Answer) -> None:
    """Keep an answer, in place of an earlier one about the same."""
    place = {"book": book.name, "sheet": answer.sheet, "heading": answer.heading}
    about_cell = {"of_column": answer.column, "name": answer.name, "cell": answer.cell}
    asked = place if answer.heading else {**place, **about_cell}
    where = " AND ".join(f"{name} = ?" for name in asked)
    new = {**place, **about_cell, "shape": book.shape, "taken": answer.taken, "said_on": act.today}
    found = act.store.select(f"SELECT id FROM readings WHERE {where}", *asked.values())
    if found:
        act.update("readings", found[0]["id"], new)
    else:
        act.insert("readings", new)
