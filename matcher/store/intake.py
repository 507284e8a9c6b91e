"""Sheets into the store: what a file would add or change, what cannot be taken in, and the taking itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from matcher.errors import BadInput, BadSheets, Fault
from matcher.materials.reading.units import parse_mass_g
from matcher.store.codes import LENGTH, LETTERS, fold
from matcher.store.database.act import Act
from matcher.store.database.claims import fit_claims
from matcher.store.database.rows import GARMENT_COLUMNS, LOT_COLUMNS
from matcher.store.database.store import Store
from matcher.store.sheets.books import SheetRows
from matcher.store.sheets.columns import GARMENTS, LOTS, Row, Table
from matcher.store.sheets.files import Grid
from matcher.store.sheets.read import Sheets, Standards, in_order, read_sheets

COLUMNS = {"lots": LOT_COLUMNS, "garments": GARMENT_COLUMNS}
NAMES = {"lots": "lot", "garments": "garment"}
_KINDS = {"lots": LOTS, "garments": GARMENTS}
_CODE = re.compile(f"[{LETTERS}]{{{LENGTH}}}")


@dataclass(frozen=True)
class Change:
    """One cell that the file has otherwise than the store."""

    column: str
    old: str
    new: str


@dataclass(frozen=True)
class Incoming:
    """One row of the file. name: as the store has it, where it has it; changes: empty when it is new or the same."""

    sheet: str
    name: str
    cells: Mapping[str, str]
    new: bool
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True)
class Refused:
    """One row that cannot be taken in: its cells as they stand in the file, and why."""

    sheet: str
    row: int
    cells: Mapping[str, str]
    why: str


@dataclass(frozen=True)
class Plan:
    """What a file would do to a store. left: names in the store that the file does not mention, by sheet."""

    file: str
    incoming: tuple[Incoming, ...]
    left: Mapping[str, tuple[str, ...]]
    refused: tuple[Refused, ...] = ()
    faults: tuple[Fault, ...] = ()
    notes: tuple[str, ...] = ()
    seen: Mapping[str, Sequence[Mapping[str, str]]] = field(default_factory=dict)

    @property
    def added(self) -> tuple[Incoming, ...]:
        return tuple(one for one in self.incoming if one.new)

    @property
    def changed(self) -> tuple[Incoming, ...]:
        return tuple(one for one in self.incoming if one.changes)

    @property
    def same(self) -> tuple[Incoming, ...]:
        return tuple(one for one in self.incoming if not one.new and not one.changes)


def state_of(store: Store) -> dict[str, list[dict[str, str]]]:
    """Cells of the store's lots and garments; the lots with the day they were weighed and the code on their tag."""
    beside = ", ".join(f'"{column}"' for column in (*LOT_COLUMNS, "weighed_on", "code"))
    return {"lots": store.select(f"SELECT {beside} FROM lots ORDER BY lot"), "garments": store.garments()}


NOTHING: dict[str, list[dict[str, str]]] = {"lots": [], "garments": []}


def plan_intake(file: Path, state: Mapping[str, Sequence[Mapping[str, str]]], catalogue: Standards) -> Plan:
    """Compare a file with the state of a store (`state_of`).

    Raises BadSheets for what is wrong with a sheet as a whole; faults of single rows are in the plan, and the rows
    that have them are refused. Raises NotFound and BadInput as reading does.
    """
    sheets = read_sheets(file)
    known = {sheet: {fold(row[NAMES[sheet]]): row for row in state[sheet]} for sheet in NAMES}
    whole = _Whole(sheets, known, catalogue, str(file))
    refused, faults = whole.refuse()
    incoming: list[Incoming] = []
    mentioned: dict[str, set[str]] = {sheet: set() for sheet in NAMES}
    for sheet, table in whole.tables():
        for row in table.rows:
            folded = fold(row.cells.get(NAMES[sheet], ""))
            mentioned[sheet].add(folded)
            if (sheet, row.number) not in refused:
                incoming.append(_incoming(sheet, row, table.columns, known[sheet].get(folded), sheets))
    left = {
        sheet: tuple(row[NAMES[sheet]] for folded, row in known[sheet].items() if folded not in mentioned[sheet])
        for sheet in NAMES
    }
    rows = tuple(_refused(sheet, number, why, sheets) for (sheet, number), why in sorted(refused.items()))
    return Plan(str(file), tuple(incoming), left, rows, tuple(in_order(faults)), tuple(whole.notes), state)


class _Whole:
    """The file's tables held against the store: a lot may name a garment that only the store has."""

    def __init__(
        self, sheets: Sheets, known: Mapping[str, Mapping[str, Mapping[str, str]]], catalogue: Standards, file: str
    ) -> None:
        self.sheets, self.known, self.catalogue, self.file = sheets, known, catalogue, file
        self.notes: list[str] = []

    def tables(self) -> Iterator[tuple[str, Table]]:
        """Garments first, so that their lots find them."""
        if self.sheets.garments is not None:
            yield "garments", self.sheets.garments
        if self.sheets.lots is not None:
            yield "lots", self.sheets.lots

    def refuse(self) -> tuple[dict[tuple[str, int], str], list[Fault]]:
        """Rows with faults, why by sheet and row, and every fault; refusing a garment can refuse its lots."""
        refused: dict[tuple[str, int], list[Fault]] = {}
        told = list(self.sheets.faults)
        fresh = self._judge(refused) + told
        while fresh:
            headers = {(table.where, table.header_row) for _, table in self.tables()}
            if any(not fault.row or (fault.where, fault.row) in headers for fault in fresh):
                raise BadSheets(in_order(fresh), self.file)
            for fault in fresh:
                refused.setdefault((self._sheet(fault.where), fault.row or 0), []).append(fault)
            told += [fault for fault in fresh if fault not in told]
            fresh = self._judge(refused)
        why = {place: "; ".join(_why(fault) for fault in faults) for place, faults in refused.items()}
        return why, told

    def _sheet(self, where: str) -> str:
        return "garments" if where == (self.sheets.garments_grid or Grid("")).where else "lots"

    def _judge(self, refused: Mapping[tuple[str, int], object]) -> list[Fault]:
        """Faults of the rows that are not refused yet, by the same rules as any bin's."""
        from matcher.store.sheets.lots import build_bin  # brings pydantic

        faults: list[Fault] = []
        notes: list[str] = []
        tables = {sheet: self._kept(sheet, table, refused) for sheet, table in self.tables()}
        lots, garments = tables.get("lots"), tables.get("garments")
        named = {fold(row.cells.get("garment", "")) for row in garments.rows} if garments else set()
        others = [row for folded, row in self.known["garments"].items() if folded not in named]
        where = garments.where if garments else "garments"
        columns = garments.columns if garments else frozenset(GARMENTS.known)
        stored = [Row(0, {column: row[column] for column in GARMENT_COLUMNS if row[column]}) for row in others]
        joined = Table(where, 0, columns, [*(garments.rows if garments else ()), *stored])
        build_bin(lots if lots and lots.rows else None, joined, True, self.catalogue, self.file, faults, notes)
        self.notes = [*self.sheets.notes, *notes]
        return faults

    def _kept(self, sheet: str, table: Table, refused: Mapping[tuple[str, int], object]) -> Table:
        """The rows not refused; a row that the store has too is judged with the cells that the file leaves alone."""
        rows = []
        for row in table.rows:
            if (sheet, row.number) in refused:
                continue
            stored = self.known[sheet].get(fold(row.cells.get(NAMES[sheet], "")))
            if stored:
                others = {
                    column: stored[column]
                    for column in COLUMNS[sheet]
                    if column not in table.columns and stored[column]
                }
                row = Row(row.number, {**others, **row.cells}, row.bad)
            rows.append(row)
        return Table(table.where, table.header_row, table.columns, rows)


def _why(fault: Fault) -> str:
    found = f'found "{fault.found}"' if fault.found else "found nothing"
    said = f"{found}, expected {fault.expected}"
    if fault.column:
        said = f"{fault.column}: {said}"
    return f"{said} ({fault.mend})" if fault.mend else said


def _refused(sheet: str, number: int, why: str, sheets: Sheets) -> Refused:
    grid = sheets.lots_grid if sheet == "lots" else sheets.garments_grid
    rows = dict(grid.rows) if grid else {}
    header = [cell.strip() for cell in grid.rows[0][1]] if grid else []
    cells = rows.get(number, [])
    # Cells beyond the header are kept as well: they are what is wrong with such a row.
    wide = [*header, *(f"beyond {place}" for place in range(1, len(cells) - len(header) + 1))]
    return Refused(sheet, number, dict(zip(wide, cells, strict=False)), why)


def _incoming(
    sheet: str, row: Row, columns: frozenset[str], stored: Mapping[str, str] | None, sheets: Sheets
) -> Incoming:
    name = NAMES[sheet]
    cells = {column: row.cells.get(column, "") for column in COLUMNS[sheet] if column in columns}
    beside = sheets.beside.get(row.number, {}) if sheet == "lots" else {}
    weighed = _day(beside.get("weighed_on", ""))
    if weighed:
        cells["weighed_on"] = weighed
    if stored is None:
        if is_code(beside.get("code", "")):
            cells["code"] = beside["code"]
        return Incoming(sheet, cells[name], cells, True)
    changes = [
        Change(column, stored[column], cell)
        for column, cell in cells.items()
        if column != name and stored[column] != cell
    ]
    if sheet == "lots" and not weighed and any(one.column == "grams" for one in changes) and stored["weighed_on"]:
        # Weighed anew, and nobody says when.
        changes.append(Change("weighed_on", stored["weighed_on"], ""))
    return Incoming(sheet, stored[name], cells, False, tuple(changes))


def _day(text: str) -> str:
    """A date such as 2026-11-25, or "" where there is none that can be read."""
    try:
        return date.fromisoformat(text.strip()[:10]).isoformat()
    except ValueError:
        return ""


def take_in(
    store: Store, plan: Plan, theirs: Callable[[Incoming], bool], words: str, told: Callable[[int], None]
) -> tuple[str, ...]:
    """Do what the plan says, as one action: all of it or nothing; returns remarks about what is on the needles.

    theirs: whether a row that the store has otherwise is taken as the file has it; told: is given the number of rows
    done so far. Raises BadInput when the store was changed since the plan was made.
    """
    remarks = []
    with store.action(words) as act:
        if state_of(store) != plan.seen:
            todo = "run the command again"
            raise BadInput("the store was changed while the file was looked at", str(store.path), todo)
        # A code that came with its lot goes before those that are worked out, so that these keep clear of it.
        for done, one in enumerate(sorted(plan.added, key=lambda one: (one.sheet, "code" not in one.cells))):
            _add(act, one)
            told(done)
        for one in plan.changed:
            if theirs(one):
                act.update(one.sheet, one.name, {change.column: change.new for change in one.changes})
                weighed = next((change.new for change in one.changes if change.column == "grams"), "")
                works = " and ".join(fit_claims(act, one.name, parse_mass_g(weighed))) if weighed else ""
                remarks += [f"All of {one.name} is claimed by {works}."] if works else []
    return tuple(remarks)


def _add(act: Act, one: Incoming) -> None:
    cells = {column: one.cells.get(column, "") for column in COLUMNS[one.sheet]}
    if one.sheet == "lots":
        cells["weighed_on"] = one.cells.get("weighed_on", "")
        if "code" in one.cells and not act.store.select("SELECT 1 FROM lots WHERE code = ?", one.cells["code"]):
            cells["code"] = one.cells["code"]
    act.insert(one.sheet, cells)


def refused_sheets(plan: Plan) -> list[SheetRows]:
    """The rows that were refused, in the columns of the file and one that says why."""
    found = []
    for sheet in NAMES:
        rows = [{**one.cells, "why": one.why} for one in plan.refused if one.sheet == sheet]
        columns = dict.fromkeys(column for row in rows for column in row if column != "why")
        if rows or sheet == "lots":
            found.append(SheetRows(sheet, [*(columns or _KINDS[sheet].needed), "why"], rows))
    return found


def whole_sheets(state: Mapping[str, Sequence[Mapping[str, str]]]) -> list[SheetRows]:
    """A whole bin as the sheets that intake reads, rows in order of their names.

    The columns `code` and `weighed_on` stand at the end where any lot has them.
    """
    lots = sorted(state["lots"], key=lambda row: row["lot"])
    beside = [column for column in ("weighed_on", "code") if any(row.get(column) for row in lots)]
    garments = sorted(state["garments"], key=lambda row: row["garment"])
    return [SheetRows("lots", [*LOT_COLUMNS, *beside], lots), SheetRows("garments", GARMENT_COLUMNS, garments)]


def is_code(text: str) -> bool:
    """Whether a cell holds a code as it stands on a tag."""
    return _CODE.fullmatch(text) is not None
