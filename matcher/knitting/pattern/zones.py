"""Which zone of its entry each part of a fit belongs to."""

from __future__ import annotations

from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.fit.fitted import Fitted, FittedPart


def by_zone(accessory: Accessory, fitted: Fitted) -> tuple[tuple[Zone, tuple[FittedPart, ...]], ...]:
    """The column of parts, bottom to top, by the zones that they are of: plain rounds beside a motif go with it."""
    zones = {zone.name: zone for zone in accessory.zones}
    found: list[tuple[Zone, tuple[FittedPart, ...]]] = []
    for number, part in enumerate(fitted.parts):
        owner = part
        if part.added:
            above_its_motif = number > 0 and fitted.parts[number - 1].rows
            owner = fitted.parts[number - 1 if above_its_motif else number + 1]
        zone = zones[str(owner.part)]
        if found and found[-1][0] is zone:
            found[-1] = zone, (*found[-1][1], part)
        else:
            found.append((zone, (part,)))
    return tuple(found)
