"""Reserve: metres of each garment's yarns and colours held back for mending and planned alterations.

The reserve belongs to garment, yarn and colour. It is laid on part-used pieces first and on unbroken balls
after them, both in order of the lots' names: never in order of size, so that weighing one lot again cannot
move the reserve from one lot to another.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import (
    PLAIN,
    FabricConstants,
    Gauge,
    gauge_of_tex,
    knittable,
    piece_length,
    rows_for,
    stitches_for,
)
from matcher.knitting.mending.repairs import RepairRules, alteration_width_cm, area_width_cm
from matcher.materials.lots import Bin, Garment, Lot
from matcher.materials.uncertain import Estimate


@dataclass(frozen=True)
class RepairWorking:
    """One area of the reserve: its size [cm], stitches and rows of a piece, the group's share and metres."""

    area: str
    width_cm: float
    height_cm: float
    count: int
    stitches: int
    rows: int
    loop_cm: float
    share: float
    length_m: float


@dataclass(frozen=True)
class ReserveGroup:
    """What is held of one yarn and colour of one garment [m]; `held` and `freed` name every lot of the group.

    reserve_m is what should be held (hand-set metres included), sd_m the standard deviation of the computed
    need; missing_m is what the bin does not hold.
    """

    garment: str
    yarn: str
    colour: str
    reserve_m: float
    sd_m: float
    because: str
    held: dict[str, float]
    freed: dict[str, float]
    missing_m: float = 0.0
    working: tuple[RepairWorking, ...] = ()

    @property
    def called(self) -> str:
        """What to call it to her: her name for the colour; where there is only a code, the names of the lots."""
        return " + ".join(self.held) if "#" in self.colour else self.colour


def reserves(bin: Bin, repairs: RepairRules, constants: FabricConstants, sizes: Sizes) -> tuple[ReserveGroup, ...]:
    """Reserve of every garment, yarn and colour in the bin, in order of their names.

    Lots without a garment form a group only when a reserve is set by hand.
    """
    grouped: dict[tuple[str, str, str], list[Lot]] = {}
    for lot in sorted(bin.lots, key=lambda one: one.name):
        grouped.setdefault((lot.garment, _fold(lot.yarn.name), _fold(_colour(lot))), []).append(lot)
    of_garment: dict[str, list[list[Lot]]] = {}
    for (owner, _, _), lots in sorted(grouped.items()):
        of_garment.setdefault(owner, []).append(lots)
    found: list[ReserveGroup] = []
    for name, groups in of_garment.items():
        if not name:
            by_hand = [lots for lots in groups if any(lot.reserve_m is not None for lot in lots)]
            found += [_lay("", lots, Estimate(0.0, 0.0), 0.0, (), "") for lots in by_hand]
            continue
        garment = bin.garments.get(name) or Garment(name, "other", "worn", "", None, None, None, (), "", "")
        shares = _shares(groups)
        for lots, share in zip(groups, shares, strict=True):
            working, need = _need(garment, lots[0], share, repairs, constants, sizes)
            wanted = need.mean + repairs.margin_sd * need.sd
            floored = wanted < repairs.floor_m
            if garment.status == "gone":
                wanted, said = 0.0, f"{name} is gone, so nothing is kept for it"
            else:
                wanted = max(wanted, repairs.floor_m)
                said = _sentence(garment, working, need, wanted, floored, share.said)
            found.append(_lay(name, lots, need, wanted, working, said))
    return tuple(found)


def surplus(bin: Bin, groups: Sequence[ReserveGroup]) -> dict[str, Estimate]:
    """Metres of each lot that are free to use: on hand less claimed less held, with the spread of what is on hand."""
    held: dict[str, float] = {}
    for group in groups:
        held.update(group.held)
    return {lot.name: Estimate(max(0.0, lot.unclaimed_m - held.get(lot.name, 0.0)), lot.length.sd) for lot in bin.lots}


@dataclass(frozen=True)
class _Share:
    """A group's part of an area's main and of its contrast stitches; `said` explains when it is a guess."""

    main: float
    contrast: float
    said: str = ""

    def of(self, main_share: float, contrast_share: float) -> float:
        return self.main * main_share + self.contrast * contrast_share


def _shares(groups: Sequence[Sequence[Lot]]) -> list[_Share]:
    """Share of each group of one garment. Without any role, all its colours in the bin share alike."""
    roles = [next((lot.role for lot in lots if _known(lot.role)), "") for lots in groups]
    number = len(groups)
    mains = sum(role == "main" for role in roles)
    contrasts = [role for role in roles if role.startswith("contrast")]
    # A garment whose highest contrast is 3 has three, even when only one of them is left in the bin.
    highest = max((int(role.split()[1]) for role in contrasts if role.split()[1:]), default=0)
    contrast_number = max(len(contrasts), highest, 1)
    shares = []
    for role in roles:
        if role == "main":
            shares.append(_Share(1.0 / mains, 0.0))
        elif role:
            shares.append(_Share(0.0, 1.0 / contrast_number))
        elif number == 1:
            shares.append(_Share(1.0, 1.0))
        else:
            said = f"its {number} colours here are taken as sharing alike, since this one has no role"
            shares.append(_Share(1.0 / number, 1.0 / number, said))
    return shares


def _known(role: str) -> bool:
    words = role.split()
    return role in ("main", "contrast") or (len(words) == 2 and words[0] == "contrast" and words[1].isdigit())


def _need(
    garment: Garment,
    lot: Lot,
    share: _Share,
    repairs: RepairRules,
    constants: FabricConstants,
    sizes: Sizes,
) -> tuple[tuple[RepairWorking, ...], Estimate]:
    """Metres of one yarn and colour for the garment's repairs and plans, with the working."""
    gauge, spread = _gauge(garment, lot, constants)
    working: list[RepairWorking] = []

    def add(area: str, structure: str, width_cm: float, height_cm: float, count: int, part: float) -> None:
        if part <= 0 or height_cm <= 0:
            return
        stitches = knittable(stitches_for(structure, width_cm, gauge, constants))
        rows = knittable(rows_for(structure, height_cm, gauge, constants))
        # In a stranded area the floats of both colours add 1 / Kw, shared as the stitches are.
        length_m = part * count * piece_length(structure, stitches, rows, gauge, constants, colours=2).body
        working.append(RepairWorking(area, width_cm, height_cm, count, stitches, rows, gauge.loop_cm, part, length_m))

    for area in repairs.areas_of(garment):
        width = area_width_cm(area, garment, repairs, sizes)
        part = share.of(area.main_share, area.contrast_share_total)
        add(area.area, area.structure, width, area.height_cm, area.count, part)
    if garment.status == "worn":
        for planned in garment.alterations:
            width, count = alteration_width_cm(planned.part, garment, repairs, sizes)
            # A planned alteration is knitted in the main colour.
            add(f'the plan "{planned.words}"', PLAIN, width, planned.cm, count, share.main)
    total = sum(line.length_m for line in working)
    return tuple(working), Estimate(total, total * spread)


def _gauge(garment: Garment, lot: Lot, constants: FabricConstants) -> tuple[Gauge, float]:
    """The garment's gauge, or the yarn's usual one, and the relative standard deviation of a need from it."""
    if garment.stitches_10cm and garment.rows_10cm:
        gauge = Gauge.from_swatch(garment.stitches_10cm, garment.rows_10cm, constants)
        return gauge, constants.gauge_sd_swatch
    if garment.stitches_10cm:
        return Gauge.from_stitches(garment.stitches_10cm, constants), constants.gauge_sd_no_swatch
    tex = lot.yarn.tex
    # Yarn of a given area goes with 1 / sqrt(tex), so half of the relative spread of tex reaches it.
    return gauge_of_tex(tex.mean, constants), math.hypot(constants.gauge_sd_no_swatch, tex.sd / tex.mean / 2.0)


def _lay(
    garment: str,
    lots: Sequence[Lot],
    need: Estimate,
    wanted_m: float,
    working: tuple[RepairWorking, ...],
    said: str,
) -> ReserveGroup:
    """Lay the reserve on the group's lots; they come in order of their names."""
    by_hand = {lot.name: lot.reserve_m for lot in lots if lot.reserve_m is not None}
    held = dict.fromkeys((lot.name for lot in lots), 0.0)
    on_hand = {lot.name: lot.unclaimed_m for lot in lots}  # what is on the needles cannot mend
    for name, metres in by_hand.items():
        held[name] = min(metres, on_hand[name])
    others = [lot for lot in lots if lot.name not in by_hand]
    lacking = max(0.0, wanted_m - sum(held.values())) if others else 0.0
    left = lacking
    for part_used in (True, False):
        for lot in others if left > 0 else ():
            # What is on hand is one figure; full balls may not exceed it by rounding.
            begun = min(max(lot.part_used_m, 0.0), on_hand[lot.name])
            room = begun if part_used else on_hand[lot.name] - held[lot.name]
            taken = min(room, left)
            held[lot.name] = min(held[lot.name] + taken, on_hand[lot.name])
            left -= taken
    reserve_m = sum(by_hand.values()) + lacking
    missing_m = max(0.0, reserve_m - sum(held.values()))
    if missing_m < 1e-9:
        missing_m = 0.0
    said = _hand_words(by_hand, said, bool(others) and lacking > 0)
    if missing_m:
        said += f"; {missing_m:.0f} m of it are missing from the bin"
    return ReserveGroup(
        garment=garment,
        yarn=lots[0].yarn.name,
        colour=_colour(lots[0]),
        reserve_m=reserve_m,
        sd_m=need.sd,
        because=said,
        held=held,
        freed={name: max(0.0, on_hand[name] - held[name]) for name in held},
        missing_m=missing_m,
        working=working,
    )


def _hand_words(by_hand: Mapping[str, float], said: str, more: bool) -> str:
    """Say what was set by hand; the computed part is told only when it adds something."""
    if not by_hand:
        return said
    words = "set by hand: " + ", ".join(f"{metres:.0f} m on {name}" for name, metres in by_hand.items())
    return f"{words}; the other lots hold the rest of this: {said}" if more and said else words


def _sentence(
    garment: Garment,
    working: Sequence[RepairWorking],
    need: Estimate,
    wanted_m: float,
    floored: bool,
    guess: str,
) -> str:
    """One plain sentence with each area's metres."""
    name = garment.name
    purpose = "mending" if garment.status == "given" else "mending and plans" if garment.alterations else "mending"
    if not working:
        said = f"{wanted_m:.0f} m kept as the least for {name}"
    else:
        areas = ", ".join(f"{line.area} {line.length_m:.0f} m" for line in working)
        said = f"kept for {purpose} of {name}: {areas}"
        if floored:
            said += f", but never less than {wanted_m:.0f} m"
        elif wanted_m > need.mean:
            said += f", and {wanted_m - need.mean:.0f} m more because such figures are not exact"
    return f"{said}; {guess}" if guess else said


def _fold(text: str) -> str:
    return " ".join(text.casefold().split())


def _colour(lot: Lot) -> str:
    """What to call the lot's colour: her name for it, else its code."""
    return lot.colour_name.strip() or lot.colour.words()
