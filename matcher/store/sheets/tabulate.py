"""A table of hers to named cells: which columns it has, which are missing, and each row by column."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from types import MappingProxyType

from matcher.errors import Fault
from matcher.materials.reading.names import LONGEST_NAME
from matcher.materials.reading.numerals import shorten
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Column, Words, counted, listed, reason
from matcher.store.catalogue.limits import load_limits
from matcher.store.sheets.by_row import thickness_by_row
from matcher.store.sheets.columns import LOTS, WHY, Columns
from matcher.store.sheets.comes_off import may_be_left, whole_and_off
from matcher.store.sheets.find import MOST_COLUMNS, Found, too_many_columns, too_wide
from matcher.store.sheets.full_and_part import with_parts_added
from matcher.store.sheets.grid import letters
from matcher.store.sheets.headings import Meant, fold_heading
from matcher.store.sheets.passed_over import WORKED_OUT, PassedOver, is_heading_again, is_remark, is_total, is_used_up
from matcher.store.sheets.placing import Placed, place
from matcher.store.sheets.rows import Row, RowReader
from matcher.store.sheets.understood import HeadingRead, Understood
from matcher.store.sheets.unit_column import with_units_beside

__all__ = ["Row", "Table", "tabulate"]

_LOOKED_AT = 200  # rows from which it is seen how wide the table is
_STRANGE_TOLD = 6  # headings that are not understood and may be a missing column; of more none is named


@dataclass
class Table:
    """The rows of one sheet and the columns that it has; headings: as she wrote them, by position; plain: all of them
    are the columns' own names, and each cell is meant as it stands."""

    where: str
    header_row: int
    columns: frozenset[str]
    rows: list[Row]
    headings: tuple[str, ...] = ()
    plain: bool = False


def tabulate(
    found: Found,
    columns: Columns,
    faults: list[Fault],
    notes: list[Words],
    understood: Understood,
    told: Mapping[str, Meant] = MappingProxyType({}),
) -> Table | None:
    """The rows by column; faults, notes and headings are added to the lists. None when there is nothing to read.

    told: what she said herself, by folded heading.
    """
    grid = found.grid
    faults.extend(grid.faults)
    if grid.faults:
        return None
    if not any(found.headings):
        faults.append(_no_headings(found, columns))
        return None
    long = [heading for heading in found.headings if len(heading) > LONGEST_NAME]
    endless = [_endless(grid.where, found.header_row, "", heading, load_limits().longest_cell) for heading in long]
    if any(endless):
        faults += filter(None, endless)
        return None
    joined: dict[str, str] = {}
    found = with_parts_added(with_units_beside(found, notes, joined), notes, joined)
    placed = thickness_by_row(found, place(found, columns, told, faults, notes), notes)
    of = _headings(found, placed)
    there = frozenset(placed) | {"tex" for one in placed.get("ball_metres", ()) if one.fit.span}
    for column in columns.needed:
        if column not in there and column not in WORKED_OUT:
            holds = reason(columns[column].holds)
            expected = reason('a column "{column}" with {cells}', column=Column(column), cells=holds)
            faults.append(Fault(grid.where, found.header_row, column, "", expected, _missing(column, of)))
    reader = RowReader(found, columns, placed, faults, understood)
    rows = _rows(found, columns, reader, {heading: at for at, (heading, one) in of.items() if not one}, faults, notes)
    _tell_headings(found, of, rows, told, understood)
    same = {one.heading: one for one in understood.headings if one.where == grid.where}
    understood.headings += [replace(same[into], heading=one, unit="") for one, into in joined.items() if into in same]
    return Table(grid.where, found.header_row, there, rows, found.headings, found.plain)


def _missing(column: str, headings: Mapping[int, tuple[str, Placed | None]]) -> Words:
    """What to do where a column is missing."""
    strange = [heading for heading, one in headings.values() if one is None]
    if column == "grams" and (parts := whole_and_off(strange)):
        return reason('add a column "left", of "{whole}" less "{off}"', whole=parts[0], off=parts[1])
    strange = [one for one in strange if column != "grams" or may_be_left(one)]
    return or_renamed(reason("add the column"), reason('"{column}"', column=Column(column)), strange)


def or_renamed(add: Words, name: Words, strange: Sequence[str]) -> Words:
    """What to do where a column is missing: its heading may be one that is not understood, such as a German one.

    add : the column. name : what it is called here. strange : all headings that are not understood.
    """
    if not strange:
        return add
    said = "{add}, or rename its heading to {name} if it is {headings}; headings are read in English"
    if len(strange) > _STRANGE_TOLD:
        said = "{add}, or rename its heading to {name} if it is there; headings are read in English"
    quoted = [reason('"{heading}"', heading=shorten(heading)) for heading in strange]
    return reason(said, add=add, name=name, headings=listed(quoted, "or"))


def _no_headings(found: Found, columns: Columns) -> Fault:
    grid, needed = found.grid, listed(map(Column, columns.needed))
    if not grid.rows:
        expected = reason("a header row with {columns}", columns=needed)
        return Fault(grid.where, None, None, "", expected, reason("is this the right sheet?"))
    if too_wide(grid):
        return too_many_columns(grid)
    row, cells = grid.rows[0]
    names = shorten(", ".join(filter(None, map(fold_heading, cells))))
    expected = reason("a header row that names the columns {columns}", columns=needed)
    return Fault(grid.where, row, None, names, expected, reason("put the column names in the first row"))


def _headings(found: Found, placed: Mapping[str, Iterable[Placed]]) -> dict[int, tuple[str, Placed | None]]:
    """Each heading by position, and what it is; a column without one is called by its letter, if it holds something."""
    of = {one.position: one for many in placed.values() for one in many}
    top = found.rows[:_LOOKED_AT]
    held = {at for _, cells in top for at, cell in enumerate(cells[:MOST_COLUMNS]) if cell and not cell.isspace()}
    headings: dict[int, tuple[str, Placed | None]] = {}
    for position in range(max(len(found.headings), 1 + max(held, default=0))):
        heading = found.headings[position] if position < len(found.headings) else ""
        if heading.casefold() != WHY and (heading or position in held):
            headings[position] = heading or f"column {letters(position)}", of.get(position)
    return headings


def _tell_headings(
    found: Found,
    headings: Mapping[int, tuple[str, Placed | None]],
    rows: Sequence[Row],
    told: Mapping[str, Meant],
    understood: Understood,
) -> None:
    """Say what each heading was taken for, and how many cells hold something."""
    placed = Counter(chain.from_iterable(row.cells for row in rows))
    left = Counter(chain.from_iterable(row.left for row in rows))
    for position, (heading, one) in headings.items():
        filled = placed[one.column] if one else left[heading]
        if filled or (position < len(found.headings) and found.headings[position]):
            column, unit, sure = (one.column, one.unit.removeprefix("in "), one.sure) if one else ("", "", True)
            hers = fold_heading(heading) in told
            read = HeadingRead(found.grid.where, heading, column, unit, filled, sure or hers, hers)
            understood.headings.append(read)


def _rows(
    found: Found, columns: Columns, reader: RowReader, left: Mapping[str, int], faults: list[Fault], notes: list[Words]
) -> list[Row]:
    grid, wide = found.grid, len(found.grid.rows[found.first - 1][1])
    exported, needed = frozenset(columns.exported), frozenset(columns.needed)
    rows: list[Row] = []
    short: list[int] = []
    alone = PassedOver(grid.where, columns, found.plain)
    top = next(at for at, heading in enumerate(found.headings) if heading)
    for number, cells in found.rows:
        if len(cells) != wide:
            extra = [cell for cell in cells[wide:] if cell.strip()]
            if extra:
                faults.append(_too_many(grid.where, number, len(cells), extra, wide))
                continue
            if len(cells) < wide:
                short.append(number)
        if top < len(cells) and cells[top].strip() == found.headings[top] and is_heading_again(cells, found.headings):
            continue
        before = len(faults)
        row = reader.row(number, cells)
        if not needed <= row.cells.keys():
            # A row that holds no more than what an export adds is an empty one.
            if not row.bad and row.cells.keys() <= exported:
                continue
            if is_total(row, cells, columns):
                del faults[before:]
                continue
            if not found.plain and is_remark(row, cells, columns):
                del faults[before:]
                alone.remarks.append(number)
                continue
        for heading, position in left.items():
            if position < len(cells) and (text := cells[position].strip()):
                row.left[heading] = text
                if len(text) > LONGEST_NAME and (
                    fault := _endless(grid.where, number, heading, text, load_limits().longest_note)
                ):
                    faults.append(fault)
        if columns is LOTS and not found.plain and alone.is_gone(row):
            del faults[before:]
            continue
        if not found.plain and is_used_up(row):
            alone.used_up.append(number)
            continue
        rows.append(row)
    rows = alone.without_other_tables(rows, faults)
    if short and found.plain:
        said = "{sheet}: {rows} with fewer cells than the header, first row {first}; those missing were taken as empty"
        number_of = counted(len(short), "{n} row", "{n} rows")
        notes.append(reason(said, sheet=grid.where, rows=number_of, first=short[0]))
    notes.extend(alone.told())
    return rows


def _endless(where: str, number: int, heading: str, text: str, longest: float) -> Fault | None:
    """The fault of a cell or heading that is kept though no column is known for it, and has more letters than that."""
    if len(text) <= longest:
        return None
    expected = reason("at most {n} characters", n=Number(longest))
    return Fault(where, number, shorten(heading) or None, shorten(text), expected, reason("shorten it"))


def _too_many(where: str, number: int, cells: int, extra: Iterable[str], wide: int) -> Fault:
    found = reason("{cells} cells ({extra} is too many)", cells=cells, extra=shorten(", ".join(extra), 30))
    expected = counted(wide, "{n} cell as in the header", "{n} cells as in the header")
    mend = reason("put a cell that holds the separator, such as 41,5, in quotation marks")
    return Fault(where, number, None, found, expected, mend)
