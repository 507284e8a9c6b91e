"""How an entry is knitted: what it says itself, else what its zones make of it.

Only what the zones leave no doubt of is derived; what they do not make a known thing of is "parts", each zone a piece
by itself.
"""

from __future__ import annotations

from collections.abc import Sequence

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


def edges_of(accessory: Accessory, construction: str, ends: Sequence[tuple[int, int]]) -> tuple[int, ...]:
    """Stitches that are cast on, picked up or bound off at one piece of each zone; a crown is drawn together.

    construction: as `construction_of` says. ends: first and last stitches of each zone. Mostly the first zone alone is
    cast on and the last alone bound off; between them stitches stay on the needle.
    """
    open_above = [0 if zone.shape == "crown" else last for zone, (_, last) in zip(accessory.zones, ends, strict=True)]
    below = [first for first, _ in ends]
    found = [0] * len(ends)
    if construction == "parts":
        return tuple(one + other for one, other in zip(below, open_above, strict=True))
    if construction == "pouch":
        tubes = [number for number, zone in enumerate(accessory.zones) if zone.shape == "tube"]
        cords = [number for number in tubes if 2 * below[number] < max(below[tube] for tube in tubes)]
        bag = [number for number in tubes if number not in cords]
        for number in cords:
            found[number] = below[number] + open_above[number]
        found[bag[0]] += below[bag[0]]  # cast on, or picked up round a base that is
        found[bag[-1]] += open_above[bag[-1]]
        return tuple(found)
    found[0] += 0 if construction == "yoke" else below[0]
    found[-1] += open_above[-1]
    return tuple(found)
