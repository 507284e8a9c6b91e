"""The whole partner, recolour alone, and plain enumeration beside it on fewer lots. Run by hand:

    python tests/benchmarks/partner.py

The whole: a hat of 24 repeats of a motif of 6 stitches in five roles, fitted and shared out anew among the lots of
the bin, as the action does it, without pictures; the first run is left out, since it reads the catalogue. A bin in
which a colour is short looks for all exchanges as well. Recolour alone: needs of such a hat, the five roles in
different shares, all touching. Nothing is asserted about time.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from dataclasses import replace
from itertools import combinations, permutations
from pathlib import Path

import numpy as np
from bins import KINDS, lots

from matcher.actions.desk import Desk
from matcher.actions.partner.partner import partner
from matcher.knitting.fabric import Gauge, tex_range
from matcher.knitting.needs import RoleNeed
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import Asked, PoolTable, order_kept, sure_of
from matcher.matching.recolour.recolouring import pair_reading, recolour
from matcher.materials.lots import Bin, Garment
from matcher.materials.uncertain import Estimate
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue

ROLES = ("main", "contrast 1", "contrast 2", "contrast 3", "contrast 4")
METRES = (95.0, 60.0, 45.0, 30.0, 20.0)
SIDES = (1400, 900, 650, 300, 500, 350, 200, 150, 90, 60)
GAUGE_10CM = 27.0
TARGET_S = 1.0
# Five roles, all of which touch another; 6 stitches by 10 rows, at most two colours a row.
MOTIF = """name: five roles in bands
roles: . main, x contrast 1, o contrast 2, + contrast 3, v contrast 4

......
x..x..
xx.xx.
x+xx+x
+++.++
o+oo+o
oo.oo.
v.ov.o
vv.vv.
.v..v.
"""
SWEATER = Garment("sweater", "yoke pullover", "gone", "me", 96.0, GAUGE_10CM, 35.0, (), "", "")


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
    return Desk(Bin(tuple(made)), catalogue).shelf.pools


def whole_bin(kind: str, number: int, catalogue: Catalogue, seed: int, *, short: bool) -> Bin:
    """So many lots, the first five of them left over from the sweater; of one of these hardly any, if short."""
    pools = pools_of(kind, number, catalogue, asked_of(catalogue), seed)
    own = [replace(pool.lots[0], garment=SWEATER.name, role=role) for role, pool in zip(ROLES, pools, strict=False)]
    if short:
        own[0] = replace(own[0], mass_g=1.0, length=Estimate(2.0, 0.1))
    rest = [pool.lots[0] for pool in pools[len(ROLES) :]]
    return Bin((*own, *rest), {SWEATER.name: SWEATER})


def whole_seconds(bin: Bin, motif: Path, *, recoloured: bool) -> float:
    """One run of the action."""
    began = time.perf_counter()
    made = partner(bin, garment=SWEATER.name, accessory="hat-stranded-band", motif=motif, recolour=recoloured)
    took = time.perf_counter() - began
    if made.fit.repeats != 24 or len(made.roles) != len(ROLES) or bool(made.recolourings) != recoloured:
        raise SystemExit(f"not what is to be timed: {made.fit.repeats} repeats, {len(made.roles)} roles")
    return took


def show_whole(catalogue: Catalogue) -> None:
    """The table of the whole partner."""
    print("| partner | bin | lots | seeds | median [s] | slowest [s] | target [s] |")
    print("|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        motif = Path(folder) / "five.txt"
        motif.write_text(MOTIF, encoding="utf-8")
        whole_seconds(whole_bin(KINDS[0], 30, catalogue, 0, short=False), motif, recoloured=True)
        for what, recoloured, short in (("recoloured", True, False), ("one colour short", False, True)):
            for kind in KINDS:
                for number, seeds in ((30, 8), (500, 3), (2000, 1)):
                    bins = [whole_bin(kind, number, catalogue, seed, short=short) for seed in range(1, seeds + 1)]
                    took = [whole_seconds(bin, motif, recoloured=recoloured) for bin in bins]
                    target = f"{TARGET_S:g}" if recoloured and number == 30 else "none"
                    print(
                        f"| {what} | {kind} | {number} | {seeds} | {statistics.median(took):.2f} | {max(took):.2f} "
                        f"| {target} |",
                        flush=True,
                    )
    print()


def seconds(kind: str, number: int, catalogue: Catalogue, seed: int) -> float:
    asked = asked_of(catalogue)
    pools = pools_of(kind, number, catalogue, asked, seed)
    began = time.perf_counter()
    recolour(asked, pools, ROLES, catalogue)
    return time.perf_counter() - began


def plain_seconds(kind: str, number: int, catalogue: Catalogue, seed: int) -> float:
    """Every permutation scored one after the other, readings of pairs known beforehand."""
    asked = asked_of(catalogue)
    pools = pools_of(kind, number, catalogue, asked, seed)
    began = time.perf_counter()
    table = PoolTable.of(pools, catalogue)
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
    catalogue = load_catalogue()
    show_whole(catalogue)
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
