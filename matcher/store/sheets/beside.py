"""Two lists side by side in one sheet, with an empty column between: the parts of a grid by themselves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from matcher.store.sheets.grid import Grid

_TOP = 60  # rows in which every sheet is looked at; a choice
_MOST_CUTS = 8  # empty columns at which a grid is tried to be cut; a choice


def cut_in_two(grid: Grid, most: int) -> Iterator[tuple[Grid, Grid]]:
    """The grid cut at each empty column, from the left; cells keep their positions. most: columns looked at."""
    if not _gaps(grid, most, _TOP):
        return
    for at in _gaps(grid, most, len(grid.rows))[:_MOST_CUTS]:
        yield (
            replace(grid, rows=_held((number, cells[:at]) for number, cells in grid.rows)),
            replace(grid, rows=_held((number, [""] * at + cells[at:]) for number, cells in grid.rows)),
        )


def _gaps(grid: Grid, most: int, rows: int) -> list[int]:
    """Columns that hold nothing in so many rows, each the last before one that does."""
    filled: set[int] = set()
    for _, cells in grid.rows[:rows]:
        filled.update(at for at, cell in enumerate(cells[:most]) if cell and not cell.isspace())
    first, last = min(filled, default=0), max(filled, default=0)
    return [at for at in range(first + 1, last) if at not in filled and at + 1 in filled]


def _held(rows: Iterator[tuple[int, list[str]]]) -> list[tuple[int, list[str]]]:
    return [(number, cells) for number, cells in rows if any(cell.strip() for cell in cells)]
