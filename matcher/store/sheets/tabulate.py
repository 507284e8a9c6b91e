"""Grids to named cells: which columns a sheet has, which are missing or misspelt, and each row by column."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from matcher.errors import Fault
from matcher.materials.reading.names import did_you_mean, nearest
from matcher.materials.reading.numerals import shorten
from matcher.reasons.reason import Column, Words, counted, listed, reason
from matcher.store.sheets.columns import WHY, Columns
from matcher.store.sheets.grid import Grid
from matcher.store.sheets.understood import HeadingRead, Understood

_MOST_COLUMNS = 500  # a choice; a sheet has some twenty
_NEAR = 0.8  # likeness of two spellings from which one is taken for a slip of the other


@dataclass
class Row:
    """One row. cells: column -> text, the empty ones left out; bad: columns whose fault is already told; hers: what she
    wrote, where `cells` has it otherwise; left: heading -> text, of columns that were left out."""

    number: int
    cells: dict[str, str]
    bad: set[str] = field(default_factory=set)
    hers: dict[str, str] = field(default_factory=dict)
    left: dict[str, str] = field(default_factory=dict)


@dataclass
class Table:
    """The rows of one sheet and the columns that it has."""

    where: str
    header_row: int
    columns: frozenset[str]
    rows: list[Row]


def fold_heading(heading: str) -> str:
    """ "Ball metres [m]" -> "ball_metres"."""
    plain = re.sub(r"[(\[].*?[)\]]", "", heading.replace("\ufeff", ""))
    return re.sub(r"[\s_-]+", "_", plain.strip().casefold()).strip("_")


def tabulate(
    grid: Grid,
    columns: Columns,
    faults: list[Fault],
    notes: list[Words],
    understood: Understood,
    told: Mapping[str, str] = MappingProxyType({}),
) -> Table | None:
    """The rows by column; faults, notes and headings are added to the lists. None when there is nothing to read.

    told: columns by folded heading, as she said herself; "" for a heading that is left out.
    """
    faults.extend(grid.faults)
    if grid.faults:
        return None
    needed = listed(map(Column, columns.needed))
    if not grid.rows:
        expected = reason("a header row with {columns}", columns=needed)
        faults.append(Fault(grid.where, None, None, "", expected, reason("is this the right sheet?")))
        return None
    header_row, header = grid.rows[0]
    found = _match_header(grid.where, header_row, header, columns, faults, notes, told)
    if found is None:
        return None
    by_position = {position: column for column, position in found.items()}
    left: dict[str, int] = {}
    for position, heading in enumerate(header):
        if heading.strip() and fold_heading(heading) != WHY:
            column = by_position.get(position, "")
            if not column:
                left[heading.strip()] = position
            filled = sum(1 for _, cells in grid.rows[1:] if position < len(cells) and cells[position].strip())
            hers = fold_heading(heading) in told
            understood.headings.append(HeadingRead(grid.where, heading.strip(), column, filled=filled, said=hers))
    for column in columns.needed:
        if column not in found:
            holds = reason(columns[column].holds)
            expected = reason('a column "{column}" with {cells}', column=Column(column), cells=holds)
            faults.append(Fault(grid.where, header_row, column, "", expected, reason("add the column")))
    rows: list[Row] = []
    short: list[int] = []
    for number, cells in grid.rows[1:]:
        extra = [cell for cell in cells[len(header) :] if cell.strip()]
        if extra:
            faults.append(_too_many(grid.where, number, len(cells), extra, len(header)))
            continue
        if len(cells) < len(header):
            short.append(number)
        row = Row(number, {})
        for column, position in found.items():
            odd = grid.odd.get((number, position))
            text = cells[position].strip() if position < len(cells) else ""
            if odd and not (odd.harmless and columns[column].free):
                faults.append(Fault(grid.where, number, column, odd.found, odd.expected, odd.mend))
                row.bad.add(column)
            elif text:
                row.cells[column] = text
        for heading, position in left.items():
            if position < len(cells) and cells[position].strip():
                row.left[heading] = cells[position].strip()
        # A row that holds no more than what an export adds is an empty one.
        if row.bad or not row.cells.keys() <= set(columns.exported):
            rows.append(row)
    if short:
        said = "{sheet}: {rows} with fewer cells than the header, first row {first}; those missing were taken as empty"
        number_of = counted(len(short), "{n} row", "{n} rows")
        notes.append(reason(said, sheet=grid.where, rows=number_of, first=short[0]))
    return Table(grid.where, header_row, frozenset(found), rows)


def _too_many(where: str, number: int, cells: int, extra: Iterable[str], wide: int) -> Fault:
    found = reason("{cells} cells ({extra} is too many)", cells=cells, extra=shorten(", ".join(extra), 30))
    expected = counted(wide, "{n} cell as in the header", "{n} cells as in the header")
    mend = reason("put a cell that holds the separator, such as 41,5, in quotation marks")
    return Fault(where, number, None, found, expected, mend)


def _match_header(
    where: str,
    row: int,
    header: list[str],
    columns: Columns,
    faults: list[Fault],
    notes: list[Words],
    told: Mapping[str, str],
) -> dict[str, int] | None:
    if len(header) > _MOST_COLUMNS:
        found_columns, most = (reason("{n} columns", n=number) for number in (len(header), _MOST_COLUMNS))
        faults.append(Fault(where, row, None, found_columns, most, reason("delete those that hold nothing of a lot")))
        return None
    folded = [told.get(one, columns.spellings.get(one, one)) for one in map(fold_heading, header)]
    if not any(name in columns or nearest(name, columns, _NEAR) for name in folded):
        expected = reason("a header row that names the columns {columns}", columns=listed(map(Column, columns.needed)))
        found_names = shorten(", ".join(filter(None, folded)))
        faults.append(Fault(where, row, None, found_names, expected, reason("put the column names in the first row")))
        return None
    found: dict[str, int] = {}
    ignored: list[str] = []
    known = reason("a column known here")
    for position, name in enumerate(folded):
        shown = shorten(header[position].strip(), 30)
        if name in found:
            twice, once = reason("{column} twice", column=shown), reason('the column "{column}" once', column=name)
            faults.append(Fault(where, row, name, twice, once, reason("delete one of them")))
        elif name in columns:
            found[name] = position
        elif instead := columns.instead(name, folded):
            faults.append(Fault(where, row, shown, shown, known, instead))
        elif mend := did_you_mean(name, (one for one in columns if one not in folded), _NEAR):
            faults.append(Fault(where, row, shown, shown, known, mend))
        elif name and name != WHY:
            ignored.append(shown)
    if ignored:
        said = "{sheet}: columns not known here were left alone: {columns}"
        notes.append(reason(said, sheet=where, columns=listed(ignored)))
    return found
