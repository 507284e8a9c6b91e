"""Which zone of its entry each part of a fit belongs to."""

from __future__ import annotations

from itertools import groupby

from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.fit.fitted import Fitted, FittedPart


def by_zone(accessory: Accessory, fitted: Fitted) -> tuple[tuple[Zone, tuple[FittedPart, ...]], ...]:
    """The column of parts, bottom to top, by the zones that they are of: plain rounds beside a motif go with it."""
    zones = {zone.name: zone for zone in accessory.zones}
    groups = groupby(fitted.parts, key=lambda part: part.zone or str(part.part))
    return tuple((zones[name], tuple(parts)) for name, parts in groups)
