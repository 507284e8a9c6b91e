"""Needs: the metres that each role of an accessory takes, with their spread and the working."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from matcher.knitting.accessory import Accessory, Role, Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.construction import construction_of, edges_of
from matcher.knitting.fabric import (
    PLAIN,
    FabricConstants,
    Gauge,
    class_of_gauge,
    edge_length,
    ends_length,
    float_for,
    loop_for,
    mid_gauge,
    tex_of_gauge,
)
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.motifs.parts import shown_shares
from matcher.knitting.shapes import ZoneShape, zone_shape
from matcher.materials.yarn import WeightClass, tex_from_class
from matcher.reasons.reason import Words


class ZoneWorking(NamedTuple):
    """What one zone takes of one role: length_m = (stitches * loop_cm + passed * float_cm) / 100.

    `first`, `last`, `rows`, `pieces` are the zone's; `stitches` and `passed` (stitches passed behind by a
    float) are this role's, over all the pieces of the zone.
    """

    zone: Words
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

    shared_sd_m is the knitter's tension and the model's bias, the same error for every role; own_sd_m is this role's
    alone. A need is log-normal: `length_m` is its median, and both errors are standard deviations on the logarithm,
    times the length.
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

    @property
    def shared_sd(self) -> float:
        """What all roles share, on the logarithm."""
        return self.shared_sd_m / self.length_m if self.length_m else 0.0

    @property
    def own_sd(self) -> float:
        """What is this role's alone, on the logarithm."""
        return self.own_sd_m / self.length_m if self.length_m else 0.0

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

    gauge_sd: standard deviation shared by all roles, on the logarithm; None takes the catalogue's figure for the
    structure, smaller for a gauge from a swatch. Raises KeyError for a size or motif that is not known.
    """
    working: dict[str, list[ZoneWorking]] = {name: [] for name in accessory.role_names}
    edges = dict.fromkeys(working, 0.0)
    construction = construction_of(accessory)
    shapes = [zone_shape(zone, size, gauge, sizes, constants) for zone in accessory.zones]
    ends = edges_of(accessory, construction, [(shape.first, shape.last) for shape in shapes])
    for zone, shape, end in zip(accessory.zones, shapes, ends, strict=True):
        motif = motifs[zone.motif] if zone.motif else None
        for role, line in _workings(zone, shape, motif, construction == "yoke", gauge, constants):
            working[role].append(line)
        edge_role = next(iter(motif.shares)) if motif else zone.role
        assert edge_role is not None, zone.name
        edges[edge_role] += edge_length(zone.structure, end * zone.count, gauge, constants)
    return put_together(accessory.roles, working, edges, gauge, constants, gauge_sd)


def put_together(
    roles: Iterable[Role],
    working: Mapping[str, Sequence[ZoneWorking]],
    edges: Mapping[str, float],
    gauge: Gauge,
    constants: FabricConstants,
    gauge_sd: float | None = None,
) -> tuple[RoleNeed, ...]:
    """Each role's need: the loops and floats of its zones, its cast-on and bind-off (`edges`, m), two tails a piece.

    gauge_sd: as `needs_of` takes it.
    """
    needs = []
    for one in roles:
        lines = tuple(working[one.name])
        tails = ends_length(sum([line.pieces for line in lines]), constants)
        length = sum([line.length_m for line in lines]) + edges[one.name] + tails
        shared_sd = constants.need_sd(gauge, main_structure(lines)) if gauge_sd is None else gauge_sd
        needs.append(
            RoleNeed(
                role=one.name,
                length_m=length,
                shared_sd_m=shared_sd * length,
                own_sd_m=constants.share_sd * length,
                stitches=round(sum([line.stitches for line in lines])),
                float_m=sum([line.passed * line.float_cm for line in lines]) / 100.0,
                edge_m=edges[one.name],
                tail_m=tails,
                bring=one.bring,
                working=lines,
            )
        )
    return tuple(needs)


def main_structure(working: Iterable[ZoneWorking]) -> str:
    """The structure that takes most of a role's yarn; ties by name."""
    lengths: dict[str, float] = {}
    for line in working:
        lengths[line.structure] = lengths.get(line.structure, 0.0) + line.length_m
    return max(sorted(lengths), key=lambda name: lengths[name], default=PLAIN)


def zone_working(
    part: tuple[Words, str, str],
    ends: tuple[int, int],
    rows: int,
    pieces: int,
    share: float,
    stitches: float,
    passed: float,
    gauge: Gauge,
    constants: FabricConstants,
) -> ZoneWorking:
    """One role's line of a zone. part: its name, shape and structure; ends: its first and last stitches."""
    loop_cm = loop_for(part[2], gauge, constants)
    float_cm = float_for(gauge, constants) if passed else 0.0
    length_m = (stitches * loop_cm + passed * float_cm) / 100.0
    return ZoneWorking(*part, pieces, *ends, rows, share, stitches, passed, loop_cm, float_cm, length_m)


def _workings(
    zone: Zone, shape: ZoneShape, motif: Motif | None, banded: bool, gauge: Gauge, constants: FabricConstants
) -> list[tuple[str, ZoneWorking]]:
    """What a zone takes of each of its roles: what its rounds show of a motif; of a shaped one the motif's own shares.

    A motif is taken as if fitted to the zone: a part repeat round it counts like the whole.
    """
    first, last, rows, pieces, total, _, _ = shape
    part = (zone.name, zone.shape, zone.structure)
    if motif is None:
        assert zone.role is not None, zone.name
        shares: Mapping[str, tuple[float, float]] = {zone.role: (1.0, 0.0)}
    elif first == last:
        shares = shown_shares(motif, rows, banded)
    else:
        shares = {role: (share, motif.float_shares[role]) for role, share in motif.shares.items()}
    return [
        (role, zone_working(part, (first, last), rows, pieces, own, total * own, total * passed, gauge, constants))
        for role, (own, passed) in shares.items()
    ]


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

    Without `gauge` each of the accessory's classes is taken at the middle of its published gauge range, with the tex
    of that class; with `gauge` (a swatch, or from a tex) only that one is shown, with the tex that usually gives it.
    as_she_knits: what the knitter's history makes of needs at a gauge.
    """
    if gauge is not None:
        usual = tex_of_gauge(gauge, constants) if tex is None else tex
        wanted = [(class_of_gauge(gauge.band_stitches_10cm, classes), gauge, usual)]
    else:
        numbers = accessory.classes if only_class is None else (only_class,)
        wanted = [
            (number, mid_gauge(number, constants, classes, accessory.firmness), tex_from_class(number, classes).mean)
            for number in numbers
        ]
    rows: list[dict[str, Any]] = []
    for size in accessory.sizes if only_size is None else (only_size,):
        for number, one, yarn_tex in wanted:
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
