"""Tubes one above the other: the front half, whole stitches standing on one another, and edges that are turned over."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from matcher.drawing.laid.panel import Panel
from matcher.drawing.laid.rows import Row, rows_of
from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.pattern.zones import by_zone

FOLD = "fold"  # kind of the shadow of what is turned over
_BULGE = 1.0  # mm that a turned edge reaches beyond what it lies on, at either side; for the eye only


def centred(rows: Sequence[Row]) -> list[Row]:
    """Rows in the middle of the widest; those of whole plain stitches stand on the stitches below them."""
    widest = max(row.width for row in rows)
    found: list[Row] = []
    for row in rows:
        indent, wide = (widest - row.width) / 2, row.widths[0]
        if all(width == wide for width in row.widths):
            # Whole stitches in from the edge, so that columns stand on columns where a crown narrows.
            indent = wide * math.floor(indent / wide + 1e-9)
        found.append(replace(row, left=indent, purled=_in_columns(row, found[-1]) if found else row.purled))
    return found


def _in_columns(row: Row, below: Row) -> tuple[bool, ...]:
    """Which of its stitches are purled, where rib stands on rib of more stitches: those that were purled there."""
    fewer = len(below.roles) - len(row.roles)
    if fewer <= 0 or len(set(row.purled)) == 1 or len(set(below.purled)) == 1:
        return row.purled
    start = round((below.width - row.width) / 2 / (below.width / len(below.roles)))
    return below.purled[start : start + len(row.roles)]


def column(accessory: Accessory | None, fitted: Fitted, constants: FabricConstants) -> list[Panel]:
    """The main parts as they are worn, bottom first: what is turned over lies on the rest of its column."""
    rounds = fitted.rounds()
    rows = centred(rows_of(fitted, rounds, constants))
    turned = _turned(accessory, fitted)
    if not turned:
        return [Panel(tuple(rows))]
    at_end = turned.stop == len(rows)
    over = _folded([rows[number] for number in turned], at_end)
    low, high = over[0].bottom - 1e-6, over[-1].top + 1e-6
    under = [
        row for number, row in enumerate(rows) if number not in turned and not (row.bottom > low and row.top < high)
    ]
    return [*([Panel(tuple(under))] if under else ()), Panel(tuple(over), kind=FOLD, over=True)]


def _turned(accessory: Accessory | None, fitted: Fitted) -> range:
    """Rounds that are turned to the outside: the end of the last zones, or the beginning of the first ones."""
    if accessory is None:
        return range(0)
    zones = [(zone.turned, sum(part.rounds for part in parts)) for zone, parts in by_zone(accessory, fitted)]
    all_rounds = sum(rounds for _, rounds in zones)
    many = _turned_in(reversed(zones))
    return range(all_rounds - many, all_rounds) if many else range(_turned_in(zones))


def _turned_in(zones: Iterable[tuple[float, int]]) -> int:
    """How many rounds from an edge are turned over: whole zones, and a part of the one where the fold is.

    zones: of each the part of its height that is turned, and its rounds.
    """
    many = 0
    for turned, rounds in zones:
        many += int(turned * rounds)
        if turned < 1:
            break
    return many


def _folded(rows: Sequence[Row], at_end: bool) -> list[Row]:
    """Rows turned over the fold that lies above them (`at_end`) or below them, lowest first.

    Rib shows its other side, where what was purled is knit.
    """
    fold = rows[0].bottom if at_end else rows[-1].top
    found = []
    for row in reversed(rows):
        bottom = 2 * fold - row.top
        wider = (row.width + 2 * _BULGE) / row.width
        ribbed = len(set(row.purled)) > 1
        found.append(
            replace(
                row,
                bottom=bottom,
                left=row.left - _BULGE,
                widths=tuple(width * wider for width in row.widths),
                purled=tuple(purl != ribbed for purl in row.purled),
            )
        )
    return found
