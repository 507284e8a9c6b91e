"""Which edges of a fitted accessory take yarn: where it isn't one column from cast-on to bind-off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from matcher.knitting.fit.fitted import Fitted, FittedPart


def with_edges(fitted: Fitted, construction: str) -> Fitted:
    """The same accessory with the edges that its construction has; they stand in the parts or at the column's ends."""
    if construction == "yoke":
        return replace(fitted, taken_up=True)
    if construction == "triangle" and fitted.extra:  # flags, which a string goes along
        return replace(fitted, bound_off=False, extra=_finished(fitted.extra, below=False))
    if construction == "pouch":
        cords = tuple((part, times) for part, times in fitted.extra if part.shape == "tube")
        bases = tuple(one for one in fitted.extra if one not in cords)
        return replace(fitted, extra=(*bases, *_finished(cords)))
    if construction == "parts":
        column = tuple(part for part, _ in _finished([(part, fitted.pieces) for part in fitted.parts]))
        extra = _finished(fitted.extra)
        return replace(fitted, taken_up=True, bound_off=False, parts=column, extra=extra)
    if construction == "tube":  # what stands beside is sewn on
        return replace(fitted, extra=_finished(fitted.extra))
    return fitted


def zones_of(parts: Sequence[tuple[FittedPart, int]]) -> list[list[tuple[FittedPart, int]]]:
    """The parts by their zones: what a motif leaves plain goes with it."""
    found: list[list[tuple[FittedPart, int]]] = []
    for one in parts:
        if found and one[0].zone and found[-1][-1][0].zone == one[0].zone:
            found[-1].append(one)
        else:
            found.append([one])
    return found


def _finished(parts: Sequence[tuple[FittedPart, int]], below: bool = True) -> tuple[tuple[FittedPart, int], ...]:
    """Each zone with its own bind-off, and its own cast-on if `below`; a crown is drawn together."""
    found: list[tuple[FittedPart, int]] = []
    for zone in zones_of(parts):
        edges = [0] * len(zone)
        edges[0] += zone[0][0].first if below else 0
        edges[-1] += zone[-1][0].counts[-1] if zone[-1][0].shape != "crown" else 0
        found += [(replace(part, edge=edge), times) for (part, times), edge in zip(zone, edges, strict=True)]
    return tuple(found)
