"""Pools shared out among the roles of a fitted accessory: what it asks, and how pools stand to each other."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import Gauge
from matcher.knitting.needs import RoleNeed
from matcher.matching.colour_table import ColourTable
from matcher.matching.pools import Pool, Stock, stock_of
from matcher.matching.recolour.rules import Rules
from matcher.matching.together import thickness_factor
from matcher.materials.colours.colour import Colour
from matcher.materials.rules import TogetherRules
from matcher.materials.uncertain import Estimate, chance_of_all, log_sd, margin

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Two lightnesses that are equal may differ in the last places; they have no order.
LIGHTER = 1e-9


@dataclass(frozen=True)
class Asked:
    """What a fitted accessory asks: metres a role, sides that two roles share in the fabric, and the gauge."""

    needs: tuple[RoleNeed, ...]
    edges: Mapping[frozenset[str], int]
    gauge: Gauge

    @property
    def roles(self) -> tuple[str, ...]:
        return tuple(need.role for need in self.needs)

    def touching(self) -> tuple[tuple[str, str, int], ...]:
        """Roles that touch, with the sides that they share, in the order of the needs."""
        return tuple(
            (a, b, self.edges[frozenset((a, b))])
            for a, b in combinations(self.roles, 2)
            if self.edges.get(frozenset((a, b)), 0) > 0
        )

    @property
    def sides(self) -> int:
        """All sides that two roles share."""
        return sum(sides for _, _, sides in self.touching())

    def by_sides(self, value: Callable[[str, str], float]) -> float:
        """Mean of a value over the roles that touch, each pair by the sides that it shares; 1 where none touch."""
        whole = self.sides
        return sum(sides * value(a, b) for a, b, sides in self.touching()) / whole if whole else 1.0


def merged(asked: Asked, target: Mapping[str, str]) -> Asked:
    """What is asked when roles are knitted in the yarn of others (role -> the other), which keep their names.

    Needs are added up, so the floats between joined roles still count: a little more than will be used.
    """
    needs: dict[str, RoleNeed] = {need.role: need for need in asked.needs if need.role not in target}
    for need in asked.needs:
        if need.role in target:
            other = needs[target[need.role]]
            needs[other.role] = replace(
                other,
                length_m=other.length_m + need.length_m,
                shared_sd_m=other.shared_sd_m + need.shared_sd_m,
                own_sd_m=float(np.hypot(other.own_sd_m, need.own_sd_m)),
                stitches=other.stitches + need.stitches,
                float_m=other.float_m + need.float_m,
                edge_m=other.edge_m + need.edge_m,
                tail_m=other.tail_m + need.tail_m,
                working=other.working + need.working,
            )
    edges: dict[frozenset[str], int] = {}
    for pair, sides in asked.edges.items():
        joined = frozenset(target.get(role, role) for role in pair)
        if len(joined) == 2:
            edges[joined] = edges.get(joined, 0) + sides
    return Asked(tuple(needs.values()), edges, asked.gauge)


def lightness_of(colour: Colour) -> float:
    """Mean L* of the stitches (0 to 100)."""
    return sum(lab[0] * share for lab, share in colour.stitches())


def lightness_order(colours: Mapping[str, Colour]) -> tuple[str, ...]:
    """Roles from the darkest to the lightest; equals in the order in which they are given."""
    return tuple(sorted(colours, key=lambda role: lightness_of(colours[role])))


def order_kept(asked: Asked, colours: Mapping[str, Colour], wanted: Sequence[str] | None) -> float:
    """Share of the sides between roles whose colours stand in the wanted order of lightness, 0 to 1.

    wanted: roles from the darkest to the lightest; roles that it leaves out, or that have no colour, count
    nothing, and neither do roles that never touch. 1 where nothing counts.
    """
    counted = kept = 0
    for a, b, sides in asked.touching():
        if wanted and a in wanted and b in wanted and a in colours and b in colours:
            dark, light = (a, b) if wanted.index(a) < wanted.index(b) else (b, a)
            counted += sides
            kept += sides * (lightness_of(colours[light]) - lightness_of(colours[dark]) > LIGHTER)
    return kept / counted if counted else 1.0


def sure_of(needs: Sequence[RoleNeed], pools: Sequence[Pool]) -> float:
    """Chance that every role's pool suffices, the knitter's tension shared by all; 0 to 1."""
    return chance_of([(need, pool.free) for need, pool in zip(needs, pools, strict=True)])


def chance_of(roles: Sequence[tuple[RoleNeed, Estimate]]) -> float:
    """The same for the metres that each role has [m]."""
    free = np.array([have.mean for _, have in roles])
    return chance_of_all(
        margin(free, np.array([need.length_m for need, _ in roles])),
        np.array([need.shared_sd for need, _ in roles]),
        np.hypot(log_sd(free, np.array([have.sd for _, have in roles])), [need.own_sd for need, _ in roles]),
    )


@dataclass
class PoolTable:
    """Pools in the order of their names, and how each stands to all the others; rows are worked out when asked for."""

    stock: Stock
    colours: ColourTable
    rules: TogetherRules
    lightness: Floats  # (n,) mean L* of the stitches
    _reads: dict[int, Floats] = field(default_factory=dict)
    _beside: dict[int, Floats] = field(default_factory=dict)

    @classmethod
    def of(cls, pools: Sequence[Pool], rules: Rules) -> PoolTable:
        """The table of those pools that have something free."""
        stock = stock_of(sorted(pools, key=lambda pool: pool.name), rules.together)
        lightness = np.array([lightness_of(pool.colour) for pool in stock.pools])
        return cls(
            stock, ColourTable(stock.labs, stock.sds, rules.vision, rules.contrast, 0.0), rules.together, lightness
        )

    def place(self, pool: Pool) -> int:
        """Where a pool stands in the table. Raises ValueError if it is not there."""
        return self.stock.pools.index(pool)

    def reads(self, places: Indexes) -> Floats:
        """How the pools at `places` (b,) read against all n, 0 to 1, from all their stitches: array (b, n)."""
        return self._rows(places, self._reads, self._reads_row)

    def beside(self, places: Indexes) -> Floats:
        """How the yarns at `places` (b,) go with all n: factor of the score, 0 where they do not; array (b, n)."""
        return self._rows(places, self._beside, self._beside_row)

    def _rows(self, places: Indexes, known: dict[int, Floats], row: Callable[[int], Floats]) -> Floats:
        different, back = np.unique(places, return_inverse=True)
        for place in different.tolist():
            if place not in known:
                known[place] = row(place)
        rows = np.stack([known[place] for place in different.tolist()])
        return np.asarray(rows[back.reshape(places.shape)])

    def _reads_row(self, place: int) -> Floats:
        stock = self.stock
        return self.colours.reads(stock.part[place], stock.share[place], stock.part, stock.share)

    def _beside_row(self, place: int) -> Floats:
        stock = self.stock
        thick = thickness_factor(stock.tex, stock.tex[place], self.rules)
        return np.asarray(thick * stock.beside[stock.kind[place], stock.kind])
