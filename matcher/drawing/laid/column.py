"""Tubes one above the other: the front half, whole stitches standing on one another, and edges that are turned over."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from matcher.drawing.laid.panel import Panel
from matcher.drawing.laid.rows import Rounds, Row, rows_of
from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted

FOLD = "fold"  # kind of the shadow of what is turned over
_BULGE = 1.0  # mm that a turned edge reaches beyond what it lies on, at either side; for the eye only


def centred(rows: Sequence[Row]) -> list[Row]:
    """Rows in the middle of the widest; those of whole plain stitches stand on the stitches below them."""
    widest = max(row.width for row in rows)
    found = []
    for row in rows:
        indent, wide = (widest - row.width) / 2, row.widths[0]
        if all(width == wide for width in row.widths):
            # Whole stitches in from the edge, so that columns stand on columns where a crown narrows.
            indent = wide * math.floor(indent / wide + 1e-9)
        found.append(replace(row, left=indent))
    return found


def column(accessory: Accessory | None, fitted: Fitted, constants: FabricConstants) -> list[Panel]:
    """The main parts as they are worn, bottom first: what is turned over lies on the rest of its column."""
    rounds = fitted.rounds()
    rows = centred(rows_of(fitted, rounds, constants))
    turned = _turned(accessory, rounds)
    if not turned:
        return [Panel(tuple(rows))]
    at_end = turned.stop == len(rows)
    over = _folded([rows[number] for number in turned], at_end)
    low, high = over[0].bottom - 1e-6, over[-1].top + 1e-6
    under = [
        row for number, row in enumerate(rows) if number not in turned and not (row.bottom > low and row.top < high)
    ]
    return [*([Panel(tuple(under))] if under else ()), Panel(tuple(over), kind=FOLD, over=True)]


def _turned(accessory: Accessory | None, rounds: Rounds) -> range:
    """Rounds that are turned to the outside: the end of the last zones, or the beginning of the first ones."""
    zones = accessory.zones if accessory is not None else ()
    many = _turned_in(reversed(zones), rounds)
    if many:
        return range(len(rounds) - many, len(rounds))
    return range(_turned_in(zones, rounds))


def _turned_in(zones: Iterable[Zone], rounds: Rounds) -> int:
    """How many rounds from an edge are turned over: whole zones, and a part of the one where the fold is."""
    many = 0
    for zone in zones:
        many += int(_share(zone) * len(_rounds_in(zone.name, rounds)))
        if _share(zone) < 1:
            break
    return many


def _share(zone: Zone) -> float:
    return float(getattr(zone, "turned", 0.0))


def _rounds_in(zone: str, rounds: Rounds) -> list[int]:
    """The rounds of a zone, with the plain ones that stand beside its motif."""
    own = [number for number, (part, _) in enumerate(rounds) if part.part == zone]
    while own and own[0] > 0 and rounds[own[0] - 1][0].added:
        own.insert(0, own[0] - 1)
    while own and own[-1] + 1 < len(rounds) and rounds[own[-1] + 1][0].added:
        own.append(own[-1] + 1)
    return own


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
