"""Where the tables lie: which sheet lists yarn and which garments, and in which row their headings stand.

A row of headings is known by how many columns it names; two rows count as one where the upper groups the lower, as
"Ball" does above "grams" and "yards". A sheet that is called just as a sheet here is that sheet, whatever it holds.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from matcher.errors import Fault
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import LENGTH_M, MASS_G, NUMBER
from matcher.reasons.reason import Column, Term, Words, listed, reason
from matcher.store.catalogue.headings import load_headings
from matcher.store.sheets.as_meant import LONGEST
from matcher.store.sheets.beside import cut_in_two
from matcher.store.sheets.columns import SHEETS, WHY
from matcher.store.sheets.grid import Grid
from matcher.store.sheets.headings import Fit, heading_readers

MOST_COLUMNS = 500  # a choice; a sheet has some twenty
_LOOKED_AT = 60  # rows in which headings are looked for; a choice
_TITLE = 4  # what a sheet's title counts beside its headings, each of which counts up to 4; a choice
_FEW = 2  # headings without which a sheet is no table of ours, however it is called
_NUMERIC = re.compile(rf"[-+]?{NUMBER}|\d{{4}}-\d\d-\d\d.*")


@dataclass(frozen=True)
class Found:
    """A table in a grid. headings: by position, as she wrote them; header_row: the row that they end in; first, end:
    which of the grid's rows lie below. plain: every heading is a column's very name, so that all is meant as it
    stands; whole: it has what a table of its sheet cannot be without."""

    grid: Grid
    sheet: str
    headings: tuple[str, ...]
    header_row: int
    first: int
    end: int
    plain: bool = False
    whole: bool = False
    score: int = 0
    columns: frozenset[str] = frozenset()

    @property
    def rows(self) -> list[tuple[int, list[str]]]:
        return self.grid.rows[self.first : self.end]

    @property
    def from_top(self) -> int:
        """Of the grid's rows the first that belongs to it."""
        return self.first - 1


def find_tables(grids: Sequence[Grid], place: str, faults: list[Fault], notes: list[Words]) -> dict[str, Found]:
    """The tables by sheet. place: the file or folder. What cannot be told apart is a fault; a sheet that is none of
    ours is left alone with a remark."""
    grids = [part for grid in grids for part in _side_by_side(grid)]
    in_grids = {id(grid): _in_grid(grid) for grid in grids}
    found: dict[str, Found] = {}
    doubted: list[Grid] = []
    for sheet in SHEETS:
        there = [tables[sheet] for tables in in_grids.values() if sheet in tables]
        called = [one for one in there if _title(one.grid) == sheet]
        whole = called[:1] or [one for one in there if one.whole]
        likely = [one for one in there if len(one.columns) >= _FEW]
        if not whole and sheet == "lots" and likely:
            whole = [max(likely, key=lambda one: one.score)]
        if len(whole) > 1:
            doubted += [one.grid for one in whole]
            faults.append(_which(sheet, [one.grid.where for one in whole], place))
        elif whole:
            found[sheet] = whole[0]
    if not doubted and not ("lots" in found and found["lots"].whole) and (turned := [*filter(_is_turned, grids)]):
        faults.append(_turn(turned[0]))
        return {}
    _part(found)
    notes += dict.fromkeys(remark for one in found.values() for remark in one.grid.remarks)
    used = {id(one.grid) for one in found.values()}
    left = [grid for grid in grids if id(grid) not in used and not any(grid is one for one in doubted)]
    if "lots" not in found and not doubted:
        faults += [fault for grid in left for fault in grid.faults] or [_no_yarn(grids, place)]
    lacking = _lacking([tables["lots"] for tables in map(in_grids.get, map(id, left)) if tables and "lots" in tables])
    if "lots" in found:
        notes += [_is_yarn_too(one, columns, found["lots"].grid.where) for one, columns in lacking]
        left = [grid for grid in left if not any(grid is one.grid for one, _ in lacking)]
    nameless = [one for grid in left if (one := in_grids[id(grid)].get("people")) and "avoid_on_skin" in one.columns]
    if "people" not in found and not doubted:
        notes += [_names_nobody(one.grid.where) for one in nameless]
        left = [grid for grid in left if not any(grid is one.grid for one in nameless)]
    alone = [grid.where for grid in left if grid.rows or grid.faults]
    if alone and found:
        said = "Sheets left alone, since by title or headings they list something else: {sheets}"
        notes.append(reason(said, sheets=listed(alone)))
    return found


def _side_by_side(grid: Grid) -> tuple[Grid, ...]:
    """The grid; where a list of yarn stands beside one of garments, and says itself which garment a lot is of, each."""
    if grid.faults or _title(grid) in SHEETS or too_wide(grid):
        return (grid,)
    for parts in cut_in_two(grid, MOST_COLUMNS):
        tables = [next(iter(_in_grid(part).values()), None) for part in parts]
        by_sheet = {one.sheet: one for one in tables if one is not None and one.whole and len(one.columns) >= _FEW}
        if by_sheet.keys() == {"lots", "garments"} and "garment" in by_sheet["lots"].columns:
            return parts
    return (grid,)


def _is_turned(grid: Grid) -> bool:
    """Whether the headings of a list of yarn stand below each other, and each lot has a column."""
    if grid.faults or _title(grid) in SHEETS:
        return False
    headings = [cells[0].strip() if cells else "" for _, cells in grid.rows[:_LOOKED_AT]]
    table = _headed(grid, "lots", headings, 0, 0)
    return table is not None and table.whole and max((_filled(cells) for _, cells in grid.rows), default=0) > _FEW


def _turn(grid: Grid) -> Fault:
    mend = reason("turn the table round: copy it, and paste it with its rows and columns exchanged (transpose)")
    row = grid.rows[0][0]
    return Fault(grid.where, row, None, reason("a column for each lot"), reason("a row for each lot"), mend)


def _lacking(tables: Iterable[Found]) -> list[tuple[Found, list[str]]]:
    """Tables that say how much there is of something, as lists of yarn do, with the columns of which they lack one."""
    core = SHEETS["lots"].core
    lists = [one for one in tables if "grams" in one.columns and len(one.columns) >= _FEW and not one.whole]
    lacking = [[column for group in core if not one.columns & set(group) for column in group] for one in lists]
    return [(one, columns) for one, columns in zip(lists, lacking, strict=True) if columns]


def _is_yarn_too(one: Found, columns: Iterable[str], other: str) -> Words:
    said = "{sheet} was left alone, though it says how much there is: no column holds {columns}; {mend}"
    mend = reason("if it lists yarn, fill that in and put its rows into {other}", other=other)
    return reason(said, sheet=one.grid.where, columns=listed(map(Column, columns), "or"), mend=mend)


def _names_nobody(sheet: str) -> Words:
    said = "{sheet} was left alone, though it says what does not suit somebody's skin: head the column of names {name}"
    return reason(said, sheet=sheet, name=Term("name"))


def _part(found: dict[str, Found]) -> None:
    """Of two tables in one grid the upper ends where the lower begins."""
    for sheet, one in found.items():
        below = [other.from_top for other in found.values() if other.grid is one.grid and other.first > one.first]
        found[sheet] = replace(one, end=min((one.end, *below)))


def _which(sheet: str, titles: Sequence[str], place: str) -> Fault:
    said = "{sheets}, and each could be the list of {things}"
    things = Term("yarn" if sheet == "lots" else sheet)
    expected = reason("one list of {things}", things=things)
    mend = reason('put them into one, or call the right one "{sheet}"', sheet=Term(sheet))
    return Fault(place, None, None, reason(said, sheets=listed(titles, "and"), things=things), expected, mend)


def _no_yarn(grids: Sequence[Grid], place: str) -> Fault:
    wide = [grid for grid in grids if too_wide(grid)]
    if wide:
        return too_many_columns(wide[0])
    held = [grid.where for grid in grids if grid.rows]
    sheets = reason("no list of yarn in {sheets}", sheets=listed(held[:5], "or")) if held else reason("nothing")
    columns = listed([reason("the yarn"), reason("its colour"), reason("the grams left")], "and")
    expected = reason("a table with an English heading each for {columns}", columns=columns)
    return Fault(place, None, None, sheets, expected, reason("is this the right file?"))


def too_many_columns(grid: Grid) -> Fault:
    """The fault of a grid that is wider than any list."""
    row, cells = too_wide(grid)[0]
    wide, most = (reason("{n} columns", n=number) for number in (_filled(cells), MOST_COLUMNS))
    return Fault(grid.where, row, None, wide, most, reason("delete those that hold nothing of a lot"))


def too_wide(grid: Grid) -> list[tuple[int, list[str]]]:
    """The rows at the top that are wider than any list."""
    return [line for line in grid.rows[:_LOOKED_AT] if len(line[1]) > MOST_COLUMNS and _filled(line[1]) > MOST_COLUMNS]


def _filled(cells: Iterable[str]) -> int:
    return sum(1 for cell in cells if cell.strip())


def _title(grid: Grid) -> str:
    return fold(re.sub(r"\.(?:csv|tsv|txt)$", "", grid.where, flags=re.IGNORECASE))


def titled(grid: Grid) -> str:
    """What a sheet's title says that it lists: "lots", "garments", "other"; "" where it says nothing."""
    title = _title(grid)
    if title in SHEETS:
        return title
    words = set(re.findall(r"[^\W\d_]+", title))
    said = [sheet for sheet, known in load_headings().titles.items() if title in known or words & known]
    return "other" if "other" in said else said[0] if len(said) == 1 else ""


def _in_grid(grid: Grid) -> dict[str, Found]:
    """The best table of each sheet; a row is of the sheet whose columns it names most."""
    title = titled(grid)
    own = title if title == _title(grid) else ""
    if own in SHEETS and grid.faults:
        return {own: Found(grid, own, (), 0, 0, 0)}
    if grid.faults or title == "other":
        return {}
    best: dict[str, Found] = {}
    if not too_wide(grid):
        for at in range(min(len(grid.rows), _LOOKED_AT)):
            here = [one for sheet in ([own] if own else SHEETS) for one in _at(grid, at, sheet)]
            if not here:
                continue
            one = max(here, key=lambda one: one.score + _TITLE * (one.sheet == title))
            if one.sheet not in best or one.score > best[one.sheet].score:
                best[one.sheet] = one
            if one.plain and one.whole:
                break
    if own and own not in best:
        return {own: Found(grid, own, (), 0, 0, len(grid.rows))}
    ranked = sorted(best.values(), key=lambda one: -one.score)
    return {one.sheet: one for one in ranked if one is ranked[0] or one.whole}


def _at(grid: Grid, at: int, sheet: str) -> list[Found]:
    """The tables that may begin in a row: headed by it alone, or by it and the next."""
    number, cells = grid.rows[at]
    alone = _headed(grid, sheet, [cell.strip() for cell in cells], number, at + 1)
    if at + 1 == len(grid.rows) or (alone is not None and alone.plain) or grid.rows[at + 1][0] != number + 1:
        return [alone] if alone else []
    both = _two_rows(sheet, cells, grid.rows[at + 1][1])
    pair = _headed(grid, sheet, both, number + 1, at + 2) if both else None
    if pair:
        under = grid.rows[at + 1][1]
        below = _headed(grid, sheet, [cell.strip() for cell in under], number + 1, at + 2)
        least = max(one.score if one else 0 for one in (alone, below))
        # A row of units below the headings adds none, and belongs to them.
        if pair.score >= least + (0 if _are_units(under) else 1):
            return [pair]
    return [alone] if alone else []


def _headed(grid: Grid, sheet: str, headings: list[str], number: int, first: int) -> Found | None:
    """The table with these headings, or None where they name no column."""
    while headings and not headings[-1]:
        headings = headings[:-1]
    reader = heading_readers()[sheet]
    given = [heading for heading in headings if heading]
    fits = [reader.fits(heading, nearly=False) for heading in given]
    if any(fits):
        fits = [one or reader.fits(heading) for one, heading in zip(fits, given, strict=True)]
    best = _distinct(fits)
    if not best:
        return None
    columns = frozenset(best)
    score = sum(best.values()) - sum(2 for heading in given if _NUMERIC.fullmatch(heading[:LONGEST]))
    plain = all(reader.named(heading) or heading.casefold() == WHY for heading in given)
    may_be = {fit.column for one in fits for fit in one}
    whole = all(may_be & set(one) for one in SHEETS[sheet].core) and score > 0
    return Found(grid, sheet, tuple(headings), number, first, len(grid.rows), plain, whole, score, columns)


def _distinct(fits: Iterable[Sequence[Fit]]) -> Mapping[str, int]:
    """Each column that is named, and how well: a heading that may be several is one that is not yet there."""
    best: dict[str, int] = {}
    for one in sorted(filter(None, fits), key=lambda one: -one[0].fits):
        fresh = [fit for fit in one if fit.column not in best]
        if fresh:
            best[fresh[0].column] = fresh[0].fits
    return best


def _are_units(cells: Iterable[str]) -> bool:
    """Whether a row holds nothing but units, such as "(g)"."""
    texts = [cell.strip(" ()[].").casefold() for cell in cells]
    return all(text in MASS_G or text in LENGTH_M for text in texts if text)


def _two_rows(sheet: str, upper: Sequence[str], lower: Sequence[str]) -> list[str] | None:
    """Headings of two rows as one, where the upper groups the lower at least once; else None."""
    reader = heading_readers()[sheet]
    wide = max(len(upper), len(lower))
    above, below = ([*(cell.strip() for cell in cells), *[""] * (wide - len(cells))] for cells in (upper, lower))
    if any(_NUMERIC.fullmatch(cell[:LONGEST]) for cell in below) or not any(below):
        return None
    headings: list[str] = []
    grouped, group = False, ""
    for over, under in zip(above, below, strict=True):
        group = over or group
        both = f"{group} {under}".strip()
        if under and group and (fits := reader.fits(both, nearly=False)) and fits != reader.fits(over, nearly=False):
            grouped = True
            headings.append(both)
        elif under and (not over or reader.fits(under, nearly=False)):
            headings.append(under)
        else:
            headings.append(over)
    return headings if grouped else None
