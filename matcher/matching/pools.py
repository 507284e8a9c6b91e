"""Lots that count together: one yarn, one colour, one dye lot; and all of them as arrays for the search.

Different dye lots of one colour are never put together. Where the dye lot is not written down, only lots
left over from the same garment count as one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.kindred import Kindred
from matcher.matching.together import Handling, beside, factor, handling_of, on_skin
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Lot
from matcher.materials.rules import TogetherRules
from matcher.materials.uncertain import Estimate, log_sd
from matcher.materials.yarn import Yarn
from matcher.reasons.reason import Words

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# The deviate of the surest that can be asked for, 0.999. Nobody has to join a further lot on, so a lot that is there
# must not make a pool less sure; one of which only the last metres are free would, with the whole doubt of its weight.
_SUREST_Z = 3.1


@dataclass(frozen=True)
class Pool:
    """Lots that count as one; `free` and `on_hand` are metres together, `reserve_m` is what is held of them.

    kept: why nothing of it is free although no reserve holds it, "" where nothing but reserves holds it back.
    """

    lots: tuple[Lot, ...]
    free: Estimate
    on_hand: Estimate
    reserve_m: float
    kept: Words = ""

    @property
    def name(self) -> str:
        """The name of its first lot, which stands for it wherever order is by name."""
        return self.lots[0].name

    @property
    def yarn(self) -> Yarn:
        return self.lots[0].yarn

    @property
    def colour(self) -> Colour:
        return self.lots[0].colour

    @property
    def dye_lot(self) -> str:
        return self.lots[0].dye_lot


def pools_of(lots: Sequence[Lot], free: Mapping[str, Estimate], tail_m: float) -> tuple[Pool, ...]:
    """Put like lots together, in the order of their names.

    Parameters
    ----------
    free : metres of each lot that no reserve holds.
    tail_m : metres lost at each end of a join; every lot but the largest of a pool is joined on.
    """
    groups: dict[tuple[object, ...], list[Lot]] = {}
    for lot in sorted(lots, key=lambda one: one.name):
        groups.setdefault(likeness(lot), []).append(lot)
    return tuple(pool_of(group, free, tail_m) for group in groups.values())


def likeness(lot: Lot) -> tuple[object, ...]:
    """What lots that count as one have in common, and no others."""
    name, dye_lot, yarn = lot.yarn.name.casefold().strip(), lot.dye_lot.casefold().strip(), lot.yarn
    # With no dye lot or no yarn name, only the garment says that two scraps are the same; without it, nothing.
    beyond = "" if name and dye_lot else lot.garment or f"only {lot.name}"
    return name, dye_lot, beyond, lot.colour, round(yarn.tex.mean, 3), yarn.blend, yarn.wash


def pool_of(group: Sequence[Lot], free: Mapping[str, Estimate], tail_m: float) -> Pool:
    """Lots knitted one after the other, as one; see `pools_of`."""
    loose = sorted((free[lot.name] for lot in group), key=lambda one: -one.mean)
    usable = [max(0.0, one.mean - (2 * tail_m if place else 0.0)) for place, one in enumerate(loose)]
    # The lots share one label, so their errors add up rather than cancel; each as far as the lot is used.
    spreads = [one.sd * metres / one.mean if metres > 0 else 0.0 for one, metres in zip(loose, usable, strict=True)]
    spread = spreads[0] + sum(min(sd, metres / _SUREST_Z) for sd, metres in zip(spreads[1:], usable[1:], strict=True))
    held = sum(lot.unclaimed_m - free[lot.name].mean for lot in group)
    on_hand = Estimate(sum(lot.unclaimed_m for lot in group), sum(lot.length.sd for lot in group))
    # Lots that are free come first: they are what she is told to take.
    order = sorted(group, key=lambda lot: (free[lot.name].mean <= 0, lot.name))
    return Pool(tuple(order), Estimate(sum(usable), spread), on_hand, held)


@dataclass(frozen=True)
class Stock:
    """All pools as arrays of n, and tables of how each kind of yarn goes with each other kind."""

    pools: tuple[Pool, ...]
    free_m: Floats  # (n,)
    sd_m: Floats  # (n,)
    tex: Floats  # (n,)
    part: Indexes  # (n, k) colours as places in `labs`, the first repeated where a pool has fewer
    share: Floats  # (n, k) their shares, 0 where repeated
    labs: Floats  # (p, 3)
    sds: Floats  # (p, 3) how far off each may be; 0 where it is no guess
    kind: Indexes  # (n,) place of its handling in the tables
    beside: Floats  # (kinds, kinds) factor of the score, 0 when blocked
    on_skin: Floats  # (kinds,)
    one_yarn: float  # how far two pools of one yarn belong together

    @cached_property
    def kindred(self) -> Kindred:
        """Which pools belong together by her own choice."""
        homes = [list(dict.fromkeys(lot.garment for lot in pool.lots if lot.garment)) for pool in self.pools]
        return Kindred(homes, [pool.yarn.name.casefold().strip() for pool in self.pools], self.one_yarn)

    @cached_property
    def log_sd(self) -> Floats:
        """Standard deviation of what is free, on the logarithm: array (n,)."""
        return log_sd(self.free_m, self.sd_m)


def stock_of(pools: Sequence[Pool], rules: TogetherRules) -> Stock:
    """Lay pools out as arrays; those with nothing free are left out."""
    usable = tuple(pool for pool in pools if pool.free.mean > 0)
    stitches = [pool.colour.stitches() for pool in usable]
    widest = max((len(one) for one in stitches), default=1)
    places: dict[tuple[Lab, Lab], int] = {}
    part = np.zeros((len(usable), widest), dtype=np.intp)
    share = np.zeros((len(usable), widest))
    for row, (pool, colours) in enumerate(zip(usable, stitches, strict=True)):
        for column, ((lab, weight), sd) in enumerate(zip(colours, pool.colour.stitch_sds(), strict=True)):
            part[row, column] = places.setdefault((lab, sd), len(places))
            share[row, column] = weight
        part[row, len(colours) :] = part[row, 0]
    handlings: dict[tuple[Handling, Sides], int] = {}
    kind = np.array(
        [handlings.setdefault((handling_of(pool.yarn, rules), _sides(pool, rules)), len(handlings)) for pool in usable],
        dtype=np.intp,
    )
    return Stock(
        usable,
        np.array([pool.free.mean for pool in usable]),
        np.array([pool.free.sd for pool in usable]),
        np.array([pool.yarn.tex.mean for pool in usable]),
        part,
        share,
        np.array([lab for lab, _ in places]).reshape(-1, 3),
        np.array([sd for _, sd in places]).reshape(-1, 3),
        kind,
        np.array(
            [
                [0.0 if _must_not_meet(here, there) else factor(beside(a, b), rules) for b, there in handlings]
                for a, here in handlings
            ]
        ).reshape(2 * (len(handlings),)),
        np.array([factor((on_skin(one, True),), rules) for one, _ in handlings]),
        rules.one_yarn_kindred,
    )


Sides = tuple[tuple[bool, bool], ...]


def _sides(pool: Pool, rules: TogetherRules) -> Sides:
    """For each pair of yarns that must not meet, whether a pool is the one, and whether it is the other."""
    names = {lot.name for lot in pool.lots}
    return tuple((bool(names & one), bool(names & other)) for one, other in rules.never_meet)


def _must_not_meet(a: Sides, b: Sides) -> bool:
    return any((mine[0] and theirs[1]) or (mine[1] and theirs[0]) for mine, theirs in zip(a, b, strict=True))
