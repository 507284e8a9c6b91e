"""What was made of her sheets: which heading became which column, what odd cells were taken to say, what is a guess."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from matcher.reasons.reason import Words, listed
from matcher.store.sheets.columns import SHEETS
from matcher.store.sheets.headings import fold_heading


@dataclass(frozen=True)
class HeadingRead:
    """One heading of hers, and the column that it was taken for.

    column: "" where it was left out; unit: what bare numbers under it count in, such as "yd", where the heading or the
    sheet says so; filled: how many cells below hold something; sure: False for a guess; said: she said so herself.
    """

    where: str
    heading: str
    column: str
    unit: str = ""
    filled: int = 0
    sure: bool = True
    said: bool = False

    @property
    def as_named(self) -> bool:
        """Whether it is the very name of its column, so that it tells nothing of its own."""
        return fold_heading(self.heading) == self.column


@dataclass(frozen=True)
class CellRead:
    """One cell that does not say plainly what it was taken for. found: as she wrote it; taken: what was made of it;
    name: the lot or garment of its row; said: she said so herself."""

    where: str
    row: int
    name: str
    column: str
    found: str
    taken: Words
    sure: bool
    said: bool = False


@dataclass
class Understood:
    """All that was read otherwise than a tidy sheet says it, in the order of the sheets; faults are kept apart.

    said: sheet, row and column of each cell that she spoke for herself.
    """

    headings: list[HeadingRead] = field(default_factory=list)
    cells: list[CellRead] = field(default_factory=list)
    said: set[tuple[str, int, str]] = field(default_factory=set)

    def add(self, cell: CellRead) -> None:
        """Add a cell; one that she spoke for is no guess, and what is made of her answer stands with it."""
        place = (cell.where, cell.row, cell.column)
        if place not in self.said:
            self.cells.append(cell)
            return
        hers = [one for one in self.cells if one.said and (one.where, one.row, one.column) == place]
        if hers:
            self.cells.remove(hers[0])
            both = listed(filter(None, (hers[0].taken, cell.taken)), between=": ")
            cell = replace(cell, found=hers[0].found, taken=both)
        self.cells.append(replace(cell, sure=True, said=True))

    def copy(self) -> Understood:
        """The same, to be added to."""
        return Understood([*self.headings], [*self.cells], {*self.said})

    @property
    def left_out(self) -> list[HeadingRead]:
        """Headings with data below that no column was found for."""
        return [one for one in self.headings if not one.column and one.filled]

    def asked(self) -> list[CellRead]:
        """Guesses at cells that are hers to settle."""
        asked = {rule.name for sheet in SHEETS.values() for rule in sheet.rules.values() if rule.asked}
        return [one for one in self.cells if not one.sure and one.column in asked]

    def guesses(self) -> Iterator[HeadingRead | CellRead]:
        """Readings that she should look at."""
        yield from (one for one in self.headings if one.column and not one.sure)
        yield from (one for one in self.cells if not one.sure)
