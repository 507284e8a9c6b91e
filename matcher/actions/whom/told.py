"""Whom a suggestion is for."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.actions.whom.parties import ForOne
from matcher.matching.contrast import LEVELS, judge
from matcher.matching.pools import Pool
from matcher.matching.variants import Variant
from matcher.materials.colours.colour import Colour
from matcher.store.catalogue.catalogue import Catalogue


def for_whom(
    people: Sequence[ForOne],
    variant: Variant,
    pools: Sequence[Pool],
    touching: Sequence[tuple[Colour, Colour, float]],
    least: str,
    catalogue: Catalogue,
) -> tuple[ForOne, ...]:
    """Those whose size it is, whose skin bears it, who like its colours, and whose eyes can read it.

    touching : colours that lie beside each other, and what their motif keeps of a difference of hue; least : the
    verdict that they must reach.
    """
    lots = {lot.name for pool in pools for lot in pool.lots}
    found = []
    for one in people:
        party, key = one.party, variant.accessory.key
        hers = {*party.sizes.get(key, ()), *(own.size for own in party.own.get(key, ()))}
        barred = lots & (party.unwanted | (party.off_skin if variant.accessory.next_to_skin else frozenset()))
        if variant.size in hers and not barred and (not party.wanted or lots & party.wanted):
            rules = catalogue.seen_by(party.eyes).contrast
            readings = (judge(a, b, catalogue.vision, rules.in_motif(kept), least).reading for a, b, kept in touching)
            if all(reading >= LEVELS[least] - 1e-6 for reading in readings):
                found.append(one)
    return tuple(found)
