"""Recolour: the best ways to give a fitted accessory's roles other pools of the bin, exactly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants, tex_range
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import Asked, PoolTable, order_kept, sure_of
from matcher.matching.recolour.rules import Rules
from matcher.matching.recolour.search import Aim, Progress, RoleSearch

Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Recolouring:
    """One way to share pools out: one a role, in the order of `asked.needs`.

    score: the weighted mean of the parts, times `together` (the least factor that two of its yarns have beside
    each other). parts: "lightness order", "contrast" (of the least reading and the mean by shared sides) and
    "sure", each 0 to 1. least: the two touching roles that read least, two empty words where none touch.
    """

    pools: tuple[Pool, ...]
    score: float
    parts: Mapping[str, float]
    sure: float
    least: tuple[str, str]
    together: float = 1.0


def recolour(
    asked: Asked,
    pools: Sequence[Pool],
    wanted_order: tuple[str, ...] | None,
    rules: Rules,
    top: int | None = None,
    progress: Progress | None = None,
) -> tuple[Recolouring, ...]:
    """The true first `top` ways to give each role a pool of its own, best first; equal scores by name, role by role.

    A pool may fill a role when its yarn suits the gauge and it has the metres that the role takes [m]; pools
    whose yarns cannot live in one fabric never come together. Scores are compared to nine places.

    Parameters
    ----------
    wanted_order : roles from the darkest to the lightest (see `lightness_order`); None: any order will do.
    rules : the catalogue. top : so many; None for as many as it shows.
    """
    weights, top = rules.recolour, int(rules.recolour.ways) if top is None else top
    whole = weights.weight_order + weights.weight_least + weights.weight_mean + weights.weight_sure
    aim = Aim(
        order=weights.weight_order / whole,
        least=weights.weight_least / whole,
        mean=weights.weight_mean / whole,
        sure=weights.weight_sure / whole,
    )
    table = PoolTable.of(suited(pools, asked, rules.fabric), rules)
    search = RoleSearch(asked, table, wanted_order, able_places(asked, table), aim, top, progress=progress)
    return tuple(_recolouring(asked, table, wanted_order, aim, places) for places in search.best())


def suited(pools: Sequence[Pool], asked: Asked, fabric: FabricConstants) -> list[Pool]:
    """The pools whose yarn suits the gauge and that have enough for at least one role."""
    low, high = tex_range(asked.gauge, fabric)
    least_m = min((need.length_m for need in asked.needs), default=0.0)
    return [pool for pool in pools if low <= pool.yarn.tex.mean <= high and pool.free.mean >= max(least_m, 1e-9)]


def longest(suits: Sequence[Pool], garment: str, number: int) -> list[Pool]:
    """At most so many: those of the garment, then those with most metres free, equals by name."""

    def rank(pool: Pool) -> tuple[bool, float, str]:
        return all(lot.garment != garment for lot in pool.lots), -pool.free.mean, pool.name

    return sorted(suits, key=rank)[:number]


def able_places(asked: Asked, table: PoolTable) -> list[Indexes]:
    """For each role the places of the pools that have the metres which it takes."""
    return [np.flatnonzero(table.stock.free_m >= need.length_m) for need in asked.needs]


def _recolouring(
    asked: Asked, table: PoolTable, wanted: Sequence[str] | None, aim: Aim, places: tuple[int, ...]
) -> Recolouring:
    pools = tuple(table.stock.pools[place] for place in places)
    at = dict(zip(asked.roles, places, strict=True))
    colours = {role: table.stock.pools[place].colour for role, place in at.items()}
    reads = {(a, b): pair_reading(table, at[a], at[b]) for a, b, _ in asked.touching()}
    mean = asked.by_sides(lambda a, b: reads[a, b])
    least = min(reads, key=lambda pair: reads[pair], default=("", ""))
    order, sure = order_kept(asked, colours, wanted), sure_of(asked.needs, pools)
    contrast = (aim.least * reads.get(least, 1.0) + aim.mean * mean) / (aim.least + aim.mean)
    score = aim.order * order + (aim.least + aim.mean) * contrast + aim.sure * sure
    parts = {"lightness order": order, "contrast": contrast, "sure": sure}
    beside = table.beside(np.array(places))
    fit = min((float(beside[a, places[b]]) for a in range(len(places)) for b in range(a)), default=1.0)
    return Recolouring(pools, fit * score, parts, sure, least, fit)


def pair_reading(table: PoolTable, a: int, b: int) -> float:
    """How two pools of the table read against each other, 0 to 1."""
    return float(table.reads(np.array([a]))[0, b])
