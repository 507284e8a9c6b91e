"""Reserve: metres of each garment's yarns and colours held back for mending and planned alterations.

The reserve belongs to garment, yarn and colour; `laying` says which of its lots it is laid on.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

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
from matcher.knitting.mending.laying import Repair, lay
from matcher.knitting.mending.repairs import RepairArea, RepairRules, alteration_width_cm, area_width_cm
from matcher.knitting.mending.words import because, kept_for
from matcher.materials.lots import ALL, LITTLE, USUAL, Alteration, Bin, Garment, Lot
from matcher.materials.reading.names import fold
from matcher.materials.uncertain import Estimate
from matcher.reasons.reason import Term, Words, listed, reason

_NOTHING = Estimate(0.0, 0.0)


@dataclass(frozen=True)
class RepairWorking:
    """One area of the reserve: its size [cm], stitches and rows of a piece, the group's share and metres.

    where: one of `repairs.PLACES`, or the part that a plan lengthens.
    """

    area: Words
    width_cm: float
    height_cm: float
    count: int
    stitches: int
    rows: int
    loop_cm: float
    share: float
    length_m: float
    where: str = ""


@dataclass(frozen=True)
class ReserveGroup:
    """What is held of one yarn and colour of one garment [m]; `held` and `freed` name every lot of the group.

    reserve_m is what should be held (hand-set metres included), sd_m the standard deviation of the computed
    need; missing_m is what the bin does not hold. mending: which repairs it is for, "" without a garment to mend.
    """

    garment: str
    yarn: str
    colour: str
    reserve_m: float
    sd_m: float
    because: Words
    held: dict[str, float]
    freed: dict[str, float]
    missing_m: float = 0.0
    working: tuple[RepairWorking, ...] = ()
    mending: str = ""
    any_of: tuple[RepairWorking, ...] = ()

    @property
    def called(self) -> str:
        """What to call it to her: her name for the colour; where there is only a code, the names of the lots."""
        return " + ".join(self.held) if "#" in self.colour else self.colour


def reserves(
    bin: Bin, repairs: RepairRules, constants: FabricConstants, sizes: Sizes, mending: str = USUAL
) -> tuple[ReserveGroup, ...]:
    """Reserve of every garment, yarn and colour in the bin, in order of their names.

    mending: one of `MENDING`, for garments of which none is written down. Lots without a garment form a group only
    when a reserve is set by hand.
    """
    of_garment: dict[str, list[tuple[str, list[Lot]]]] = {}
    for (owner, _, _), several in sorted(_grouped(bin.lots).items()):
        of_garment.setdefault(owner, []).append(several)
    found: list[ReserveGroup] = []
    for name, groups in of_garment.items():
        if not name:
            by_hand = [(colour, lots) for colour, lots in groups if any(lot.reserve_m is not None for lot in lots)]
            found += [_group("", colour, lots, _NOTHING, 0.0, (), None) for colour, lots in by_hand]
            continue
        garment = bin.garments.get(name) or Garment(name, "other", "worn", "", None, None, None, (), "", "")
        if garment.status == "gone":
            gone = reason("{garment} is gone, so nothing is kept for it", garment=name)
            found += [_group(name, colour, lots, _NOTHING, 0.0, (), gone) for colour, lots in groups]
            continue
        garment = replace(garment, mending=garment.mending or mending)
        areas = _areas(garment, repairs, sizes)
        for (colour, lots), share in zip(groups, _shares([lots for _, lots in groups]), strict=True):
            working, any_of, need = _need(garment, areas, lots[0], share, constants)
            wanted = max(need.mean + repairs.margin_sd * need.sd, repairs.floor_m)
            told = [(line.area, line.length_m) for line in working]
            said = kept_for(garment, told, need.mean, wanted, repairs.floor_m)
            said = listed((said, share.said), between="; ") if share.said else said
            found.append(_group(name, colour, lots, need, wanted, working, said, garment.mending, any_of))
    return tuple(found)


def _grouped(lots: Iterable[Lot]) -> dict[tuple[str, str, str], tuple[str, list[Lot]]]:
    """Lots by garment, yarn and colour, by name; each group with its first lot's colour.

    Of one garment yarns without a name are one where their colour is; from nowhere they have nothing in common.
    """
    groups: dict[tuple[str, str, str], tuple[str, list[Lot]]] = {}
    for lot in sorted(lots, key=lambda one: one.name):
        colour = lot.colour_name.strip() or lot.colour.words()
        yarn = fold(lot.yarn.name) or ("" if lot.garment else f"lot {lot.name}")
        groups.setdefault((lot.garment, yarn, fold(colour)), (colour, []))[1].append(lot)
    return groups


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
    said: Words = ""

    def of(self, main_share: float, contrast_share: float) -> float:
        return self.main * main_share + self.contrast * contrast_share


def _shares(groups: Sequence[Sequence[Lot]]) -> list[_Share]:
    """Share of each group of one garment.

    The main stitches are divided evenly among the colours that may be main: those that are called so, and those
    with no role. The contrast stitches likewise.
    """
    roles = [next((lot.role for lot in lots if role_known(lot.role)), "") for lots in groups]
    unknown, mains = roles.count(""), roles.count("main")
    contrasts = [role for role in roles if role.startswith("contrast")]
    # A garment whose highest contrast is 3 has three, even when only one of them is left in the bin.
    highest = max((int(role.split()[1]) for role in contrasts if role.split()[1:]), default=0)
    main = 1.0 / max(mains + unknown, 1)
    contrast = 1.0 / max(len(contrasts) + unknown, highest, 1)
    said = reason("its role isn't known, so repairs are split evenly with the garment's other lots")
    beside = reason("repairs are split evenly with lots whose role isn't known") if unknown else ""
    shares = []
    for role in roles:
        if role == "main":
            shares.append(_Share(main, 0.0, beside))
        elif role:
            shares.append(_Share(0.0, contrast, beside))
        else:
            shares.append(_Share(main, contrast, said if len(groups) > 1 else ""))
    return shares


def role_known(role: str) -> bool:
    """Whether a lot's role in its garment is one that repairs are shared out by."""
    words = role.split()
    return role in ("main", "contrast") or (len(words) == 2 and words[0] == "contrast" and words[1].isdigit())


@dataclass(frozen=True)
class _Areas:
    """What a garment may need: repairs with the width of each, and what its plans add with width and count [cm]."""

    repairs: tuple[tuple[RepairArea, float], ...]
    plans: tuple[tuple[Alteration, float, int], ...]


def _areas(garment: Garment, rules: RepairRules, sizes: Sizes) -> _Areas:
    repairs = ((area, area_width_cm(area, garment, rules, sizes)) for area in rules.areas_of(garment, garment.mending))
    plans = garment.alterations if garment.status == "worn" else ()
    widths = ((planned, *alteration_width_cm(planned.part, garment, rules, sizes)) for planned in plans)
    return _Areas(tuple(repairs), tuple(widths))


def _need(
    garment: Garment, areas: _Areas, lot: Lot, share: _Share, constants: FabricConstants
) -> tuple[tuple[RepairWorking, ...], tuple[RepairWorking, ...], Estimate]:
    """Metres of one yarn and colour for the garment's repairs and plans, with the working, and what it chooses from."""
    gauge, spread = _gauge(garment, lot, constants)

    def line(
        area: Words, structure: str, width_cm: float, height_cm: float, count: int, part: float, where: str
    ) -> RepairWorking:
        stitches = knittable(stitches_for(structure, width_cm, gauge, constants))
        # Rounded up, but for what rounding in the arithmetic adds: 5 cm that are planned are not a row short.
        rows = max(1, math.ceil(rows_for(structure, height_cm, gauge, constants) - 1e-9))
        # In a stranded area the floats of both colours add 1 / Kw, shared as the stitches are.
        length_m = part * count * piece_length(structure, stitches, rows, gauge, constants, colours=2).body
        return RepairWorking(area, width_cm, height_cm, count, stitches, rows, gauge.loop_cm, part, length_m, where)

    darns: list[RepairWorking] = []
    larger: list[RepairWorking] = []
    for area, width in areas.repairs:
        part = share.of(area.main_share, area.contrast_share_total)
        if part > 0:
            found = line(Term(area.area), area.structure, width, area.height_cm, area.count, part, area.where)
            (darns if area.mending == LITTLE else larger).append(found)
    any_of = tuple(larger) if garment.mending != ALL and len(larger) > 1 else ()
    if any_of:
        larger = any_one_of(larger)
    plans: list[RepairWorking] = []
    for planned, width, count in areas.plans if share.main > 0 else ():
        # A planned alteration is knitted in the main colour.
        words = reason('the plan "{words}"', words=planned.words)
        plans.append(line(words, PLAIN, width, planned.cm, count, share.main, planned.part))
    working = (*larger, *darns, *plans)
    total = sum(line.length_m for line in working)
    return working, any_of, Estimate(total, total * spread)


def any_one_of(larger: Sequence[RepairWorking]) -> list[RepairWorking]:
    """What is enough for whichever of the larger repairs comes: the one that takes most of this colour."""
    if len(larger) < 2:
        return list(larger)
    most = max(larger, key=lambda one: one.length_m)
    return [replace(most, area=reason("one larger repair such as {area}", area=most.area))]


def _gauge(garment: Garment, lot: Lot, constants: FabricConstants) -> tuple[Gauge, float]:
    """The garment's gauge, or the yarn's usual one, and the relative standard deviation of a need from it."""
    if garment.stitches_10cm:
        if garment.rows_10cm:
            gauge = Gauge.from_swatch(garment.stitches_10cm, garment.rows_10cm, constants)
        else:
            gauge = Gauge.from_stitches(garment.stitches_10cm, constants)
        return gauge, constants.scatter_sd(gauge)
    tex = lot.yarn.tex
    # Yarn of a given area goes with 1 / sqrt(tex), so half of the relative spread of tex reaches it.
    gauge = gauge_of_tex(tex.mean, constants)
    return gauge, math.hypot(constants.scatter_sd(gauge), tex.sd / tex.mean / 2.0)


def _group(
    garment: str,
    colour: str,
    lots: Sequence[Lot],
    need: Estimate,
    wanted_m: float,
    working: tuple[RepairWorking, ...],
    said: Words | None,
    mending: str = "",
    any_of: tuple[RepairWorking, ...] = (),
) -> ReserveGroup:
    """Lay the reserve on the group's lots, which come in order of their names; what she set by hand stands."""
    by_hand = {lot.name: lot.reserve_m for lot in lots if lot.reserve_m is not None}
    on_hand = {lot.name: lot.unclaimed_m for lot in lots}  # what is on the needles cannot mend
    others = [lot for lot in lots if lot.name not in by_hand]
    held_by_hand = {name: min(metres, on_hand[name]) for name, metres in by_hand.items()}
    lacking = max(0.0, wanted_m - sum(held_by_hand.values())) if others else 0.0
    laid = lay(others, _still_to_lay(working, wanted_m, lacking) if lacking else (), on_hand)
    held = {lot.name: held_by_hand[lot.name] if lot.name in by_hand else laid.held[lot.name] for lot in lots}
    reserve_m = sum(by_hand.values()) + lacking
    missing_m = max(0.0, reserve_m - sum(held.values()))
    if missing_m < 1e-9:
        missing_m = 0.0
    return ReserveGroup(
        garment=garment,
        yarn=lots[0].yarn.name,
        colour=colour,
        reserve_m=reserve_m,
        sd_m=need.sd,
        because=because(by_hand, said, others_hold=lacking > 0, mixed=laid.mixed, missing_m=missing_m),
        held=held,
        freed={name: max(0.0, on_hand[name] - held[name]) for name in held},
        missing_m=missing_m,
        working=working,
        mending=mending,
        any_of=any_of,
    )


def _still_to_lay(working: Sequence[RepairWorking], wanted_m: float, lacking_m: float) -> list[Repair]:
    """Each repair with its part of what is held for safety; what she set by hand serves the longest ones first."""
    total = sum(line.length_m for line in working)
    repairs = [Repair(line.area, line.length_m * wanted_m / total) for line in working if total > 0]
    by_hand, found = wanted_m - lacking_m, []
    for repair in sorted(repairs or [Repair(reason("this"), wanted_m)], key=lambda one: -one.length_m):
        served = min(by_hand, repair.length_m)
        by_hand -= served
        found.append(Repair(repair.what, repair.length_m - served))
    return found
