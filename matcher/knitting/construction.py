"""How an entry is knitted: what it says itself, else what its zones make of it.

Only what the zones leave no doubt of is derived; what they do not make a known thing of is "parts", each zone a piece
by itself.
"""

from __future__ import annotations

from matcher.knitting.accessory import Accessory


def construction_of(accessory: Accessory) -> str:
    """One of `accessory.CONSTRUCTIONS`, never ""."""
    if accessory.construction:
        return accessory.construction
    shapes = [zone.shape for zone in accessory.zones]
    if accessory.kind == "yoke" and set(shapes) == {"tube"}:
        return "yoke"
    if accessory.kind == "socks" and "triangle" in shapes:
        return "socks"
    if accessory.kind == "mitts" and "triangle" in shapes:
        return "mitts"
    if any(zone.around is not None and zone.around.of == "thumb" for zone in accessory.zones):
        return "parts"  # a thumb without a gusset is sewn on
    if set(shapes) <= {"tube", "crown", "frustum"} and shapes[0] == "tube":
        return "tube"
    if shapes in (["flat"], ["piece"]):
        return "joined strip" if accessory.kind in ("cowl", "headband", "cuffs", "hat") else "strip"
    if shapes[0] == "triangle" and shapes[1:] in ([], ["flat"]):
        return "triangle"
    return "parts"
