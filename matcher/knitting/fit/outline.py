"""An entry's zones sorted out for one size: the main tube, the column bottom to top, and what is knitted besides.

A zone of which the entry has twice as many as it has main tubes ("edges") is knitted both below and above.
"""

from __future__ import annotations

from dataclasses import dataclass

from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import FabricConstants

_STANDING = ("tube", "crown", "frustum")


class NoTube(ValueError):
    """The entry has no tube that a motif could run round."""


@dataclass(frozen=True)
class Outline:
    """The zones of an entry, and what its main one measures.

    Where no tube stands in it the main zone is the first, alone in its column.
    """

    main: Zone
    pieces: int
    column: tuple[Zone, ...]
    extra: tuple[Zone, ...]
    target_cm: float  # circumference of the main tube, as the entry would have it
    body_cm: float  # the body's measure that it goes round
    goes_round: str  # its name; "" where there is none, or it goes round more than once
    ribbed: bool  # whether a rib is exactly as wide as the main tube, so that both must come out even


def outline_of(accessory: Accessory, size: str, sizes: Sizes, constants: FabricConstants) -> Outline:
    """Sort the zones out round the tube that takes a motif. Raises NoTube; KeyError where the size lacks a measure."""
    patterned = any(zone.motif for zone in accessory.zones)
    choice = _tubes(accessory, constants, patterned)
    if not choice:
        raise NoTube(accessory.name)
    return _sorted(accessory, choice, size, sizes, constants)


def takes_motif(accessory: Accessory, constants: FabricConstants) -> bool:
    """Whether it has a tube that a motif could run round."""
    return bool(_tubes(accessory, constants, any(zone.motif for zone in accessory.zones)))


def outline_as_listed(accessory: Accessory, size: str, sizes: Sizes, constants: FabricConstants) -> Outline:
    """Sort the zones of any entry out, with or without a tube. Raises KeyError when the size lacks a measure."""
    choice = _tubes(accessory, constants, True) or _tubes(accessory, constants, False)
    return _sorted(accessory, choice or list(accessory.zones[:1]), size, sizes, constants)


def _tubes(accessory: Accessory, constants: FabricConstants, patterned: bool) -> list[Zone]:
    """The tubes in a motif; or the smooth ones, and where there are none the ribbed ones."""
    tubes = [zone for zone in accessory.zones if zone.shape == "tube" and zone.around is not None]
    if patterned:
        return [zone for zone in tubes if zone.motif]
    return [zone for zone in tubes if not constants.ribbed(zone.structure)] or tubes


def _sorted(accessory: Accessory, choice: list[Zone], size: str, sizes: Sizes, constants: FabricConstants) -> Outline:
    main = max(choice, key=lambda zone: _around(zone, size, sizes) * _height(zone, size, sizes) * zone.count)
    target, dimension = _around(main, size, sizes), main.around
    body, goes_round = target, ""
    if dimension is not None and dimension.of is not None:
        body = sizes.dimension(size, dimension.of) * dimension.times
        goes_round = dimension.of if dimension.times < 1.5 else ""
    below, above, extra, beside = [], [], [], target
    for zone in accessory.zones:
        # Half as wide as what lies below it is a thumb or a cord.
        stands = zone.shape in _STANDING and zone.around is not None and _around(zone, size, sizes) >= beside / 2.0
        if zone is main or (stands and zone.count == main.count):
            below.append(zone)
        elif stands and zone.shape == "tube" and zone.count == 2 * main.count:  # at both ends
            below.append(zone)
            above.append(zone)
        else:
            extra.append(zone)
            continue
        beside = _around(zone, size, sizes)
    if main.shape not in _STANDING:
        below, above, extra = [main], [], [zone for zone in accessory.zones if zone is not main]
    column = (*below, *above)
    ribbed = any(constants.ribbed(zone.structure) and same_width(zone, main, size, sizes) for zone in column)
    return Outline(main, main.count, column, tuple(extra), target, body, goes_round, ribbed)


def same_width(zone: Zone, other: Zone, size: str, sizes: Sizes) -> bool:
    """Whether two zones are meant to measure the same around."""
    return abs(_around(zone, size, sizes) - _around(other, size, sizes)) < 1e-9


def _around(zone: Zone, size: str, sizes: Sizes) -> float:
    return zone.around.in_cm(sizes, size) if zone.around is not None else 0.0


def _height(zone: Zone, size: str, sizes: Sizes) -> float:
    return zone.height.in_cm(sizes, size) if zone.height is not None else 1.0
