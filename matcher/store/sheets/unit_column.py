"""A column of units beside the one that they count: "2" and "balls", "45" and "g" are one cell each."""

from __future__ import annotations

import re
from dataclasses import replace

from matcher.materials.reading.numerals import LENGTH_M, MASS_G, NUMBER
from matcher.reasons.reason import Words, reason
from matcher.store.sheets.columns import LOTS
from matcher.store.sheets.find import Found
from matcher.store.sheets.headings import heading_readers

_HEADINGS = frozenset(("unit", "units", "uom", "unit of measure", "measured in", "counted in"))
_BALLS = ("ball", "balls", "skein", "skeins", "hank", "hanks", "cake", "cakes")
_UNITS = frozenset((*MASS_G, *LENGTH_M, *_BALLS)) - {"'", "′", '"', "″"}
_BARE = re.compile(rf"(?:about|approx\.?|ca\.?|c\.|~|<|>)?\s*(?:{NUMBER}|[½¼¾⅓⅔])\s*\??", re.IGNORECASE)
_COUNTED = ("grams", "ball_grams", "ball_metres", "reserve")


def with_units_beside(found: Found, notes: list[Words], joined: dict[str, str]) -> Found:
    """The table with each unit put behind the number that stands before it, and the column of units empty.

    joined: gets the heading of such a column, and that of the numbers.
    """
    if found.plain or found.sheet != LOTS.sheet:
        return found
    for at, heading in enumerate(found.headings):
        if heading.strip().casefold() not in _HEADINGS or not at or not _are_units(found, at):
            continue
        fits = heading_readers()[found.sheet].fits(found.headings[at - 1])
        if any(fit.column in _COUNTED for fit in fits):
            said = '{sheet}: "{units}" says what "{numbers}" counts in'
            names = {"units": heading, "numbers": found.headings[at - 1]}
            notes.append(reason(said, sheet=found.grid.where, **names))
            joined[heading] = found.headings[at - 1]
            rows = [
                *found.grid.rows[: found.first],
                *((number, _joined(cells, at)) for number, cells in found.rows),
                *found.grid.rows[found.end :],
            ]
            headings = tuple("" if place == at else one for place, one in enumerate(found.headings))
            found = replace(found, grid=replace(found.grid, rows=rows), headings=headings)
    return found


def _are_units(found: Found, at: int) -> bool:
    cells = {cells[at].strip(" .").casefold() for _, cells in found.rows if at < len(cells) and cells[at].strip()}
    return bool(cells) and cells <= _UNITS


def _joined(cells: list[str], at: int) -> list[str]:
    if at >= len(cells) or not _BARE.fullmatch(cells[at - 1].strip()):
        return [*cells[:at], "", *cells[at + 1 :]]
    return [*cells[: at - 1], f"{cells[at - 1].strip()} {cells[at].strip()}".strip(), "", *cells[at + 1 :]]
