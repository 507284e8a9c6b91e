"""Lists of what she has: lots, garments, people, works on the needles."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.keeping.done import opened
from matcher.actions.looking.lines import (
    GarmentLine,
    LotLine,
    PersonLine,
    WorkLine,
    garment_lines,
    lot_lines,
    person_lines,
    work_lines,
)
from matcher.actions.looking.which import asked_sort, sorted_lots, which
from matcher.errors import BadInput
from matcher.reasons.reason import Field, Term, Words, listed, reason

if TYPE_CHECKING:
    import pandas as pd

LOTS, GARMENTS, PEOPLE, WORKS = "lots", "garments", "people", "works"
WHAT = (LOTS, GARMENTS, PEOPLE, WORKS)
ONE = dict(zip(WHAT, ("lot", "garment", "person", "work"), strict=True))
Line = LotLine | GarmentLine | PersonLine | WorkLine


@dataclass(frozen=True)
class Listing:
    """A list of one of `WHAT`; lines are of that kind. of: how many there are in all; by: how they are sorted."""

    what: str
    lines: tuple[Line, ...]
    of: int
    by: str = "name"
    notes: tuple[Words, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "what": self.what,
            self.what: [one.as_dict() for one in self.lines],
            "of": self.of,
            "notes": list(self.notes),
        }

    def frame(self) -> pd.DataFrame:
        """One row a line, as a pandas frame; several things in a cell are parted by semicolons."""
        import pandas as pd

        rows = [{key: _cell(value) for key, value in one.as_dict().items()} for one in self.lines]
        return pd.DataFrame(rows, columns=None if rows else [ONE[self.what]])


def _cell(value: Any) -> Any:
    if isinstance(value, dict):
        return value["lot"] if "lot" in value else _cell([f"{key} {one}" for key, one in value.items()])
    return "; ".join(str(_cell(one)) for one in value) if isinstance(value, list) else value


def listing(
    what: str = LOTS,
    bin: DeskLike = None,
    *,
    place: str | None = None,
    weight_class: str | None = None,
    colour: str | None = None,
    free: str | None = None,
    sort: str = "name",
    mending: str | None = None,
    catalog: Path | str | None = None,
) -> Listing:
    """List lots, garments, people or works.

    Parameters
    ----------
    what : one of `WHAT`.
    place, weight_class, colour, free : only lots that lie there, are so thick ("DK"), are called so ("blue", "dark
        red"), have so much free ("50 m"); only garments, their wearers and works of such lots.
    sort : lots in the order of their "name", "place", "class", "colour", "lightness" or "garment",
        or by most "free" or "grams" first.

    Raises
    ------
    BadSheets, NotFound, BadInput
    """
    desk = desk_of(bin, catalog, mending)
    if what not in WHAT:
        raise BadInput(
            reason('there is no list of "{what}"', what=what),
            Field("what"),
            reason("give {known}", known=listed(map(Term, WHAT), "or")),
        )
    if what != LOTS and asked_sort(sort) != "name":
        todo = reason("leave it out, or list lots")
        raise BadInput(reason("only lots are sorted"), Field("sort"), todo)
    lots = lot_lines(desk)
    asked = which(lots, desk.catalogue, place=place, weight_class=weight_class, colour=colour, free=free)
    meant = asked.of(lots)
    notes = (desk.bin.read_with, *asked.notes) if desk.bin.read_with else asked.notes
    if what == LOTS:
        return Listing(what, sorted_lots(meant, asked_sort(sort), desk.catalogue), len(lots), sort, notes)
    names = {one.lot.name for one in meant}
    every = _others(desk, what, lots)
    chosen = tuple(one for one in every if not asked.fits or names & _lots_of(one))
    return Listing(what, chosen, len(every), notes=notes)


def _others(desk: Desk, what: str, lots: tuple[LotLine, ...]) -> tuple[Line, ...]:
    if what == WORKS:
        return _works(desk)
    garments = garment_lines(desk, lots)
    return garments if what == GARMENTS else person_lines(desk, garments)


def _lots_of(line: Line) -> set[str]:
    """The lots that it has to do with, by name."""
    if isinstance(line, LotLine):
        return {line.lot.name}
    if isinstance(line, WorkLine):
        return {part.lot for part in line.parts}
    garments = line.garments if isinstance(line, PersonLine) else (line,)
    return {one.lot.name for garment in garments for one in garment.lots}


def _works(desk: Desk) -> tuple[WorkLine, ...]:
    if desk.store is None:  # sheets know of no needles
        return ()
    with opened(desk.store) as store:
        return work_lines(store)
