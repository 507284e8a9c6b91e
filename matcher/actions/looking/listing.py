"""Lists of what she has: lots, garments, works on the needles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.keeping.done import opened
from matcher.actions.looking.lines import GarmentLine, LotLine, WorkLine, garment_lines, lot_lines, work_lines
from matcher.actions.looking.which import Which, asked_sort, sorted_lots, which
from matcher.errors import BadInput
from matcher.reasons.reason import Field, Term, Words, listed, reason

if TYPE_CHECKING:
    import pandas as pd

LOTS, GARMENTS, WORKS = "lots", "garments", "works"
WHAT = (LOTS, GARMENTS, WORKS)


@dataclass(frozen=True)
class Listing:
    """A list of one of `WHAT`; lines are of that kind. of: how many there are in all; by: how they are sorted."""

    what: str
    lines: tuple[LotLine, ...] | tuple[GarmentLine, ...] | tuple[WorkLine, ...]
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
        return pd.DataFrame(rows, columns=None if rows else [self.what.removesuffix("s")])


def _cell(value: Any) -> Any:
    if isinstance(value, dict):
        return value["lot"]
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
    """List lots, garments or works.

    Parameters
    ----------
    what : one of `WHAT`.
    place, weight_class, colour, free : only lots that lie there, are so thick ("DK"), are called so ("blue", "dark
        red"), have so much free ("50 m"); only garments and works of such lots.
    sort : lots in the order of their "name", "place", "class", "colour", or by most "free" or "grams" first.

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
    if what == LOTS:
        return Listing(what, sorted_lots(meant, asked_sort(sort), desk.catalogue), len(lots), sort, asked.notes)
    if what == GARMENTS:
        every = garment_lines(desk, lots)
        names = {one.lot.garment for one in meant}
        chosen = tuple(one for one in every if not asked.fits or one.garment.name in names)
        return Listing(what, chosen, len(every), notes=asked.notes)
    works = _works(desk)
    return Listing(what, _of_lots(works, asked, meant), len(works), notes=asked.notes)


def _works(desk: Desk) -> tuple[WorkLine, ...]:
    if desk.store is None:  # sheets know of no needles
        return ()
    with opened(desk.store) as store:
        return work_lines(store)


def _of_lots(works: Sequence[WorkLine], asked: Which, meant: Sequence[LotLine]) -> tuple[WorkLine, ...]:
    names = {one.lot.name for one in meant}
    return tuple(one for one in works if not asked.fits or any(part.lot in names for part in one.parts))
