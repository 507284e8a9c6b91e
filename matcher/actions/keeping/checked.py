"""Cells that were typed, held to the same rules as those of the sheets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from matcher.errors import BadCells, Fault
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE, Columns

if TYPE_CHECKING:
    from matcher.materials.lots import Bin, Lot
    from matcher.materials.people import Person

NOTHING: Mapping[str, str] = {}


def checked_lot(cells: Mapping[str, str]) -> Lot:
    """The lot of these cells, columns of lots.csv. Raises BadCells for what cannot be read, all of it at once."""
    return _built(cells, {}).lots[0]


def checked_garment(cells: Mapping[str, str]) -> None:
    """The same for the columns of garments.csv."""
    _built({}, cells)


def checked_person(cells: Mapping[str, str]) -> Person:
    """The person of these cells, columns of people.csv. Raises BadCells."""
    return next(iter(_built({}, {}, cells).people.values()))


def _built(lot: Mapping[str, str], garment: Mapping[str, str], person: Mapping[str, str] = NOTHING) -> Bin:
    from matcher.store.catalogue.standards import load_standards
    from matcher.store.sheets.lots import build_bin
    from matcher.store.sheets.tabulate import Row, Table

    def table(cells: Mapping[str, str], columns: Columns) -> Table | None:
        given = {column: cells[column] for column in columns.typed if cells.get(column)}
        return Table(columns.sheet, 0, frozenset(columns.typed), [Row(0, given)]) if given else None

    faults: list[Fault] = []
    lots, garments, people = table(lot, LOTS), table(garment, GARMENTS), table(person, PEOPLE)
    bin_ = build_bin(lots, garments, garments is not None, load_standards(), "", faults, [], people=people)
    if faults:
        raise BadCells(faults)
    return bin_
