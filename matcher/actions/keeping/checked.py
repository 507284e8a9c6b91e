"""Cells that were typed, held to the same rules as those of the sheets."""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import TYPE_CHECKING

from matcher.actions.names import read_as
from matcher.errors import BadCells, Fault
from matcher.reasons.reason import Words
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE, Columns

if TYPE_CHECKING:
    from matcher.materials.lots import Bin, Lot
    from matcher.materials.people import Person

NOTHING: Mapping[str, str] = {}


def checked_lot(cells: Mapping[str, str], told: list[Words] | None = None, among: Container[str] = LOTS) -> Lot:
    """The lot of these cells, columns of lots.csv. Raises BadCells for what cannot be read, all of it at once.

    told: is given a remark on each cell that does not say plainly what it was taken for, of the columns `among`.
    """
    return _built(cells, {}, told=told, among=among).lots[0]


def checked_garment(
    cells: Mapping[str, str], told: list[Words] | None = None, among: Container[str] = GARMENTS
) -> None:
    """The same for the columns of garments.csv."""
    _built({}, cells, told=told, among=among)


def checked_person(cells: Mapping[str, str], told: list[Words] | None = None, among: Container[str] = PEOPLE) -> Person:
    """The same for the columns of people.csv: the person of these cells."""
    return next(iter(_built({}, {}, cells, told, among).people.values()))


def _built(
    lot: Mapping[str, str],
    garment: Mapping[str, str],
    person: Mapping[str, str] = NOTHING,
    told: list[Words] | None = None,
    among: Container[str] = (),
) -> Bin:
    from matcher.store.catalogue.standards import load_standards
    from matcher.store.sheets.lots import build_bin
    from matcher.store.sheets.tabulate import Row, Table
    from matcher.store.sheets.understood import Understood

    def table(cells: Mapping[str, str], columns: Columns) -> Table | None:
        given = {column: cells[column] for column in columns.typed if cells.get(column)}
        return Table(columns.sheet, 0, frozenset(columns.typed), [Row(0, given)]) if given else None

    faults: list[Fault] = []
    lots, garments, people = table(lot, LOTS), table(garment, GARMENTS), table(person, PEOPLE)
    read = Understood()
    bin_ = build_bin(lots, garments, garments is not None, load_standards(), "", faults, [], read, people=people)
    if faults:
        raise BadCells(faults)
    if told is not None:
        told += (
            remark for one in read.cells if one.column in among for remark in read_as(one.found, one.taken, one.sure)
        )
    return bin_
