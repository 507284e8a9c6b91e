"""Lots that count together: one yarn, one colour, one dye lot; and all of them as arrays for the search.

Different dye lots of one colour are never put together. Where the dye lot is not written down, only lots
left over from the same garment count as one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.kindred import Kindred, numbered
from matcher.matching.taken import taken
from matcher.matching.together import Handling, beside, factor, handling_of, on_skin
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Lot
from matcher.materials.rules import TogetherRules
from matcher.materials.uncertain import Estimate, chance_given_tension, log_sd, margin
from matcher.materials.yarn import Yarn
from matcher.reasons.reason import Words

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
Sides = frozenset[tuple[str, int]]
"""Of pairs of yarns that an owner lets never meet, the sides that a pool is on: 1 and -1 of the first, 2 and -2 ..."""
Kind = tuple[Handling, Sides]

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
    if len(group) == 1:  # as most are
        lot, own, there_m = group[0], free[group[0].name], group[0].unclaimed_m
        return Pool(
            (lot,), own if own.mean > 0 else Estimate(0.0, 0.0), Estimate(there_m, lot.length.sd), there_m - own.mean
        )
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
    """All pools as arrays of n, and tables of what their numbers stand for, which parts of a stock share.

    pools : made only when one is asked for, where the stock comes from columns; the search needs none.
    """

    pools: Sequence[Pool]
    free_m: Floats  # (n,)
    sd_m: Floats  # (n,)
    tex: Floats  # (n,)
    part: Indexes  # (n, k) colours as places in `labs`, the first repeated where a pool has fewer
    share: Floats  # (n, k) their shares, 0 where repeated
    labs: Floats  # (p, 3)
    sds: Floats  # (p, 3) how far off each may be; 0 where it is no guess
    kind: Indexes  # (n,) place in `kinds`
    kinds: tuple[Kind, ...]  # how each kind of yarn is handled
    beside: Floats  # (kinds, kinds) factor of the score, 0 when blocked
    on_skin: Floats  # (kinds,)
    homes: Indexes  # (n, h) places in `garments`, -1 where a pool's lots lived in fewer
    garments: tuple[str, ...]
    yarns: Indexes  # (n,) place in `yarn_names`, -1 for a yarn without a name
    yarn_names: tuple[str, ...]  # folded
    rules: TogetherRules

    def __len__(self) -> int:
        return len(self.free_m)

    def take(self, at: Indexes) -> Stock:
        """The pools at some places, in that order; tables stay shared."""
        return replace(
            self,
            pools=taken(self.pools, at),
            free_m=self.free_m[at],
            sd_m=self.sd_m[at],
            tex=self.tex[at],
            part=self.part[at],
            share=self.share[at],
            kind=self.kind[at],
            homes=self.homes[at],
            yarns=self.yarns[at],
        )

    def holding(self, lots: Set[str]) -> Flags:
        """Which pools hold one of these lots: array (n,)."""
        if not lots:
            return np.zeros(len(self), dtype=bool)
        return np.array([any(lot.name in lots for lot in pool.lots) for pool in self.pools], dtype=bool)

    def from_garment(self, garment: str) -> Flags:
        """Which pools hold something left over from a garment, whoever owns it: array (n,)."""
        called = [at for at, name in enumerate(self.garments) if name.rpartition("\n")[2] == garment]
        return np.asarray(np.isin(self.homes, called).any(axis=1))

    @cached_property
    def kindred(self) -> Kindred:
        """Which pools belong together by her own choice."""
        return Kindred(self.homes, self.yarns, self.rules.one_yarn_kindred)

    @cached_property
    def log_sd(self) -> Floats:
        """Standard deviation of what is free, on the logarithm: array (n,)."""
        return log_sd(self.free_m, self.sd_m)

    def chances(
        self, at: Indexes, need_m: Floats | float, shared_sd: Floats | float, private_sd: Floats | float
    ) -> Floats:
        """The chance that what is free of each pool suffices, at every node of `tension_grid`: array (m, nodes).

        at : (m,), which pools. need_m : how many metres are needed of each, number or (m,), as the rest. shared_sd,
        private_sd : standard deviation of the need on the logarithm, what moves with her tension and what does not.
        """
        spare = margin(self.free_m[at], np.broadcast_to(np.asarray(need_m, dtype=float), at.shape))
        return chance_given_tension(spare, shared_sd, np.hypot(self.log_sd[at], private_sd))


def stock_of(pools: Sequence[Pool], rules: TogetherRules, owner: str = "") -> Stock:
    """Lay pools out as arrays; those with nothing free are left out.

    owner : whose they are; garments of one name are the same within one owner's only.
    """
    usable = tuple(pool for pool in pools if pool.free.mean > 0)
    yarns = [pool.yarn for pool in usable]
    part, share, labs, sds = _colours([pool.colour for pool in usable])
    handlings: dict[tuple[int, str], Handling] = {}  # blends are few and long to look at
    for yarn in yarns:
        if (id(yarn.blend), yarn.wash) not in handlings:
            handlings[id(yarn.blend), yarn.wash] = handling_of(yarn, rules)
    kinds: dict[Kind, int] = {}
    kind = []
    for pool, yarn in zip(usable, yarns, strict=True):
        sides = frozenset((owner, side) for side in sides_of(pool, rules))
        kind.append(kinds.setdefault((handlings[id(yarn.blend), yarn.wash], sides), len(kinds)))
    homes, garments = numbered([dict.fromkeys(lot.garment for lot in pool.lots if lot.garment) for pool in usable])
    names, yarn_names = numbered([(name,) if (name := folded_name(yarn)) else () for yarn in yarns])
    return Stock(
        usable,
        np.array([pool.free.mean for pool in usable]),
        np.array([pool.free.sd for pool in usable]),
        np.array([yarn.tex.mean for yarn in yarns]),
        part,
        share,
        labs,
        sds,
        np.array(kind, dtype=np.intp),
        tuple(kinds),
        *kind_tables(tuple(kinds), rules),
        homes,
        tuple(f"{owner}\n{garment}" for garment in garments) if owner else garments,
        names[:, 0],
        yarn_names,
        rules,
    )


def folded_name(yarn: Yarn) -> str:
    """By what two yarns are known for the same; "" for one that is the same as no other."""
    return yarn.name.casefold().strip()


def _colours(colours: Sequence[Colour]) -> tuple[Indexes, Floats, Floats, Floats]:
    """`part`, `share`, `labs` and `sds` of a stock."""
    stitches = [colour.stitches() for colour in colours]
    widest = max(map(len, stitches), default=1)
    places: dict[tuple[Lab, Lab], int] = {}
    parts, shares = [], []
    for colour, of_one in zip(colours, stitches, strict=True):
        at = [
            places.setdefault((lab, sd), len(places)) for (lab, _), sd in zip(of_one, colour.stitch_sds(), strict=True)
        ]
        rest = widest - len(at)
        parts.append([*at, *at[:1] * rest] if rest else at)
        shares.append([*(weight for _, weight in of_one), *[0.0] * rest])
    return (
        np.array(parts, dtype=np.intp).reshape(-1, widest),
        np.array(shares).reshape(-1, widest),
        np.array([lab for lab, _ in places]).reshape(-1, 3),
        np.array([sd for _, sd in places]).reshape(-1, 3),
    )


def kind_tables(kinds: Sequence[Kind], rules: TogetherRules) -> tuple[Floats, Floats]:
    """`beside` and `on_skin` of a stock."""
    places: dict[Handling, int] = {}
    of = np.array([places.setdefault(handling, len(places)) for handling, _ in kinds], dtype=np.intp)
    table = np.array([[factor(beside(a, b), rules) for b in places] for a in places]).reshape(2 * (len(places),))
    goes = table[of[:, None], of]
    on_side: dict[tuple[str, int], list[int]] = {}
    for at, (_, sides) in enumerate(kinds):
        for side in sides:
            on_side.setdefault(side, []).append(at)
    for (whose, number), these in on_side.items():
        goes[np.array(these)[:, None], np.array(on_side.get((whose, -number), []), dtype=np.intp)] = 0.0
    return goes, np.array([factor((on_skin(one, True),), rules) for one in places])[of]


def sides_of(pool: Pool, rules: TogetherRules) -> list[int]:
    """Of the pairs of yarns that must not meet, the sides that a pool is on."""
    names = {lot.name for lot in pool.lots} if rules.never_meet else set()
    pairs = ((place, names & one, names & other) for place, (one, other) in enumerate(rules.never_meet, 1))
    return [side for place, one, other in pairs for side, there in ((place, one), (-place, other)) if there]
