"""Needs: the metres that each role of an accessory takes, with their spread and the working."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import FabricConstants, Gauge, class_of_gauge, mid_gauge, tex_of_gauge
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.shapes import ZoneShape, zone_shape
from matcher.materials.yarn import WeightClass


class ZoneWorking(NamedTuple):
    """What one zone takes of one role: length_m = (stitches * loop_cm + passed * float_cm) / 100.

    `first`, `last`, `rows`, `pieces` are the zone's; `stitches` and `passed` (stitches passed behind by a
    float) are this role's, over all the pieces of the zone.
    """

    zone: str
    shape: str
    structure: str
    pieces: int
    first: int
    last: int
    rows: int
    share: float
    stitches: float
    passed: float
    loop_cm: float
    float_cm: float
    length_m: float

    def as_dict(self) -> dict[str, Any]:
        """Plain values for a table or JSON."""
        return self._asdict()


@dataclass(frozen=True)
class RoleNeed:
    """Metres of one role: its zones, the cast-on and bind-off (edge_m) and the tails (tail_m) added up.

    shared_sd_m is the knitter's tension, the same error for every role; own_sd_m is this role's alone.
    """

    role: str
    length_m: float
    shared_sd_m: float
    own_sd_m: float
    stitches: int
    float_m: float
    edge_m: float
    tail_m: float
    bring: bool
    working: tuple[ZoneWorking, ...]

    @property
    def sd_m(self) -> float:
        """Standard deviation of both errors together [m]."""
        return math.hypot(self.shared_sd_m, self.own_sd_m)

    def mass_g(self, tex: float) -> float:
        """Grams in a yarn of this tex."""
        return self.length_m * tex / 1000.0


def needs_of(
    accessory: Accessory,
    size: str,
    gauge: Gauge,
    sizes: Sizes,
    motifs: Mapping[str, Motif],
    constants: FabricConstants,
    gauge_sd: float | None = None,
) -> tuple[RoleNeed, ...]:
    """Metres of every role, in the order of the accessory's roles.

    gauge_sd: relative standard deviation shared by all roles; None takes the catalogue's figure, smaller
    for a gauge from a swatch. Raises KeyError for a size or motif that is not known.
    """
    if gauge_sd is None:
        gauge_sd = constants.gauge_sd_swatch if gauge.from_swatch_rows else constants.gauge_sd_no_swatch
    names = accessory.role_names
    working: dict[str, list[ZoneWorking]] = {name: [] for name in names}
    tails = dict.fromkeys(names, 0.0)
    edges = dict.fromkeys(names, 0.0)
    last_zone = len(accessory.zones) - 1
    for number, zone in enumerate(accessory.zones):
        shape = zone_shape(zone, size, gauge, sizes, constants)
        motif = motifs[zone.motif] if zone.motif else None
        for role, line in _workings(zone, shape, motif, gauge, constants):
            working[role].append(line)
            tails[role] += 2.0 * zone.count * constants.tail_m
        # Only the first zone is cast on, only the last bound off; between them stitches stay on the needle.
        edge_role = next(iter(motif.shares)) if motif else zone.role
        assert edge_role is not None, zone.name
        loop_m = gauge.loop_cm * constants.loop(zone.structure) / 100.0
        if number == 0:
            edges[edge_role] += constants.edge_rounds * shape.first * zone.count * loop_m
        if number == last_zone:
            edges[edge_role] += constants.edge_rounds * shape.last * zone.count * loop_m
    needs = []
    for one in accessory.roles:
        lines = tuple(working[one.name])
        length = sum([line.length_m for line in lines]) + edges[one.name] + tails[one.name]
        needs.append(
            RoleNeed(
                role=one.name,
                length_m=length,
                shared_sd_m=gauge_sd * length,
                own_sd_m=constants.share_sd * length,
                stitches=round(sum([line.stitches for line in lines])),
                float_m=sum([line.passed * line.float_cm for line in lines]) / 100.0,
                edge_m=edges[one.name],
                tail_m=tails[one.name],
                bring=one.bring,
                working=lines,
            )
        )
    return tuple(needs)


def _workings(
    zone: Zone, shape: ZoneShape, motif: Motif | None, gauge: Gauge, constants: FabricConstants
) -> list[tuple[str, ZoneWorking]]:
    """What a zone takes of each of its roles.

    A motif is taken by its counted shares, as if fitted to the zone: a part repeat counts like the whole.
    """
    loop_cm = gauge.loop_cm * constants.loop(zone.structure)
    first, last, rows, pieces, total, _, _ = shape
    if motif is None:
        assert zone.role is not None, zone.name
        line = ZoneWorking(
            zone.name, zone.shape, zone.structure, pieces, first, last, rows,
            1.0, total, 0.0, loop_cm, 0.0, total * loop_cm / 100.0,
        )  # fmt: skip
        return [(zone.role, line)]
    # A straight float spans one wale for each stitch it passes: 1 / Kw of a loop (derived; no slack counted).
    float_cm = gauge.loop_cm * constants.float_per_stitch
    floats = motif.float_shares
    lines = []
    for role, share in motif.shares.items():
        own, passed = total * share, total * floats[role]
        length = (own * loop_cm + passed * float_cm) / 100.0
        line = ZoneWorking(
            zone.name, zone.shape, zone.structure, pieces, first, last, rows,
            share, own, passed, loop_cm, float_cm, length,
        )  # fmt: skip
        lines.append((role, line))
    return lines


def needs_table(
    accessory: Accessory,
    sizes: Sizes,
    motifs: Mapping[str, Motif],
    constants: FabricConstants,
    classes: Sequence[WeightClass],
    only_size: str | None = None,
    only_class: int | None = None,
    gauge: Gauge | None = None,
    tex: float | None = None,
    as_she_knits: Callable[[tuple[RoleNeed, ...], Gauge], tuple[RoleNeed, ...]] | None = None,
) -> list[dict[str, Any]]:
    """Rows of `matcher needs`, by size and class: plain dicts with each role's metres and its working.

    Without `gauge` each of the accessory's classes is taken at the middle of its published gauge range, with
    the tex that usually gives this gauge; with `gauge` (a swatch, or from a tex) only that one is shown.
    as_she_knits: what the knitter's history makes of needs at a gauge.
    """
    if gauge is not None:
        wanted = [(class_of_gauge(gauge.stitches_10cm, classes), gauge)]
    else:
        numbers = accessory.classes if only_class is None else (only_class,)
        wanted = [(number, mid_gauge(number, constants, classes)) for number in numbers]
    rows: list[dict[str, Any]] = []
    for size in accessory.sizes if only_size is None else (only_size,):
        for number, one in wanted:
            yarn_tex = tex_of_gauge(one, constants) if tex is None else tex
            found = needs_of(accessory, size, one, sizes, motifs, constants)
            if as_she_knits is not None:
                found = as_she_knits(found, one)
            rows.append(
                {
                    "size": size,
                    "class": number,
                    "tex": yarn_tex,
                    "gauge": {"stitches_10cm": one.stitches_10cm, "rows_10cm": one.rows_10cm},
                    "loop_cm": one.loop_cm,
                    "roles": [_role_row(need, yarn_tex) for need in found],
                }
            )
    return rows


def _role_row(need: RoleNeed, tex: float) -> dict[str, Any]:
    return {
        "role": need.role,
        "metres": need.length_m,
        "sd": need.sd_m,
        "grams": need.mass_g(tex),
        "stitches": need.stitches,
        "bring": need.bring,
        "float_m": need.float_m,
        "edge_m": need.edge_m,
        "tail_m": need.tail_m,
        "zones": [line.as_dict() for line in need.working],
    }
