"""Sheets into the store: what a file would add or change, what cannot be taken in, and the taking itself."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from matcher.errors import BadInput, BadSheets, Fault, found_expected
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Action, Column, Words, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.reasons.visible import visible
from matcher.store.catalogue.standards import Standards
from matcher.store.cells import AllCells, all_cells
from matcher.store.codes import is_code
from matcher.store.database.act import Act
from matcher.store.database.claims import fit_claims
from matcher.store.database.store import Store
from matcher.store.sheets.as_meant import with_unit
from matcher.store.sheets.books import SheetRows
from matcher.store.sheets.columns import GARMENTS, SHEETS, WHY, as_day
from matcher.store.sheets.grid import AS_THEY_LIE, Called
from matcher.store.sheets.headings import UNITS, usual_unit
from matcher.store.sheets.read import Sheets, in_order, read_sheets
from matcher.store.sheets.said import NOTHING_SAID, Said
from matcher.store.sheets.tabulate import Row, Table
from matcher.store.sheets.understood import Understood
from matcher.store.written import Written, headings_of, keep_written, of_row


@dataclass(frozen=True)
class Change:
    """One cell that the file has otherwise than the store."""

    column: str
    old: str
    new: str


@dataclass(frozen=True)
class Incoming:
    """One row of the file. name: as the store has it, where it has it; changes: empty when it is new or the same;
    written: what she wrote, where the cells have it otherwise."""

    sheet: str
    name: str
    cells: Mapping[str, str]
    new: bool
    changes: tuple[Change, ...] = ()
    written: tuple[Written, ...] = ()


@dataclass(frozen=True)
class Refused:
    """One row that cannot be taken in: its cells as they stand in the file, and why."""

    sheet: str
    row: int
    cells: Mapping[str, str]
    why: Words


@dataclass(frozen=True)
class Comparison:
    """What a file would do to a store. left: names in the store that the file does not mention, by sheet; seen: the
    store's cells as they were then; tables: the file's rows by sheet; understood: what was made of them."""

    file: str
    incoming: tuple[Incoming, ...]
    left: Mapping[str, tuple[str, ...]]
    seen: AllCells
    refused: tuple[Refused, ...] = ()
    faults: tuple[Fault, ...] = ()
    notes: tuple[Words, ...] = ()
    understood: Understood = field(default_factory=Understood)
    tables: Mapping[str, Table] = field(default_factory=dict)

    @property
    def added(self) -> tuple[Incoming, ...]:
        return tuple(one for one in self.incoming if one.new)

    @property
    def changed(self) -> tuple[Incoming, ...]:
        return tuple(one for one in self.incoming if one.changes)

    @property
    def refused_whole(self) -> frozenset[str]:
        """The sheets of which no row can be taken in."""
        return frozenset(one.sheet for one in self.refused) - {one.sheet for one in self.incoming}

    @property
    def same(self) -> tuple[Incoming, ...]:
        return tuple(one for one in self.incoming if not one.new and not one.changes)


def compare(
    file: Path,
    seen: AllCells,
    catalogue: Standards,
    said: Said = NOTHING_SAID,
    *,
    only_sure: bool = False,
    called: Called = AS_THEY_LIE,
) -> Comparison:
    """Compare a file with the cells of a store.

    said: what she said herself that headings and cells mean. only_sure: rows with a guess that is hers to settle are
    refused. called: what she calls the file, where it lies under another name.

    Raises BadSheets for what is wrong with a sheet as a whole; faults of single rows are in the comparison, and the
    rows that have them are refused. Raises NotFound and BadInput as reading does.
    """
    known = {one.sheet: {fold(row[one.thing]): row for row in seen[one.sheet]} for one in SHEETS.values()}
    sheets = read_sheets(file, said, [row["garment"] for row in seen["garments"]], called)
    name = called.get(file.name, str(file))
    whole = _Whole(sheets, known, catalogue, name, only_sure)
    refused, faults = whole.refuse()
    incoming: list[Incoming] = []
    mentioned: dict[str, set[str]] = {sheet: set() for sheet in SHEETS}
    named = whole.garments_named(refused)
    for sheet, table in whole.tables():
        headings = headings_of(sheets.understood.headings, table.where)
        for row in table.rows:
            folded = fold(row.cells.get(SHEETS[sheet].thing, ""))
            mentioned[sheet].add(folded)
            if (sheet, row.number) not in refused and (row.number or folded in named):
                one = _incoming(sheet, row, table.columns, known[sheet].get(folded))
                incoming.append(replace(one, written=of_row(row, headings)))
    left = {
        sheet: tuple(row[SHEETS[sheet].thing] for folded, row in rows.items() if folded not in mentioned[sheet])
        for sheet, rows in known.items()
    }
    turned_away = tuple(_refused(*place, refused[place], sheets) for place in sorted(refused))
    return Comparison(
        name,
        tuple(incoming),
        left,
        seen,
        turned_away,
        tuple(in_order(faults, sheets)),
        tuple(whole.notes),
        whole.understood or sheets.understood,
        dict(whole.tables()),
    )


class _Whole:
    """The file's tables held against the store: a lot may name a garment that only the store has."""

    def __init__(
        self,
        sheets: Sheets,
        known: Mapping[str, Mapping[str, Mapping[str, str]]],
        catalogue: Standards,
        file: str,
        only_sure: bool,
    ) -> None:
        self.sheets, self.known, self.catalogue, self.file = sheets, known, catalogue, file
        self.only_sure = only_sure
        self.notes: list[Words] = []
        self.understood: Understood | None = None

    def tables(self) -> Iterator[tuple[str, Table]]:
        """Garments first, so that their lots find them."""
        if self.sheets.garments is not None:
            yield "garments", self.sheets.garments
        if self.sheets.lots is not None:
            yield "lots", self.sheets.lots
        if self.sheets.people is not None:
            yield "people", self.sheets.people

    def garments_named(self, refused: Container[tuple[str, int]]) -> frozenset[str]:
        """Folded names of garments in the lots that are not refused; one that only a refused lot names is left."""
        rows = self.sheets.lots.rows if self.sheets.lots else ()
        kept = (row for row in rows if ("lots", row.number) not in refused)
        return frozenset(fold(row.cells.get("garment", "")) for row in kept)

    def refuse(self) -> tuple[dict[tuple[str, int], Words], list[Fault]]:
        """Rows with faults, why by sheet and row, and every fault; refusing a garment can refuse its lots."""
        refused: dict[tuple[str, int], list[Fault]] = {}
        told = list(self.sheets.faults)
        fresh = self._judge(refused) + told
        while fresh:
            headers = {table.where: table.header_row for _, table in self.tables()}
            if any(not fault.row or fault.row == headers.get(fault.where, fault.row) for fault in fresh):
                raise BadSheets(in_order(fresh, self.sheets), self.file)
            for fault in fresh:
                refused.setdefault((self.sheets.sheet(fault.where), fault.row or 0), []).append(fault)
            told += [fault for fault in fresh if fault not in told]
            fresh = self._judge(refused)
        return {place: listed(map(_why, faults), between="; ") for place, faults in refused.items()}, told

    def _judge(self, refused: Mapping[tuple[str, int], object]) -> list[Fault]:
        """Faults of the rows that are not refused yet, by the same rules as any bin's."""
        from matcher.store.sheets.lots import build_bin  # brings numpy

        faults: list[Fault] = []
        notes: list[Words] = []
        tables = {sheet: self._kept(sheet, table, refused) for sheet, table in self.tables()}
        lots, garments = tables.get("lots"), tables.get("garments")
        named = {fold(row.cells.get("garment", "")) for row in garments.rows} if garments else set()
        others = [row for folded, row in self.known["garments"].items() if folded not in named]
        where = garments.where if garments else "garments"
        columns = garments.columns if garments else frozenset(GARMENTS)
        stored = [Row(0, {column: row[column] for column in GARMENTS if row[column]}) for row in others]
        joined = Table(where, 0, columns, [*(garments.rows if garments else ()), *stored])
        understood = self.sheets.understood.copy()
        lots = lots if lots and lots.rows else None
        read = (True, self.catalogue, self.file, faults, notes, understood)
        build_bin(lots, joined, *read, people=tables.get("people"))
        self.notes = [*self.sheets.notes, *notes]
        understood.cells[:] = [one for one in understood.cells if one.row]  # rows of the store are none of the file's
        if self.understood is None:  # all rows are looked at first
            self.understood = understood
        return [*faults, *self._doubts(tables, understood)] if self.only_sure else faults

    def _doubts(self, tables: Mapping[str, Table], understood: Understood) -> Iterator[Fault]:
        """Guesses that are hers to settle, as faults of the cells that they are about; in the rows that are left.

        A garment of which nothing is told counts as worn, and so does one that a lot names where none is listed at all.
        That keeps more yarn back than anything else would, so it may be taken without her.
        """
        garments = self.sheets.garments
        listed = bool(self.known["garments"]) or any(row.number for row in (garments.rows if garments else ()))
        rows = {(table.where, row.number): row for table in tables.values() for row in table.rows}
        for cell in understood.asked():
            row = rows.get((cell.where, cell.row))
            if row and cell.found and (listed or cell.column != "garment"):
                expected = reason("what is sure ({taken} is a guess)", taken=cell.taken)
                yield Fault(cell.where, cell.row, cell.column, cell.found, expected, reason("write what it is"))
        for one in (one for one in understood.headings if one.column and not one.sure):
            unit = one.unit or usual_unit(SHEETS[self.sheets.sheet(one.where)], one.column)
            said = UNITS.get(unit, unit)
            taken = reason("{column} in {unit}", column=Column(one.column), unit=said) if unit else Column(one.column)
            expected = reason("a heading that says what it is ({taken} is a guess)", taken=taken)
            mend = reason("write it into the heading, once for all rows, or let {intake} ask", intake=Action("intake"))
            for (where, number), row in rows.items():
                if where == one.where and number and one.column in row.cells:
                    text = row.hers.get(one.column, row.cells[one.column])
                    if not unit or with_unit(text, unit) != text:  # what has its own unit is no guess
                        yield Fault(where, number, one.column, one.heading, expected, mend)

    def _kept(self, sheet: str, table: Table, refused: Mapping[tuple[str, int], object]) -> Table:
        """The rows not refused; a row that the store has too is judged with the cells that the file leaves alone."""
        rows = []
        for row in table.rows:
            if (sheet, row.number) in refused:
                continue
            stored = self.known[sheet].get(fold(row.cells.get(SHEETS[sheet].thing, "")))
            if stored:
                others = {
                    column: stored[column]
                    for column in SHEETS[sheet].typed
                    if column not in table.columns and stored[column]
                }
                row = Row(row.number, {**others, **row.cells}, row.bad, row.hers)
            rows.append(row)
        return Table(table.where, table.header_row, table.columns, rows)


def _why(fault: Fault) -> Words:
    said = found_expected(fault.found, fault.expected, fault.mend)
    return reason("{column}: {said}", column=Column(fault.column), said=said) if fault.column else said


def _refused(sheet: str, number: int, why: Words, sheets: Sheets) -> Refused:
    found = sheets.found[sheet]
    header = found.headings
    cells = next((cells for row, cells in found.rows if row == number), [])
    # Cells beyond the header are kept as well: they are what is wrong with such a row.
    wide = [*header, *(f"beyond {place}" for place in range(1, len(cells) - len(header) + 1))]
    return Refused(sheet, number, dict(zip(wide, cells, strict=False)), why)


def _incoming(sheet: str, row: Row, columns: frozenset[str], stored: Mapping[str, str] | None) -> Incoming:
    rules = SHEETS[sheet]
    cells = {column: row.cells.get(column, "") for column in rules.typed if column in columns or column in row.cells}
    weighed = as_day(row.cells.get("weighed_on", ""))
    if weighed:
        cells["weighed_on"] = weighed
    if stored is None:
        if is_code(row.cells.get("code", "")):
            cells["code"] = row.cells["code"]
        return Incoming(sheet, cells[rules.thing], cells, True)
    changes = [
        Change(column, stored[column], cell)
        for column, cell in cells.items()
        if column != rules.thing and stored[column] != cell
    ]
    if not weighed and any(one.column == "grams" for one in changes) and stored["weighed_on"]:
        # Weighed anew, and nobody says when.
        changes.append(Change("weighed_on", stored["weighed_on"], ""))
    return Incoming(sheet, stored[rules.thing], cells, False, tuple(changes))


_MASS = "SELECT mass_g FROM lots WHERE lot = ?"


def take_in(
    store: Store,
    found: Comparison,
    as_file: Callable[[Incoming], bool],
    words: Words,
    told: Callable[[int], None],
    goes_on: Words = "",
) -> tuple[Words, ...]:
    """Do what was found, as one action: all of it or nothing; returns remarks about what is on the needles.

    as_file: whether a row that the store has otherwise is taken as the file has it; told: is given the number of rows
    done so far; goes_on: words of the action before, of which this is a part. Raises BadInput when the store was
    changed since it was looked at.
    """
    remarks = []
    with store.action(words, goes_on) as act:
        if all_cells(store) != found.seen:
            what = reason("the store was changed while the file was looked at")
            raise BadInput(what, str(store.path), reason("try again"))
        # A code that came with its lot goes before those that are worked out, so that these keep clear of it.
        for done, one in enumerate(sorted(found.added, key=lambda one: (one.sheet, "code" not in one.cells))):
            _add(act, one)
            keep_written(act, one.sheet, one.name, one.written)
            told(done)
        for one in found.changed:
            if as_file(one):
                act.update(one.sheet, one.name, {change.column: change.new for change in one.changes})
                keep_written(act, one.sheet, one.name, one.written)
                weighed = any(change.column in ("grams", "ball_grams") for change in one.changes)
                works = fit_claims(act, one.name, store.select(_MASS, one.name)[0]["mass_g"]) if weighed else ()
                if works:
                    said = "All of {lot} is set aside for {works}."
                    remarks.append(reason(said, lot=one.name, works=listed(works, "and", " and ")))
    return tuple(remarks)


def _add(act: Act, one: Incoming) -> None:
    cells = {column: one.cells.get(column, "") for column in SHEETS[one.sheet].typed}
    if one.sheet == "lots":
        cells["weighed_on"] = one.cells.get("weighed_on", "")
        if "code" in one.cells and not act.store.select("SELECT 1 FROM lots WHERE code = ?", one.cells["code"]):
            cells["code"] = one.cells["code"]
    act.insert(one.sheet, cells)


def refused_sheets(found: Comparison, style: Style = PLAIN) -> list[SheetRows]:
    """The rows that were refused, in the columns of the file and one that says why."""
    sheets = []
    for sheet, columns in SHEETS.items():
        said = [{**one.cells, WHY: style.say(one.why)} for one in found.refused if one.sheet == sheet]
        rows = [{column: visible(cell) for column, cell in row.items()} for row in said]
        headings = dict.fromkeys(column for row in rows for column in row if column != WHY)
        if rows or sheet == "lots":
            sheets.append(SheetRows(sheet, [*(headings or columns.needed), WHY], rows))
    return sheets
