"""Recolour: five roles over 30 lots, and plain enumeration beside it on fewer. Run by hand:

    python tests/benchmarks/companion.py

Needs are those of a hat of 24 repeats of 6 stitches, the five roles in different shares, all touching. Nothing is
asserted about time.
"""

from __future__ import annotations

import statistics
import time
from dataclasses import replace
from itertools import combinations, permutations

import numpy as np
from bins import KINDS, lots

from matcher.actions.context import catalogue_for, shelf_of
from matcher.knitting.fabric import Gauge, tex_range
from matcher.knitting.needs import RoleNeed
from matcher.matching.colouring import PoolTable, order_kept, sure_of
from matcher.matching.pools import Pool
from matcher.matching.recolour import Asked, pair_reading, recolour
from matcher.materials.lots import Bin
from matcher.materials.uncertain import Estimate
from matcher.store.catalogue import Catalogue

ROLES = ("main", "contrast 1", "contrast 2", "contrast 3", "contrast 4")
METRES = (95.0, 60.0, 45.0, 30.0, 20.0)
SIDES = (1400, 900, 650, 300, 500, 350, 200, 150, 90, 60)
GAUGE_10CM = 26.0
TARGET_S = 1.0


def asked_of(catalogue: Catalogue) -> Asked:
    """What the hat asks: metres a role, and the sides that each pair of roles shares."""
    needs = tuple(
        RoleNeed(role, metres, 0.15 * metres, 0.05 * metres, int(90 * metres), 0.0, 0.0, 0.0, False, ())
        for role, metres in zip(ROLES, METRES, strict=True)
    )
    edges = {frozenset(pair): sides for pair, sides in zip(combinations(ROLES, 2), SIDES, strict=True)}
    return Asked(needs, edges, Gauge.from_stitches(GAUGE_10CM, catalogue.fabric))


def pools_of(kind: str, number: int, catalogue: Catalogue, asked: Asked, seed: int) -> tuple[Pool, ...]:
    """Lots of the generated bin, all spun to suit the gauge, so that none is ruled out beforehand."""
    low, high = tex_range(asked.gauge, catalogue.fabric)
    rng = np.random.default_rng(seed)
    made = []
    for lot in lots(kind, number, catalogue, seed):
        tex = float(rng.uniform(low, high))
        metres = float(rng.uniform(20, 300))
        yarn = replace(lot.yarn, tex=Estimate(tex, 0.03 * tex))
        made.append(replace(lot, yarn=yarn, mass_g=metres * tex / 1000, length=Estimate(metres, 0.04 * metres)))
    return shelf_of(Bin(tuple(made)), catalogue).pools


def seconds(kind: str, number: int, catalogue: Catalogue, seed: int) -> float:
    asked = asked_of(catalogue)
    pools = pools_of(kind, number, catalogue, asked, seed)
    began = time.perf_counter()
    recolour(asked, pools, ROLES, catalogue.contrast, catalogue.together, catalogue.fabric, catalogue.vision)
    return time.perf_counter() - began


def plain_seconds(kind: str, number: int, catalogue: Catalogue, seed: int) -> float:
    """Every permutation scored one after the other, readings of pairs known beforehand."""
    asked = asked_of(catalogue)
    pools = pools_of(kind, number, catalogue, asked, seed)
    began = time.perf_counter()
    table = PoolTable.of(pools, catalogue.contrast, catalogue.together, catalogue.vision)
    every = np.arange(len(table.stock.pools))
    beside = table.beside(every)
    best = 0.0
    for places in permutations(every.tolist(), len(ROLES)):
        chosen = [table.stock.pools[place] for place in places]
        if any(pool.free.mean < need.length_m for need, pool in zip(asked.needs, chosen, strict=True)):
            continue
        fit = min(beside[a, b] for a, b in combinations(places, 2))
        if fit > 0:
            at = dict(zip(ROLES, places, strict=True))
            reads = [(sides, pair_reading(table, at[a], at[b])) for a, b, sides in asked.touching()]
            mean = sum(sides * value for sides, value in reads) / sum(sides for sides, _ in reads)
            contrast = (min(value for _, value in reads) + mean) / 2
            order = order_kept(asked, {role: pool.colour for role, pool in zip(ROLES, chosen, strict=True)}, ROLES)
            best = max(best, fit * (order + contrast + sure_of(asked.needs, chosen)) / 3)
    return time.perf_counter() - began


def main() -> None:
    catalogue = catalogue_for(None)
    seconds(KINDS[0], 8, catalogue, 0)  # imports
    print("| bin | lots | seeds | recolour, median [s] | slowest [s] | target [s] | plain / recolour |")
    print("|---|---|---|---|---|---|---|")
    for kind in KINDS:
        for number, seeds in ((9, 3), (30, 8), (100, 3)):
            took = [seconds(kind, number, catalogue, seed) for seed in range(1, seeds + 1)]
            plain = f"{plain_seconds(kind, number, catalogue, 1) / took[0]:.0f}" if number < 10 else "not tried"
            target = f"{TARGET_S:g}" if number == 30 else "none"
            print(
                f"| {kind} | {number} | {seeds} | {statistics.median(took):.3f} | {max(took):.3f} | {target} | {plain} |",
                flush=True,
            )


if __name__ == "__main__":
    main()
