"""Any entry as it is listed, with its own motifs or none, in whole stitches and rounds."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import product

from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.construction import construction_of
from matcher.knitting.fabric import FabricConstants, Gauge, knittable, stitches_for
from matcher.knitting.fit.as_worked import as_worked
from matcher.knitting.fit.fitted import Fitted, FittedPart, free_mark
from matcher.knitting.fit.heels import heel_round
from matcher.knitting.fit.outline import outline_as_listed
from matcher.knitting.fit.parts import Builder
from matcher.knitting.fit.rules import FittingRule
from matcher.knitting.motifs.motif import Motif
from matcher.reasons.reason import Field, counted, reason

_HALVES = 2  # what narrows at both sides has two, and a thumb, whose gusset is a triangle, is closed two by two


@dataclass(frozen=True)
class _Across:
    """Stitches of zones that are equally wide, with so many plain columns between the repeats of their motifs."""

    stitches: int
    columns: int = 0
    off: float = 0.0  # how far outside the ease, in stitches
    altered: float = 0.0  # how much girth and motif differ from the entry's, as shares

    @property
    def rank(self) -> tuple[float, float, int, int]:
        """The less the better: outside the ease, then altered."""
        return round(self.off, 9), round(self.altered, 9), self.columns, self.stitches


def as_listed(
    accessory: Accessory,
    size: str,
    gauge: Gauge,
    sizes: Sizes,
    motifs: Mapping[str, Motif],
    constants: FabricConstants,
    rules: Mapping[str, FittingRule],
) -> Fitted:
    """An entry fitted by itself. Zones that measure the same around have the same stitches.

    Their number is a multiple of what the rib and the repeats of their motifs need, next to what the entry measures;
    plain columns stand between repeats where that changes less. rules: by kind of accessory. Where no tube stands, each
    zone is a part by itself. Raises BadInput for what nobody can knit at this gauge, KeyError for a size or motif that
    is not known.
    """
    rule = rules.get(accessory.kind) or rules["small"]
    own, marks = _in_common_marks(accessory, motifs)
    outline = outline_as_listed(accessory, size, sizes, constants)
    measured = {zone.name: _measured(zone, size, gauge, sizes, constants, rule) for zone in accessory.zones}
    least = measured[outline.main.name].wanted
    if outline.main.shape == "tube" and least < constants.limits.least_round and len(accessory.zones) > 1:
        round_it = counted(knittable(least), "{n} stitch", "{n} stitches")
        what = reason("{accessory} is only {stitches} round at this gauge", accessory=accessory.name, stitches=round_it)
        raise BadInput(what, Field("swatch"), reason("take thinner yarn or a larger size"))
    across = _across_all(accessory.zones, measured, own, rule, constants)
    banded = construction_of(accessory) == "yoke"
    builder = Builder(size, sizes, gauge, constants, as_listed=True, banded=banded)

    def built(zones: Iterable[Zone], main: Zone) -> tuple[tuple[FittedPart, ...], int, str]:
        slots = [
            builder.slot(zone, across[zone.name].stitches, own.get(zone.motif or ""), across[zone.name].columns)
            for zone in zones
        ]
        parts, placed = builder.build(slots, main)
        return parts, len(placed.rows), placed.how if placed.rows else ""

    parts, motif_rows, how = built(outline.column, outline.main)
    main = across[outline.main.name]
    motif = own.get(outline.main.motif or "")
    repeat = motif.width + main.columns if motif else 1
    around = main.stitches * 10.0 / (gauge.stitches_10cm * constants.wales(outline.main.structure))
    found = Fitted(
        gauge=gauge,
        stitches=main.stitches,
        repeat=repeat,
        repeats=main.stitches // repeat,
        plain_columns=main.columns,
        parts=parts,
        marks=marks,
        around_cm=around,
        body_cm=outline.body_cm,
        ease_cm=around - outline.body_cm,
        off_by_cm=main.off * around / main.stitches,
        pieces=outline.pieces,
        extra=tuple((part, zone.count) for zone in outline.extra for part in built((zone,), zone)[0]),
        size=size,
        motif_rows=motif_rows,
        placed=how,
        goes_round=outline.goes_round,
        heel_at=heel_round(accessory, outline.column, builder.rounds_of),
    )
    return as_worked(found, accessory, constants)


def _in_common_marks(accessory: Accessory, motifs: Mapping[str, Motif]) -> tuple[dict[str, Motif], dict[str, str]]:
    """The entry's motifs by their keys, all with the same character for a role, and what the characters stand for."""
    keys = dict.fromkeys(zone.motif for zone in accessory.zones if zone.motif)
    role_of: dict[str, str] = {}
    for key in keys:
        for mark, role in motifs[key].roles.items():
            if role not in role_of.values():
                free = mark if mark not in role_of else free_mark(role_of)
                role_of[free] = role
    mark_of = {role: mark for mark, role in role_of.items()}
    found = {}
    for key in keys:
        motif = motifs[key]
        table = str.maketrans({mark: mark_of[role] for mark, role in motif.roles.items()})
        grid = tuple(row.translate(table) for row in motif.grid)
        found[key] = replace(motif, grid=grid, roles={mark_of[role]: role for role in motif.roles.values()})
    return found, role_of


@dataclass(frozen=True)
class _Measured:
    """Stitches that a zone would have by its measures, not rounded, and at least and at most within the ease."""

    wanted: float
    least: float
    most: float


def _measured(
    zone: Zone, size: str, gauge: Gauge, sizes: Sizes, constants: FabricConstants, rule: FittingRule
) -> _Measured:
    if zone.around is None:
        assert zone.stitches is not None, zone.name
        return _Measured(zone.stitches, zone.stitches, zone.stitches)
    around = zone.around.in_cm(sizes, size)
    body = around if zone.around.of is None else sizes.dimension(size, zone.around.of) * zone.around.times
    wanted, of_body = (stitches_for(zone.structure, cm, gauge, constants) for cm in (around, body))
    below, above = (of_body * percent / 100.0 for percent in (rule.ease_below_percent, rule.ease_above_percent))
    return _Measured(wanted, wanted - below, wanted + above)


def _across_all(
    zones: tuple[Zone, ...],
    measured: Mapping[str, _Measured],
    own: Mapping[str, Motif],
    rule: FittingRule,
    constants: FabricConstants,
) -> dict[str, _Across]:
    """The stitches of every zone by its name; zones that are to measure the same have the same."""
    alike: dict[float, list[Zone]] = {}
    for zone in zones:
        alike.setdefault(round(measured[zone.name].wanted, 6), []).append(zone)
    found: dict[str, _Across] = {}
    for group in alike.values():
        ribs = [zone for zone in group if constants.ribbed(zone.structure)]
        others = [zone for zone in group if zone not in ribs]
        together = _nearest(group, measured, own, rule, constants, bool(ribs))
        if ribs and others:
            # A rib may have its own number, and the round above it takes up the difference.
            apart = _nearest(others, measured, own, rule, constants, False)
            if replace(apart, altered=apart.altered + constants.uneven_weight).rank < together.rank:
                rib = _nearest(ribs, measured, own, rule, constants, True)
                found |= {zone.name: apart for zone in others} | {zone.name: rib for zone in ribs}
                continue
        found |= {zone.name: together for zone in group}
    return found


def _nearest(
    zones: list[Zone],
    measured: Mapping[str, _Measured],
    own: Mapping[str, Motif],
    rule: FittingRule,
    constants: FabricConstants,
    rib: bool,
) -> _Across:
    """The number of stitches that suits all these zones: within the ease, then that which alters girth and motif least.

    Under a crown of rib it comes out even in one of the numbers of sections, where that lies within the ease: else the
    columns would stand otherwise in each.

    Raises BadInput where one repeat of a motif alone is outside the ease.
    """
    asked = measured[zones[0].name]
    patterned = [zone for zone in zones if zone.motif and zone.shape != "triangle"]  # which has no whole repeats
    motifs = [own[zone.motif or ""] for zone in patterned]
    if not motifs and zones[0].stitches is not None:
        return _Across(zones[0].stitches)
    shapes = {zone.shape for zone in zones}
    halves = _HALVES if "frustum" in shapes or shapes >= {"triangle", "tube"} else 1
    ribbed_crown = any(zone.shape == "crown" and constants.ribbed(zone.structure) for zone in zones)
    sections = range(round(constants.crown_least_sections), round(constants.crown_most_sections) + 1)
    evens = (1, *sections) if ribbed_crown else (1,)
    found: list[_Across] = []
    most = rule.plain_columns if motifs and "flat" not in shapes else 0  # what is flat need not come out round anything
    for columns, even in product(range(most + 1), evens):
        step = math.lcm(rule.rib_stitches if rib else 1, halves, even, *(motif.width + columns for motif in motifs))
        below = math.floor(asked.wanted / step)
        for stitches in (max(1, below) * step, (below + 1) * step):
            off = max(0.0, asked.least - stitches, stitches - asked.most) if rib or motifs else 0.0
            altered = abs(stitches / asked.wanted - 1.0) + max((columns / one.width for one in motifs), default=0.0)
            uneven = constants.uneven_weight if ribbed_crown and even == 1 else 0.0
            found.append(_Across(stitches, columns, off, altered + uneven))
    best = min(found, key=lambda one: one.rank)
    for zone, motif in zip(patterned, motifs, strict=True):
        if best.off > 0 and best.stitches == motif.width + best.columns:
            what = reason(
                "one repeat of {motif} is {width} stitches, and {zone} has {stitches} at this gauge",
                motif=motif.name,
                width=motif.width,
                zone=zone.name,
                stitches=knittable(asked.wanted),
            )
            raise BadInput(what, Field("swatch"), reason("take thinner yarn, a larger size or a narrower motif"))
    return best
