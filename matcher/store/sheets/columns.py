"""Grids to named cells: which columns a sheet has, which are missing or misspelt, and each row by column."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches

from matcher.errors import Fault
from matcher.materials.reading.numerals import shorten
from matcher.store.sheets.files import Grid


@dataclass(frozen=True)
class Columns:
    """What a sheet may hold: known columns with what their cells say, which are needed, and which are free
    text, where a date or a leading equals sign does no harm."""

    known: dict[str, str]
    needed: tuple[str, ...]
    free: frozenset[str]


LOTS = Columns(
    known={
        "lot": "a name for the lot",
        "garment": "the garment it came from",
        "role": "its part in that garment, such as main or contrast 1",
        "yarn": "the yarn's name",
        "colour": "a colour such as #6b7f4a or moss green",
        "colour_name": "the colour's name",
        "grams": "a weight such as 41 or 1.5 oz",
        "ball_grams": "the weight of a full ball such as 50",
        "ball_metres": "the length of a full ball such as 125 or 137 yd",
        "tex": "a yarn count such as 250 or Nm 4",
        "class": "a yarn weight class such as 3 or DK",
        "fibre": "a blend such as 80% wool 20% nylon",
        "wash": "hand, machine or unknown",
        "pieces": "how many pieces, such as 2",
        "dye_lot": "the dye lot",
        "label": "yes, partly or no",
        "reserve": "metres to hold back, such as 30",
        "place": "where it lies",
        "note": "a note",
    },
    needed=("lot", "grams", "colour"),
    free=frozenset(("note", "place")),
)
GARMENTS = Columns(
    known={
        "garment": "a name for the garment",
        "kind": "pullover, cardigan, vest, yoke pullover ...",
        "status": "worn, given or gone",
        "wearer": "who wears it",
        "chest_cm": "a chest such as 92 or 36 in",
        "stitches_10cm": "stitches in 10 cm such as 22",
        "rows_10cm": "rows in 10 cm such as 30",
        "plans": "plans such as lengthen body 5 cm; lengthen sleeves 2 in",
        "motif": "a motif's name",
        "note": "a note",
    },
    needed=("garment", "status"),
    free=frozenset(("note",)),
)
# Other spellings of the same word, taken without remark.
_SAME = {
    "color": "colour",
    "color_name": "colour_name",
    "ball_meters": "ball_metres",
    "fiber": "fibre",
}
# Columns that people have instead of the ones asked for.
_INSTEAD = {
    "ball_yards": "call it ball_metres and write cells such as 137 yd",
    "ball_ounces": "call it ball_grams and write cells such as 1.75 oz",
    "ounces": "call it grams and write cells such as 1.5 oz",
    "oz": "call it grams and write cells such as 1.5 oz",
    "chest": "call it chest_cm; cells such as 36 in are understood",
    "chest_in": "call it chest_cm and write cells such as 36 in",
    "weight": "call it grams, or class if it is the yarn weight",
}
_NEAR = 0.8  # likeness of two spellings from which one is taken for a slip of the other


@dataclass
class Row:
    """One row. cells: column -> text, the empty ones left out; bad: columns whose fault is already told."""

    number: int
    cells: dict[str, str]
    bad: set[str] = field(default_factory=set)


@dataclass
class Table:
    where: str
    header_row: int
    columns: frozenset[str]
    rows: list[Row]


def fold_heading(heading: str) -> str:
    """ "Ball metres [m]" -> "ball_metres"."""
    plain = re.sub(r"[(\[].*?[)\]]", "", heading.replace("\ufeff", ""))
    folded = re.sub(r"[\s_-]+", "_", plain.strip().casefold()).strip("_")
    return _SAME.get(folded, folded)


def tabulate(grid: Grid, kind: Columns, faults: list[Fault], notes: list[str]) -> Table | None:
    """The rows by column; faults and notes are added to the lists. None when there is nothing to read."""
    faults.extend(grid.faults)
    if grid.faults:
        return None
    if not grid.rows:
        needed = ", ".join(kind.needed)
        faults.append(Fault(grid.where, None, None, "", f"a header row with {needed}", "is this the right sheet?"))
        return None
    header_row, header = grid.rows[0]
    found = _match_header(grid.where, header_row, header, kind, faults, notes)
    if found is None:
        return None
    for column in kind.needed:
        if column not in found:
            expected = f'a column "{column}" with {kind.known[column]}'
            faults.append(Fault(grid.where, header_row, column, "", expected, "add the column"))
    rows: list[Row] = []
    short: list[int] = []
    for number, cells in grid.rows[1:]:
        row = Row(number, {})
        extra = [cell for cell in cells[len(header) :] if cell.strip()]
        if extra:
            mend = "put a cell that holds the separator, such as 41,5, in quotation marks"
            found_words = f"{len(cells)} cells ({shorten(', '.join(extra), 30)} is too many)"
            faults.append(Fault(grid.where, number, None, found_words, f"{len(header)} cells as in the header", mend))
            continue
        if len(cells) < len(header):
            short.append(number)
        for column, position in found.items():
            odd = grid.odd.get((number, position))
            text = cells[position].strip() if position < len(cells) else ""
            if odd and not (column in kind.free and ("date" in odd[1] or "formula" in odd[1])):
                faults.append(Fault(grid.where, number, column, *odd))
                row.bad.add(column)
            elif text:
                row.cells[column] = text
        if row.cells or row.bad:
            rows.append(row)
    if short:
        notes.append(
            f"{grid.where}: {len(short)} row(s) with fewer cells than the header, first row {short[0]}; "
            "the cells that are missing were taken as empty"
        )
    return Table(grid.where, header_row, frozenset(found), rows)


def _match_header(
    where: str, row: int, header: list[str], kind: Columns, faults: list[Fault], notes: list[str]
) -> dict[str, int] | None:
    folded = [fold_heading(cell) for cell in header]
    if not any(name in kind.known for name in folded) and not _nearest(folded, kind.known):
        expected = f"a header row that names the columns {', '.join(kind.needed)}"
        mend = "put the column names in the first row"
        faults.append(Fault(where, row, None, shorten(", ".join(filter(None, folded))), expected, mend))
        return None
    found: dict[str, int] = {}
    ignored: list[str] = []
    for position, name in enumerate(folded):
        shown = shorten(header[position].strip(), 30)
        if name in found:
            expected = f'the column "{name}" once'
            faults.append(Fault(where, row, name, f"{shown} twice", expected, "delete one of them"))
        elif name in kind.known:
            found[name] = position
        elif name in _INSTEAD and _INSTEAD[name].split()[2].strip(",;") not in folded:
            faults.append(Fault(where, row, shown, shown, "a column known here", _INSTEAD[name]))
        elif name:
            near = _nearest([name], [column for column in kind.known if column not in folded])
            if near:
                mend = f"did you mean {near}?"
                faults.append(Fault(where, row, shown, shown, "a column known here", mend))
            else:
                ignored.append(shown)
    if ignored:
        notes.append(f"{where}: columns not known here were left alone: {', '.join(ignored)}")
    return found


def _nearest(names: Iterable[str], known: Iterable[str]) -> str:
    listed = list(known)
    for name in names:
        near = get_close_matches(name, listed, n=1, cutoff=_NEAR) if len(name) > 2 else []
        if near:
            return near[0]
    return ""
