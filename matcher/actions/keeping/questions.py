"""What cannot be worked out of her sheets, as questions that any face may ask; her answers, held to the same rules."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from matcher.actions.names import find, near_names
from matcher.errors import BadInput, Fault
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unclear, Unreadable, shorten
from matcher.reasons.reason import Term, Words, counted, listed, reason
from matcher.store.catalogue.standards import Standards
from matcher.store.readings import Answer
from matcher.store.sheets.columns import GARMENTS, LOTS, SHEETS, Columns, Kind
from matcher.store.sheets.headings import fold_heading
from matcher.store.sheets.said import row_name
from matcher.store.sheets.tabulate import Row, Table
from matcher.store.sheets.understood import HeadingRead, Understood

Tables = Mapping[str, Table]

# Cells of these kinds are words of hers that mean the same wherever they stand; those of the others are of one row.
_WORDS: frozenset[Kind] = frozenset(("folded", "colour", "class", "fibre", "wash", "label", "status", "mending"))
_HEAVY = frozenset(("ball_grams", "ball_metres"))  # where both are empty, the class is what she may know
_YES, _NO = ("yes", "y"), ("no", "n", "none", "-")
NOTHING = "-"
"""The answer that leaves a cell empty, or a heading out."""


@dataclass(frozen=True)
class Question:
    """One thing to ask. about: whether a heading holds a column ("heading"), which heading holds it ("column"), or what
    a cell says ("cell"); otherwise: what holds where she gives no answer; among: what may be answered, where that is a
    few; confirms: no answer confirms a guess. The rest says where the answer goes, as in `Answer`; cells: those of the
    row, or of the first one; rows: sheet and number of each row that it is about."""

    about: Literal["heading", "column", "cell"]
    sheet: str
    asks: Words
    otherwise: Words
    heading: str = ""
    column: str = ""
    name: str = ""
    cell: str = ""
    among: tuple[str, ...] = ()
    confirms: bool = False
    cells: Mapping[str, str] = field(default_factory=dict, compare=False)
    rows: frozenset[tuple[str, int]] = frozenset()

    @property
    def leaves_out(self) -> frozenset[tuple[str, int]]:
        """Rows that are left out where she gives no answer."""
        return self.rows if not self.confirms else frozenset()

    def as_dict(self) -> dict[str, Any]:
        """Plain values; the sentences are reasons still."""
        names = ("about", "sheet", "asks", "otherwise", "heading", "column", "name", "cell")
        return {**{name: getattr(self, name) for name in names}, "among": list(self.among)}


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
    asks = reason('Does "{heading}" hold {what}?', heading=one.heading, what=reason(columns[one.column].holds))
    return Question("heading", columns.sheet, asks, reason("yes"), fold_heading(one.heading), one.column, confirms=True)


def _missing(column: str, columns: Columns, left: tuple[str, ...]) -> Question:
    asks = reason(
        "Which of your columns holds {what}: {headings}?",
        what=reason(columns[column].holds),
        headings=listed(left, "or"),
    )
    return Question("column", columns.sheet, asks, reason("none of them"), column=column, among=left)


def _lacking(table: Table, columns: Columns) -> Iterator[str]:
    """Columns without which lots cannot be taken in, or nothing is kept for mending."""
    yield from (column for column in columns.needed if column not in table.columns)
    if columns is LOTS:
        if not (table.columns >= _HEAVY or table.columns & {"tex", "class"}):
            yield "class"
        if "garment" not in table.columns:
            yield "garment"


def cell_questions(
    tables: Tables, understood: Understood, faults: Sequence[Fault], garments: Sequence[str] = ()
) -> tuple[Question, ...]:
    """Cells that cannot be read, then guesses that are hers to settle; the same words in a column are asked once.

    garments: names of those that are known beside the sheets'.
    """
    sheets = {table.where: sheet for sheet, table in tables.items()}
    rows = {(table.where, row.number): row for table in tables.values() for row in table.rows}
    headings = {(one.where, one.column): one.heading for one in understood.headings if one.column}
    asked: dict[tuple[str, ...], list[tuple[Row, Fault]]] = {}
    for fault in faults:
        row = rows.get((fault.where, fault.row or 0))
        if row is None or not fault.column or fault.column not in SHEETS[sheets[fault.where]]:
            continue
        asked.setdefault(_key(sheets[fault.where], _asked_column(fault), row), []).append((row, fault))
    found = []
    # Whoever says how thick a yarn is need not say it twice; so with each cell of a row.
    for (sheet, column, name, cell), those in asked.items():
        row, fault = those[0]
        heading = headings.get((fault.where, column), SHEETS[sheet][column].said)
        names = _garments(tables, garments) if (sheet, column) == (LOTS.sheet, "garment") else ()
        asks, otherwise = _unread(SHEETS[sheet], heading, column, cell, fault, row, len(those))
        about = frozenset((one.where, other.number) for other, one in those)
        found.append(
            Question("cell", sheet, asks, otherwise, "", column, name, cell, names, cells=row.cells, rows=about)
        )
    guesses: dict[tuple[str, ...], list[Any]] = {}
    for one in understood.asked():
        if (one.where, one.row) in rows:
            key = _key(sheets[one.where], one.column, rows[one.where, one.row], everywhere=True)
            guesses.setdefault(key, []).append(one)
    for (sheet, column, name, cell), several in guesses.items():
        first = several[0]
        heading = headings.get((first.where, column), SHEETS[sheet][column].said)
        cells = rows[first.where, first.row].cells
        where: Words = (
            reason("{n} times", n=len(several)) if len(several) > 1 else reason("for {name}", name=first.name)
        )
        said = '{heading} says "{cell}" {where}. Is that {taken}?'
        asks = reason(said, heading=heading, cell=shorten(cell), where=where, taken=first.taken)
        about = frozenset((one.where, one.row) for one in several)
        found.append(Question("cell", sheet, asks, reason("yes"), "", column, name, cell, (), True, cells, about))
    return tuple(found)


def _asked_column(fault: Fault) -> str:
    return "class" if fault.column in _HEAVY and not fault.found else fault.column or ""


def _key(sheet: str, column: str, row: Row, everywhere: bool = False) -> tuple[str, ...]:
    columns, cell = SHEETS[sheet], row.hers.get(column, row.cells.get(column, ""))
    wide = cell and (everywhere or columns[column].kind in _WORDS or (sheet, column) == (LOTS.sheet, "garment"))
    return sheet, column, "" if wide else row_name(row, columns, column), cell


def _garments(tables: Tables, others: Sequence[str]) -> tuple[str, ...]:
    table = tables.get(GARMENTS.sheet)
    named = [row.cells[GARMENTS.thing] for row in table.rows if GARMENTS.thing in row.cells] if table else []
    return tuple(dict.fromkeys([*named, *others]))


def _unread(
    columns: Columns, heading: str, column: str, cell: str, fault: Fault, row: Row, number: int
) -> tuple[Words, Words]:
    """The question about cells that cannot be read, and what becomes of their rows without an answer."""
    holds = reason(columns[column].holds)
    expected = fault.expected if fault.found and column == fault.column else holds
    if number > 1:
        many = '{heading} says "{cell}" in {n} rows. What should it say: {expected}?'
        asks: Words = reason(many, heading=heading, cell=shorten(cell), n=number, expected=expected)
    else:
        name = reason(", {name}", name=row.cells[columns.thing]) if row.cells.get(columns.thing) else ""
        said = reason('says "{cell}"', cell=shorten(cell)) if cell else reason("is empty")
        one = "{sheet}, row {row}{name}: {heading} {said}. What should it say: {expected}?"
        about: dict[str, Words] = {"sheet": fault.where, "name": name, "heading": heading, "said": said}
        asks = reason(one, row=row.number, expected=expected, **about)
    if cell and fault.mend:
        asks = reason("{asks} ({mend})", asks=asks, mend=fault.mend)
    things = {"thing": Term(columns.thing), "things": Term(columns.sheet)}
    return asks, counted(number, "leave this {thing} out", "leave these {n} {things} out", **things)


def answer_to(question: Question, text: str, standards: Standards) -> Answer | None:
    """What an answer says; None where it leaves the question open, so that what stands in `otherwise` holds.

    Raises BadInput for an answer that makes no sense there, and NotFound for a name that is not known.
    """
    said = text.strip()
    if not said and not question.confirms:
        return None
    if question.about == "heading":
        return _of_heading(question, said)
    if question.about == "column":
        if said.casefold() in _NO:
            return None
        heading = find(said, question.among, reason("column"))
        return Answer(question.sheet, fold_heading(heading), question.column)
    return _of_cell(question, said, standards)


def _of_heading(question: Question, said: str) -> Answer:
    columns, folded = SHEETS[question.sheet], said.casefold()
    if not said or folded in _YES:
        return Answer(question.sheet, question.heading, question.column)
    if folded in _NO:
        return Answer(question.sheet, question.heading)
    known = {fold(word): one.name for one in columns.rules.values() for word in (one.name, one.said, *one.spellings)}
    if fold(said) not in known:
        what = reason('"{text}" isn\'t one of the columns here', text=said)
        near = listed(near_names(said, known) or columns.typed, "or", " or ")
        raise BadInput(what, "", reason("say yes, no, or what it holds: {columns}", columns=near))
    return Answer(question.sheet, question.heading, known[fold(said)])


def _of_cell(question: Question, said: str, standards: Standards) -> Answer:
    from matcher.store.sheets.cells import CellReader  # brings numpy

    rule = SHEETS[question.sheet][question.column]
    place = Answer(question.sheet, "", question.column, question.name, question.cell)
    if question.confirms and (not said or said.casefold() in _YES):
        return Answer(**{**vars(place), "taken": question.cell})
    if question.confirms and said.casefold() in _NO:
        raise BadInput(reason("then say what it is"), "", reason("it should be {holds}", holds=reason(rule.holds)))
    if said == NOTHING:
        if rule.needed or not question.cell:
            raise BadInput(reason("this cell is needed"), "", reason("it should be {holds}", holds=reason(rule.holds)))
        return place
    if question.among:
        said = find(said, question.among, Term("garment"))
    try:
        CellReader(standards).heard_in(rule.kind, said, question.cells)
    except Unreadable as fault:
        what = reason('"{found}" isn\'t {expected}', found=fault.found, expected=fault.expected)
        raise BadInput(what, "", fault.mend) from None
    except Unclear as fault:
        raise BadInput(fault.said) from None
    return Answer(**{**vars(place), "taken": said})
