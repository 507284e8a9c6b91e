"""Full balls in one column and the weight of a part-used one in another are one amount: "2 balls + 23 g"."""

from __future__ import annotations

import re
from dataclasses import replace

from matcher.materials.reading.numerals import NUMBER
from matcher.reasons.reason import Words, reason
from matcher.store.sheets.columns import LOTS
from matcher.store.sheets.find import Found
from matcher.store.sheets.headings import heading_readers

_PART = frozenset(("part", "partial", "opened", "open", "started", "loose", "odd"))
_FULL = re.compile(r"(?:number of )?(?:full|whole|complete|unopened) (?:balls|skeins|hanks)", re.IGNORECASE)
_NUMBER = re.compile(NUMBER)
_NOTHING = re.compile(r"0*(?:[.,]0+)?|-|none", re.IGNORECASE)


def with_parts_added(found: Found, notes: list[Words], joined: dict[str, str]) -> Found:
    """The table with what is left of a part-used ball added to the full ones, and its column empty.

    joined: gets the heading of that column, and that of the full balls.
    """
    if found.plain or found.sheet != LOTS.sheet:
        return found
    reader = heading_readers()[found.sheet]
    words = [reader.words(heading, mended=False) for heading in found.headings]
    full = [at for at, heading in enumerate(found.headings) if _FULL.fullmatch(heading.strip())]
    part = [at for at, one in enumerate(words) if one & _PART and "#mass" in one]
    if len(full) != 1 or len(part) != 1:
        return found
    names = {"full": found.headings[full[0]], "part": found.headings[part[0]]}
    notes.append(reason('{sheet}: "{part}" is added to "{full}"', sheet=found.grid.where, **names))
    joined[names["part"]] = names["full"]
    unit = next(iter(re.findall(r"\b(?:oz|ounces|kg)\b", names["part"].casefold())), "g")
    rows = [
        *found.grid.rows[: found.first],
        *((number, _joined(cells, full[0], part[0], unit)) for number, cells in found.rows),
        *found.grid.rows[found.end :],
    ]
    headings = tuple("" if place == part[0] else one for place, one in enumerate(found.headings))
    return replace(found, grid=replace(found.grid, rows=rows), headings=headings)


def _joined(cells: list[str], full: int, part: int, unit: str) -> list[str]:
    whole, more = (cells[at].strip() if at < len(cells) else "" for at in (full, part))
    balls = "" if _NOTHING.fullmatch(whole) else f"{whole} balls" if _NUMBER.fullmatch(whole) else whole
    rest = "" if _NOTHING.fullmatch(more) else f"{more} {unit}" if _NUMBER.fullmatch(more) else more
    joined = [*cells, *[""] * (max(full, part) + 1 - len(cells))]
    joined[full], joined[part] = " + ".join(filter(None, (balls, rest))) or whole, ""
    return joined
