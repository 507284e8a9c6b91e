"""A bin out of the store: its cells go through the same checks as those of the sheets."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from pathlib import Path

from matcher.errors import BadSheets, Fault
from matcher.materials.lots import Bin, Decision
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Words
from matcher.store.catalogue.standards import Standards
from matcher.store.cells import all_cells
from matcher.store.database.rows import Rows
from matcher.store.database.store import open_store
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE, Columns
from matcher.store.sheets.tabulate import Row, Table
from matcher.store.sheets.understood import Understood


def read_store(path: Path, catalogue: Standards, understood: Understood | None = None) -> Bin:
    """Read a store as a bin, with what accessories on the needles have claimed.

    Raises as `open_store`; BadSheets when its cells hold what no sheet could bring in.
    """
    with open_store(path) as store:
        return bin_of(store, catalogue, understood)


def bin_of(store: Rows, catalogue: Standards, understood: Understood | None = None) -> Bin:
    """The bin of an open store, all of it from one and the same moment."""
    with store.reading():
        return bin_of_rows(store, catalogue, understood=understood)


def bin_of_rows(
    store: Rows, catalogue: Standards, only: Collection[str] | None = None, understood: Understood | None = None
) -> Bin:
    """The same inside a transaction of the caller's. only: folded names of the lots that are wanted; understood: gets
    the cells that do not say plainly what they were taken for."""
    cells = all_cells(store)
    lots, garments, people = cells["lots"], cells["garments"], cells["people"]
    claims = store.select("SELECT lot, SUM(metres) AS metres FROM claims GROUP BY lot")
    decided = {fold(row["lot"]): Decision(row["advice"], row["made_on"]) for row in store.rows("decisions")}
    if only is not None:
        lots = [row for row in lots if fold(row["lot"]) in only]
        owners = {fold(row["garment"]) for row in lots}
        garments = [row for row in garments if fold(row["garment"]) in owners]
    told = (str(store.path), lots, garments, people)
    bin_ = _kept_bin(told, catalogue) if understood is None else None
    if bin_ is None:
        from matcher.store.sheets.lots import build_bin  # brings numpy, which quick commands need not load

        faults: list[Fault] = []
        notes: list[Words] = []
        bin_ = build_bin(
            table_of(lots, LOTS) if lots else None,
            table_of(garments, GARMENTS),
            True,
            catalogue,
            str(store.path),
            faults,
            notes,
            understood,
            people=table_of(people, PEOPLE),
        )
        if faults:
            raise BadSheets(_by_name(lots, garments, people, catalogue), str(store.path))
        if only is None:
            _last[:] = [(told, catalogue, bin_)]
    claimed = {fold(one["lot"]): one["metres"] for one in claims}
    held = (replace(lot, claimed_m=claimed[fold(lot.name)]) if fold(lot.name) in claimed else lot for lot in bin_.lots)
    decisions = {lot.name: decided[fold(lot.name)] for lot in bin_.lots if fold(lot.name) in decided}
    return replace(bin_, lots=tuple(held) if claimed else bin_.lots, decisions=decisions)


_Told = tuple[str, list[dict[str, str]], list[dict[str, str]], list[dict[str, str]]]
_last: list[tuple[_Told, Standards, Bin]] = []


def _kept_bin(told: _Told, catalogue: Standards) -> Bin | None:
    """The bin that was read last, where the same cells are read again, as after each row of a piece on the needles."""
    return next((bin_ for cells, of, bin_ in _last if of is catalogue and cells == told), None)


def _by_name(
    lots: list[dict[str, str]], garments: list[dict[str, str]], people: list[dict[str, str]], catalogue: Standards
) -> list[Fault]:
    """The faults again, each with the lot, garment or person that it is in, since there are no rows to count."""
    from matcher.store.sheets.lots import build_bin

    tables = table_of(lots, LOTS), table_of(garments, GARMENTS), table_of(people, PEOPLE)
    for table in tables:
        for number, row in enumerate(table.rows):
            row.number = number + 1
    faults: list[Fault] = []
    build_bin(*tables[:2], True, catalogue, "", faults, [], people=tables[2])
    names = {
        one.sheet: (one.thing, [row[one.thing] for row in rows])
        for one, rows in ((LOTS, lots), (GARMENTS, garments), (PEOPLE, people))
    }
    return [
        replace(one, where=f"{names[one.where][0]} {names[one.where][1][one.row - 1]}", row=None) if one.row else one
        for one in faults
    ]


def table_of(rows: list[dict[str, str]], columns: Columns) -> Table:
    """Rows of the store as a sheet's, without a row number since they stand in no file."""
    named = [Row(0, {name: cell for name, cell in row.items() if cell}) for row in rows]
    return Table(columns.sheet, 0, frozenset(columns), named)
