"""What mending a garment takes: areas by the garment's kind, and what a planned alteration adds."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from matcher.knitting.bodies import Sizes
from matcher.materials.garment_words import kind_among
from matcher.materials.lots import MENDING, Garment
from matcher.materials.reading.names import fold

SLEEVES = ("long", "short", "none")
PLACES = ("elbows", "cuffs", "anywhere", "band", "yoke", "sleeve edges", "armholes", "hem", "middle")
"""Where on a garment an area lies, for a picture of it."""


@dataclass(frozen=True)
class RepairArea:
    """One area that may need mending; its main share and that of all contrasts together sum to 1.

    mending: the least of `MENDING` that keeps yarn for it; of those that are "usual" any one may come. sleeves: one of
    `SLEEVES` that a garment must have for it, or "" for any. where: one of `PLACES`.
    """

    kind: str
    area: str
    structure: str
    width_cm: float | None
    width_of: str | None
    width_times: float
    height_cm: float
    count: int
    main_share: float
    contrast_share_total: float
    mending: str
    sleeves: str
    worn: bool
    given: bool
    where: str


@dataclass(frozen=True)
class GarmentKind:
    """A kind of garment: whose body to take when the sheet gives no chest, and the usual ease there [cm].

    repairs_of: the kind whose areas it has. sleeves: its usual ones, of `SLEEVES`, or "" where that is not known.
    """

    kind: str
    repairs_of: str
    sleeves: str
    size: str
    chest_ease_cm: float


@dataclass(frozen=True)
class AlterationPart:
    """How wide a part is that an alteration may lengthen; `fallback_cm` for a size without the figure."""

    part: str
    of: str
    times: float
    count: int
    fallback_cm: float


@dataclass(frozen=True)
class RepairRules:
    """All of the above, the floor [m], and how many standard deviations are held on top."""

    areas: tuple[RepairArea, ...]
    kinds: Mapping[str, GarmentKind]
    parts: Mapping[str, AlterationPart]
    floor_m: float
    margin_sd: float

    def kind_of(self, garment: Garment) -> GarmentKind:
        """The garment's kind; what names no known one is "other"."""
        return self.kinds[kind_among(garment.kind, self.kinds)[0] or "other"]

    def areas_of(self, garment: Garment, mending: str) -> tuple[RepairArea, ...]:
        """Areas that are kept for, in the order of the table; none for a garment that is gone."""
        kind, most = self.kind_of(garment), MENDING.index(mending)
        sleeves = sleeves_told(garment) or kind.sleeves
        if garment.status == "gone":
            return ()
        return tuple(
            area
            for area in self.areas
            if area.kind == kind.repairs_of
            and area.sleeves in ("", sleeves)
            and MENDING.index(area.mending) <= most
            and (area.given if garment.status == "given" else area.worn)
        )


def sleeves_told(garment: Garment) -> str:
    """The sleeves that the words for a garment's kind tell, such as "short-sleeved pullover"; "" when none."""
    words = re.findall(r"\w+", fold(garment.kind))
    if "sleeveless" in words:
        return "none"
    if any(word.startswith("sleeve") for word in words):
        return next((length for length in SLEEVES if length in words), "")
    return ""


def body_cm(garment: Garment, dimension: str, rules: RepairRules, sizes: Sizes) -> float | None:
    """A dimension of the garment's wearer [cm]; the chest is the garment's own when the sheet gives it."""
    if dimension == "chest" and garment.chest_cm is not None:
        return garment.chest_cm
    kind = rules.kind_of(garment)
    wearer = sizes.named(garment.wearer)
    size = wearer if wearer in sizes.names else kind.size
    if not sizes.has(size, dimension):
        return None
    return sizes.dimension(size, dimension) + (kind.chest_ease_cm if dimension == "chest" else 0.0)


def area_width_cm(area: RepairArea, garment: Garment, rules: RepairRules, sizes: Sizes) -> float:
    """Width of an area [cm]; a figure that the wearer's size lacks is taken from the kind's usual size."""
    if area.width_cm is not None:
        return area.width_cm
    assert area.width_of is not None, area.area
    found = body_cm(garment, area.width_of, rules, sizes)
    if found is None:
        found = sizes.dimension(rules.kind_of(garment).size, area.width_of)
    return found * area.width_times


def alteration_width_cm(part: str, garment: Garment, rules: RepairRules, sizes: Sizes) -> tuple[float, int]:
    """Width of a part that an alteration lengthens [cm], and how many pieces; an unknown part is the body."""
    row = rules.parts.get(part) or rules.parts["body"]
    found = body_cm(garment, row.of, rules, sizes)
    return (row.fallback_cm if found is None else found * row.times), row.count
