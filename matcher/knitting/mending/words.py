"""What a reserve is kept for, in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from matcher.materials.lots import ALL, LITTLE, USUAL, Garment
from matcher.reasons.quantities import Length, PartOf
from matcher.reasons.reason import Words, listed, reason

MEANS: Mapping[str, Words] = {
    LITTLE: reason("darned holes only"),
    USUAL: reason("darned holes, and enough of each colour for any one larger repair"),
    ALL: reason("every repair at once"),
}
"""What each of `MENDING` keeps yarn for; which repairs these are is a choice, in the catalogue."""


def kept_for(
    garment: Garment, areas: Sequence[tuple[Words, float]], need_m: float, wanted_m: float, floor_m: float
) -> Words:
    """One sentence with each area's metres, and what is kept on top of them; together they are all that is wanted."""
    if not areas:
        return reason("the minimum kept for {garment}", garment=garment.name)
    purpose = "kept for mending {garment}: {areas}"
    if garment.alterations and garment.status == "worn":
        purpose = "kept for mending {garment} and for your plans: {areas}"
    parts = (*(length for _, length in areas), wanted_m - need_m)
    items: list[Words] = [
        reason("{area} {length}", area=area, length=PartOf(parts, place)) for place, (area, _) in enumerate(areas)
    ]
    if wanted_m > need_m:
        more = PartOf(parts, len(areas))
        if wanted_m > floor_m:
            items.append(reason("plus {length} for safety", length=more))
        else:
            said = "plus {length}, since never less than {least} is kept"
            items.append(reason(said, length=more, least=Length(floor_m)))
    return reason(purpose, garment=garment.name, areas=listed(items))


def because(
    by_hand: Mapping[str, float],
    said: Words | None,
    *,
    others_hold: bool,
    mixed: Sequence[tuple[Words, Sequence[str]]],
    missing_m: float,
) -> Words:
    """All that explains a reserve; the computed part is told only when it adds to what was set by hand."""
    found: list[Words] = []
    if by_hand:
        parts = tuple(by_hand.values())
        metres = listed(
            reason("{length} on {lot}", length=PartOf(parts, place), lot=name) for place, name in enumerate(by_hand)
        )
        found.append(reason("set by hand: {metres}", metres=metres))
        if others_hold and said is not None:
            found.append(reason("the other lots hold the rest of this: {said}", said=said))
    elif said is not None:
        found.append(said)
    found += [
        reason(
            "no dye lot holds enough for {repair}, so {lots} are mixed",
            repair=what,
            lots=listed((_named(one) for one in dye_lots), "and"),
        )
        for what, dye_lots in mixed
    ]
    if missing_m:
        found.append(reason("{missing} of it are missing from the bin", missing=Length(missing_m)))
    return listed(found, between="; ")


def _named(dye_lot: str) -> Words:
    return reason("dye lot {name}", name=dye_lot) if dye_lot else reason("what has no dye lot written down")
