"""Every way to make an accessory: its sizes at the gauges of its classes, with what each takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product

import numpy as np
import numpy.typing as npt

from matcher.knitting.accessory import Accessory, contrast_pairs
from matcher.knitting.bodies import Sizes
from matcher.knitting.calibration import Calibration, calibrated
from matcher.knitting.fabric import FabricConstants, Gauge, gauges_of_class
from matcher.knitting.fit.fitted import CastOn, Fitted
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.needs import RoleNeed, needs_of
from matcher.materials.yarn import WeightClass

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Knowledge:
    """What the catalogue knows of knitting, as the matching needs it; and how this knitter knits, if that is known."""

    sizes: Sizes
    motifs: Mapping[str, Motif]
    constants: FabricConstants
    classes: tuple[WeightClass, ...]
    calibration: Calibration | None = None


@dataclass(frozen=True)
class InMotif:
    """An accessory in another motif than its own, as it was fitted to a body."""

    motif: Motif
    fitted: Fitted

    @property
    def cast_on(self) -> CastOn:
        """Which of the fits it is."""
        return CastOn(self.fitted.stitches, self.fitted.repeats, self.fitted.plain_columns)


@dataclass(frozen=True)
class Variant:
    """One accessory in one size at one gauge. Arrays are over the roles that lots must fill, in order.

    party: whom it is for, as a scope names them; "" for anybody. put_in: the motif that was put in and the fit that it
    has; None for an accessory as it is listed.
    """

    accessory: Accessory
    size: str
    gauge: Gauge
    needs: tuple[RoleNeed, ...]
    edges: tuple[tuple[int, int], ...]  # roles that touch, as places among the roles to fill
    party: str = ""
    put_in: InMotif | None = field(default=None, hash=False)

    @property
    def mark(self) -> tuple[object, ...]:
        """What of it makes another thing of the same threads."""
        return self.size, self.gauge, self.put_in and self.put_in.cast_on

    @cached_property
    def filled(self) -> tuple[RoleNeed, ...]:
        """Needs of the roles that lots must fill."""
        return tuple(need for need in self.needs if not need.bring)

    @cached_property
    def length_m(self) -> Floats:
        return np.array([need.length_m for need in self.filled])

    @cached_property
    def shared_sd(self) -> Floats:
        """On the logarithm."""
        return np.array([need.shared_sd for need in self.filled])

    @cached_property
    def own_sd(self) -> Floats:
        """On the logarithm."""
        return np.array([need.own_sd for need in self.filled])

    @cached_property
    def shortest_m(self) -> float:
        """The least that any role to fill takes."""
        return min((need.length_m for need in self.filled), default=float("inf"))

    @cached_property
    def weight(self) -> Floats:
        """Each role's part of the yarn."""
        return np.asarray(self.length_m / self.length_m.sum())


def variants_of(accessory: Accessory, knowledge: Knowledge, sizes: Sequence[str] | None = None) -> tuple[Variant, ...]:
    """All variants, smallest size and loosest gauge first; `sizes`, of the table of bodies, in place of its own."""
    gauges = [
        gauge
        for number in accessory.classes
        for gauge in gauges_of_class(number, knowledge.constants, knowledge.classes, accessory.firmness)
    ]
    fill = [role.name for role in accessory.roles if not role.bring]
    edges = tuple(
        (fill.index(a), fill.index(b))
        for a, b in contrast_pairs(accessory, knowledge.motifs)
        if a in fill and b in fill
    )
    return tuple(
        Variant(accessory, size, gauge, _needs(accessory, size, gauge, knowledge), edges)
        for size in (accessory.sizes if sizes is None else sizes)
        for gauge in gauges
    )


def _needs(accessory: Accessory, size: str, gauge: Gauge, knowledge: Knowledge) -> tuple[RoleNeed, ...]:
    found = needs_of(accessory, size, gauge, knowledge.sizes, knowledge.motifs, knowledge.constants)
    return calibrated(found, accessory, knowledge.calibration, from_swatch=gauge.from_swatch_rows)


def least_colours(roles: int, edges: Sequence[tuple[int, int]]) -> int:
    """The fewest different lightnesses that roles can have when those that touch must differ."""
    for colours in range(1, roles + 1):
        for given in product(range(colours), repeat=roles):
            if all(given[a] != given[b] for a, b in edges):
                return colours
    return max(roles, 1)
