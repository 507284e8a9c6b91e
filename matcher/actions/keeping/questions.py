"""What cannot be worked out of her sheets, as questions that any face may ask."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from matcher.actions.reading import unit_of
from matcher.errors import Fault
from matcher.materials.reading.numerals import shorten
from matcher.reasons.reason import Term, Words, counted, listed, reason
from matcher.store.readings import Answer
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE, SHEETS, Columns, Kind
from matcher.store.sheets.headings import UNITS, fold_heading
from matcher.store.sheets.passed_over import WORKED_OUT
from matcher.store.sheets.said import row_name
from matcher.store.sheets.tabulate import Table
from matcher.store.sheets.understood import CellRead, HeadingRead, Understood

Tables = Mapping[str, Table]

# Cells of these kinds are words of hers that mean the same wherever they stand; those of the others are of one row.
_WORDS: frozenset[Kind] = frozenset(("role", "colour", "class", "fibre", "wash", "label", "status", "mending"))
_HEAVY = frozenset(("ball_grams", "ball_metres"))  # where both are empty, the class is what she may know
_MENDS = {LOTS.sheet: ("garment",), GARMENTS.sheet: ("kind",)}  # by what yarn is kept for mending
# What becomes of rows that cannot be read.
_LEFT = {
    LOTS.sheet: ("leave this lot out", "leave these {n} lots out"),
    GARMENTS.sheet: ("leave this garment and its lots out", "leave these {n} garments and their lots out"),
    PEOPLE.sheet: ("leave this person out", "leave these {n} people out"),
}
_OF_GARMENT = (LOTS.sheet, "garment")


@dataclass(frozen=True)
class Question:
    """One thing to ask. about: whether a heading holds a column ("heading"), which heading holds it ("column"), or what
    a cell says ("cell"); place: where the answer goes; otherwise: what holds where she gives none; among: what may be
    answered, where that is a few; confirms: no answer confirms a guess; unit: the guess at what numbers below a heading
    count in. cells: those of the row, or of the first one; rows: sheet and number of each row that it is about; each:
    the same asked of one row at a time, where one answer need not do for all."""

    about: Literal["heading", "column", "cell"]
    place: Answer
    asks: Words
    otherwise: Words
    among: tuple[str, ...] = ()
    confirms: bool = False
    unit: str = ""
    cells: Mapping[str, str] = field(default_factory=dict, compare=False)
    rows: frozenset[tuple[str, int]] = frozenset()
    each: tuple[Question, ...] = ()

    @property
    def sheet(self) -> str:
        return self.place.sheet

    @property
    def column(self) -> str:
        return self.place.column

    @property
    def cell(self) -> str:
        return self.place.cell

    @property
    def leaves_out(self) -> frozenset[tuple[str, int]]:
        """Rows that are left out where she gives no answer."""
        return frozenset() if self.confirms else self.rows

    def as_dict(self) -> dict[str, Any]:
        """Plain values; the sentences are reasons still."""
        said = {"about": self.about, "asks": self.asks, "otherwise": self.otherwise, "among": list(self.among)}
        return {**said, **{name: text for name, text in vars(self.place).items() if name != "taken"}}


def heading_questions(tables: Tables, understood: Understood) -> tuple[Question, ...]:
    """Guessed headings; and columns that are missing, where a heading that was left out may hold them."""
    found: list[Question] = []
    for sheet, table in tables.items():
        columns = SHEETS[sheet]
        headings = [one for one in understood.headings if one.where == table.where]
        found += [_guessed(one, columns) for one in headings if one.column and not one.sure]
        left = tuple(one.heading for one in headings if not one.column and one.filled and not one.said)
        if left:
            found += [_missing(column, columns, left) for column in _lacking(table, columns)]
    return tuple(found)


def _guessed(one: HeadingRead, columns: Columns) -> Question:
    holds: Words = reason(columns[one.column].holds)
    unit = unit_of(one)
    if unit:
        holds = reason("{what}, in {unit}", what=holds, unit=Term(UNITS.get(unit, unit)))
    asks = reason('Does "{heading}" hold {what}?', heading=one.heading, what=holds)
    place = Answer(columns.sheet, fold_heading(one.heading), one.column)
    return Question("heading", place, asks, reason("yes"), confirms=True, unit=unit)


def _missing(column: str, columns: Columns, left: tuple[str, ...]) -> Question:
    said, holds = "Which of your columns holds {what}: {headings}?", reason(columns[column].holds)
    asks = reason(said, what=holds, headings=listed(left, "or"))
    return Question("column", Answer(columns.sheet, "", column), asks, reason("none of them"), left)


def _lacking(table: Table, columns: Columns) -> Iterator[str]:
    """Columns without which lots cannot be taken in, or less is kept for mending than should be."""
    yield from (one for one in columns.needed if one not in table.columns and one not in WORKED_OUT)
    if columns is LOTS and not (table.columns >= _HEAVY or table.columns & {"tex", "class"}):
        yield "class"
    yield from (one for one in _MENDS.get(columns.sheet, ()) if one not in table.columns)


class CellQuestions:
    """Cells that cannot be read, then guesses that are hers to settle; the same words in a column are asked once.

    garments: names of those that are known beside the sheets'.
    """

    def __init__(self, tables: Tables, understood: Understood, garments: Sequence[str] = ()) -> None:
        self.understood = understood
        self.sheets = {table.where: sheet for sheet, table in tables.items()}
        self.rows = {(table.where, row.number): row for table in tables.values() for row in table.rows if row.number}
        self.headings = {(one.where, one.column): one.heading for one in understood.headings if one.column}
        listed_ = tables[GARMENTS.sheet].rows if GARMENTS.sheet in tables else []
        named = [row.cells.get(GARMENTS.thing, "") for row in listed_ if row.number]
        self.garments = tuple(dict.fromkeys(filter(None, [*named, *garments])))

    def all(self, faults: Sequence[Fault]) -> tuple[Question, ...]:
        """Every question."""
        return (*self._unread(faults), *self._guesses())

    def _place(self, where: str, number: int, column: str) -> Answer:
        """Where an answer about a cell goes."""
        sheet, row = self.sheets[where], self.rows[where, number]
        columns, cell = SHEETS[sheet], row.hers.get(column, row.cells.get(column, ""))
        wide = cell and (columns[column].kind in _WORDS or (sheet, column) == _OF_GARMENT)
        return Answer(sheet, "", column, "" if wide else row_name(row, columns, column), cell)

    def _heading(self, where: str, column: str) -> str:
        return self.headings.get((where, column), SHEETS[self.sheets[where]][column].said)

    def _among(self, place: Answer) -> tuple[str, ...]:
        return self.garments if (place.sheet, place.column) == _OF_GARMENT else ()

    def _unread(self, faults: Sequence[Fault]) -> Iterator[Question]:
        asked: dict[Answer, list[Fault]] = {}
        for fault in faults:
            # Whoever says how thick a yarn is need not say it twice.
            column = "class" if fault.column in _HEAVY and not fault.found else fault.column
            place = (fault.where, fault.row or 0)
            if place in self.rows and column and column in SHEETS[self.sheets[fault.where]]:
                asked.setdefault(self._place(*place, column), []).append(fault)
        for place_, those in asked.items():
            fault = those[0]
            rows = frozenset((bad.where, bad.row or 0) for bad in those)
            one, many = _LEFT[place_.sheet]
            leave = counted(len(rows), one, many)
            cells = self.rows[fault.where, fault.row or 0].cells
            asks = self._what(place_, fault, len(rows))
            yield Question("cell", place_, asks, leave, self._among(place_), cells=cells, rows=rows)

    def _what(self, place: Answer, fault: Fault, number: int) -> Words:
        columns, row = SHEETS[place.sheet], self.rows[fault.where, fault.row or 0]
        heading, cell = self._heading(fault.where, place.column), shorten(place.cell)
        expected = (
            fault.expected if fault.found and place.column == fault.column else reason(columns[place.column].holds)
        )
        if number > 1:
            many = '"{heading}" says "{cell}" in {n} rows. What should it say: {expected}?'
            asks: Words = reason(many, heading=heading, cell=cell, n=number, expected=expected)
        else:
            name = reason(", {name}", name=row.cells[columns.thing]) if row.cells.get(columns.thing) else ""
            said = reason('says "{cell}"', cell=cell) if cell else reason("is empty")
            if not cell and fault.found:  # what is no plain value, such as a formula
                said, expected = reason("holds {found}", found=fault.found), reason(columns[place.column].holds)
            one = '{sheet}, row {row}{name}: "{heading}" {said}. What should it say: {expected}?'
            about: dict[str, Words] = {"sheet": fault.where, "name": name, "heading": heading, "said": said}
            asks = reason(one, row=row.number, expected=expected, **about)
        return reason("{asks} ({mend})", asks=asks, mend=fault.mend) if cell and fault.mend else asks

    def _guesses(self) -> Iterator[Question]:
        alike: dict[tuple[str, str, str], list[CellRead]] = {}
        for one in self.understood.asked():
            if (one.where, one.row) in self.rows:
                place = self._place(one.where, one.row, one.column)
                alike.setdefault((place.sheet, place.column, place.cell), []).append(one)
        for (_, _, cell), those in alike.items():
            if cell or len(those) == 1:
                yield self._guess(those)
            else:  # what an empty cell means need not be the same in every row
                yield self._guess(those, tuple(self._guess([one]) for one in those))

    def _guess(self, those: Sequence[CellRead], each: tuple[Question, ...] = ()) -> Question:
        first = those[0]
        place = self._place(first.where, first.row, first.column)
        name, heading = first.name or str(first.row), self._heading(first.where, first.column)
        where: Words = reason("for {name}", name=name)
        if len(those) > 1:
            where = reason("{n} times, such as for {name}", n=len(those), name=name)
        about: dict[str, Words] = {"heading": heading, "where": where, "taken": first.taken}
        asks = reason('"{heading}" is empty {where}: {taken}. Is that right?', **about)
        if place.cell:
            told = '"{heading}" says "{cell}" {where}: {taken}. Is that right?'
            asks = reason(told, cell=shorten(place.cell), **about)
        rows = frozenset((one.where, one.row) for one in those)
        cells = self.rows[first.where, first.row].cells
        among = self._among(place)
        return Question("cell", place, asks, reason("yes"), among, True, "", cells, rows, each)
