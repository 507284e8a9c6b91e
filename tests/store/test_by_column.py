"""Sheets read by column say what they say row by row, whatever stands in them."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.errors import MOST_TOLD, Fault
from matcher.store.catalogue.standards import load_standards
from matcher.store.sheets.by_column import ByColumn
from matcher.store.sheets.cells import CellReader
from matcher.store.sheets.columns import GARMENTS, LOTS, PEOPLE, Columns
from matcher.store.sheets.lots import build_bin
from matcher.store.sheets.tabulate import Row, Table
from matcher.store.sheets.understood import Understood

STANDARDS = load_standards()
PLAIN = {
    "name": ["grey", " Grey  wool ", "n" * 500],
    "folded": ["main", "Contrast 1"],
    "words": ["in the loft", "w" * 3000],
    "colour": [
        "#6b7f4a",
        "6b7f4a",
        "moss green",
        "#6b7f4a 60%, #d9d2b8 40%",
        "lab(52, -8, 25)",
        "lab(520, 0, 0)",
        "glurk",
    ],
    "amount": ["41", "30.5", "1.5 oz", "half a ball", "about 40 g", "20 m", "1/2", "0", "4O", "1,234", "²"],
    "ball grams": ["50", "50 g", "50g/125m", "fifty"],
    "ball metres": ["125", "137 yd", "50/125", "0", "1"],
    "tex": ["250", "Nm 4", "-3"],
    "class": ["3", "DK", "aran-ish", "99"],
    "fibre": ["wool", "80% wool 20% nylon", "wool, nylon", "120% wool"],
    "wash": ["hand", "machine", "gently", "unknown"],
    "pieces": ["1", "2 + bits", "0"],
    "reserve": ["30", "none", "all of it"],
    "chest": ["92", "38", "36 in", "M", "400"],
    "status": ["worn", "gone", "gave it away", "purple"],
    "size": ["adult medium", "5 years", "enormous"],
}
OTHERS = ["yes", "2026-11-25", "22", "K7QF", "none", "lengthen body 5 cm", "red-green", "hats; blue", "?", "=A1", "é"]


def rows_of(columns: Columns) -> st.SearchStrategy[list[Row]]:
    """Rows with any of the columns, in which cells repeat, plain and odd."""
    cells = {
        name: st.sampled_from(PLAIN.get(rule.kind, []) + OTHERS if rule.kind not in PLAIN else PLAIN[rule.kind])
        for name, rule in columns.rules.items()
    }
    some = st.fixed_dictionaries({}, optional=cells)
    bad = st.sets(st.sampled_from(list(columns)), max_size=1)
    row = st.tuples(some, st.one_of(st.just(set()), bad))
    return st.lists(row, max_size=12).map(
        lambda several: [
            Row(number, {name: text for name, text in one.items() if name not in away}, set(away))
            for number, (one, away) in enumerate(several, 2)
        ]
    )


@settings(max_examples=150, deadline=None)
@given(data=st.data(), columns=st.sampled_from([LOTS, GARMENTS, PEOPLE]))
def test_a_row_says_the_same_either_way(data: st.DataObject, columns: Columns):
    rows = data.draw(rows_of(columns))
    # Of some columns the sheet has none, which is told once for all rows.
    there = data.draw(st.sampled_from([frozenset(columns), frozenset(columns.typed[1:])]))
    by_column = ByColumn(CellReader(STANDARDS), Table("sheet", 1, there, rows), columns)
    before = 0
    for at, row in enumerate(rows):
        each = []
        for read in (
            lambda faults, understood, at=at: by_column.row(at, faults, understood),
            # A reader of its own: what others of the column said must not matter.
            lambda faults, understood, row=row: CellReader(STANDARDS).row(
                row, columns, "sheet", frozenset(columns.needed) - there, faults, understood
            ),
        ):
            faults: list[Fault] = []
            understood = Understood()
            values = read(faults, understood)
            # How to mend a cell is told for the first faults of a sheet only, and the reader of one row begins anew.
            whole = before + len(faults) <= MOST_TOLD
            said = [(one.where, one.row, one.column, str(one.found), str(one.expected)) for one in faults]
            each.append((values, list(map(str, faults)) if whole else said, understood.cells))
        assert each[0] == each[1]
        before += len(faults)


def told(rows: list[Row]) -> tuple:
    """All that a list of yarn becomes; how to mend a cell is told for the first faults of a sheet only."""
    faults: list[Fault] = []
    understood = Understood()
    notes: list = []
    table = Table("lots.csv", 1, frozenset(LOTS), rows)
    lots = build_bin(table, None, False, STANDARDS, "", faults, notes, understood).lots
    said = [(one.where, one.row, one.column, str(one.found), str(one.expected)) for one in faults]
    return list(lots), [str(one) for one in notes], said, understood.cells


@settings(max_examples=80, deadline=None)
@given(drawn=rows_of(LOTS))
def test_a_sheet_is_its_rows_one_by_one(drawn: list[Row]):
    """Each row read as a sheet of its own gives what the whole sheet gives, in the same order."""
    rows = []
    for at, row in enumerate(drawn):
        cells = {name: text for name, text in row.cells.items() if name != "code"} | {"lot": f"lot {at}"}
        rows.append(Row(row.number, cells, row.bad - {"lot"}))
    whole, singly = told(rows), [told([row]) for row in rows]
    # An empty sheet has a fault of its own.
    for place in range(4) if rows else ():
        assert whole[place] == [one for each in singly for one in each[place]]
