"""Laying a reserve on the lots of one yarn and colour: each repair from one dye lot, begun pieces first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Words

_NEAR = 1e-9  # metres that rounding may lose


@dataclass(frozen=True)
class Repair:
    """What is to be mended, and the metres held for it."""

    what: Words
    length_m: float


@dataclass(frozen=True)
class Laid:
    """Metres held of each lot; and each repair that no one dye lot holds enough for, with those it comes from."""

    held: dict[str, float]
    mixed: tuple[tuple[Words, tuple[str, ...]], ...]


def lay(lots: Sequence[Lot], repairs: Sequence[Repair], unclaimed_m: Mapping[str, float]) -> Laid:
    """Lay repairs on lots, which come in order of their names; what is not there stays unlaid.

    The longest repair first, each on the smallest dye lot whose begun pieces hold enough for it, else on the smallest
    that holds enough with its unbroken balls; only where none does, on as few as can be. Within a dye lot the begun
    pieces go first and the balls after them, in order of the lots' names: never in order of size, so that weighing
    one lot again moves no metre to another of its dye lot. Between dye lots it can, where a lot grows or shrinks past
    what a repair takes; that is the price of a patch that is of one bath, and what is held in all stays the same.
    Lots whose dye lot is not known count as one: they were knitted into the garment together.
    """
    if not repairs:
        return Laid(dict.fromkeys((lot.name for lot in lots), 0.0), ())
    baths: dict[str, list[Lot]] = {}
    for lot in lots:
        baths.setdefault(fold(lot.dye_lot), []).append(lot)
    begun = {bath: sum(_begun_m(lot, unclaimed_m) for lot in own) for bath, own in baths.items()}
    whole = {bath: sum(unclaimed_m[lot.name] for lot in own) for bath, own in baths.items()}
    taken = dict.fromkeys(baths, 0.0)
    mixed: list[tuple[Words, tuple[str, ...]]] = []
    only = next(iter(baths)) if len(baths) == 1 else None  # as most groups have
    for repair in sorted(repairs, key=lambda one: -one.length_m):
        left, used = repair.length_m, []
        while left > _NEAR and any(whole[bath] - taken[bath] > _NEAR for bath in baths):
            bath = only
            if bath is None:
                bath = _bath_for(left, begun, taken)
            if bath is None:
                bath = _bath_for(left, whole, taken)
            if bath is None:
                bath = max(sorted(baths), key=lambda one: whole[one] - taken[one])
            part = min(left, whole[bath] - taken[bath])
            taken[bath] += part
            left -= part
            used.append(baths[bath][0].dye_lot)
        if len(used) > 1 and left <= _NEAR:
            mixed.append((repair.what, tuple(used)))
    held: dict[str, float] = {}
    for bath, own in baths.items():
        held |= _in_order(own, taken[bath], unclaimed_m)
    return Laid(held, tuple(mixed))


def _bath_for(length_m: float, room_m: Mapping[str, float], taken: Mapping[str, float]) -> str | None:
    """The dye lot with the least room that is still enough; of equals the first by name."""
    enough = [bath for bath in sorted(room_m) if room_m[bath] - taken[bath] >= length_m - _NEAR]
    return min(enough, key=lambda bath: room_m[bath] - taken[bath], default=None)


def _begun_m(lot: Lot, unclaimed_m: Mapping[str, float]) -> float:
    """Metres in pieces that are already begun; what is on hand is one figure, which full balls may not exceed."""
    return min(max(lot.part_used_m, 0.0), unclaimed_m[lot.name])


def _in_order(lots: Sequence[Lot], length_m: float, unclaimed_m: Mapping[str, float]) -> dict[str, float]:
    """Metres taken of each lot of one dye lot."""
    held = dict.fromkeys((lot.name for lot in lots), 0.0)
    for part_used in (True, False):
        for lot in lots:
            room = _begun_m(lot, unclaimed_m) if part_used else unclaimed_m[lot.name] - held[lot.name]
            part = max(0.0, min(room, length_m))
            held[lot.name] = min(held[lot.name] + part, unclaimed_m[lot.name])
            length_m -= part
    return held
