"""Why a lot can be used for nothing: all of it held, too short, no gauge for it, or no colour beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import Gauge, tex_range
from matcher.matching.pools import Pool
from matcher.matching.ranking.could_be import CouldBe, suffices
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant
from matcher.reasons.quantities import Length, Tex
from matcher.reasons.reason import Words, listed, reason

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Unused:
    """A lot that fits nothing in scope, and why."""

    lot: str
    why: Words


def why_unused(pools: Sequence[Pool], searcher: Searcher, scope: Scope, found: Sequence[Found]) -> list[Unused]:
    """Each lot that fits nothing in scope, in the order of their names.

    Parameters
    ----------
    pools : all of them, also those with nothing free. found : what is already known to be possible.
    """
    variants = scope.variants
    place = {pool.name: at for at, pool in enumerate(searcher.stock.pools)}
    used = {pool for one in found for thread in one.threads for pool, _ in thread}
    takes = _takes(searcher, variants)
    could_be = CouldBe(searcher, scope, found, takes.of_one_colour)
    unused: list[Unused] = []
    doubtful = 0
    for pool in pools:
        why: Words = ""
        if pool.free.mean <= 0:
            why = pool.kept or held(pool)
        elif (at := place[pool.name]) not in used and not takes.alone[at]:
            if not np.isfinite(takes.least_m[at]):
                tex = Tex(pool.yarn.tex.mean)
                why = reason("too fine or too thick for anything that was looked for ({tex})", tex=tex)
            elif not takes.enough[at]:
                why = _too_short(pool, float(takes.least_m[at]))
            else:
                if could_be.two_held_together(at):
                    continue
                doubtful += 1
                if doubtful > searcher.ranking.unused_searches:
                    why = reason("nothing in the list uses it; with so many lots it was not tried further")
                elif not could_be.used(at):
                    why = _suits_nobody(searcher, scope, at) or _no_companion(pool, variants)
        if why:
            unused += [Unused(lot.name, why) for lot in pool.lots]
    return sorted(unused, key=lambda one: one.lot)


def held(pool: Pool) -> Words:
    """Why nothing of a pool is free, where no decision of hers keeps it."""
    claimed = claimed_m(pool)
    if not claimed:
        return reserved(pool)
    if pool.on_hand.mean <= 0:
        return reason("all of it is set aside for what is on the needles")
    said = "{said}; {claimed} are set aside for what is on the needles"
    return reason(said, said=reserved(pool), claimed=Length(claimed))


def claimed_m(pool: Pool) -> float:
    """Metres that are on the needles of a pool."""
    return sum(min(lot.claimed_m, lot.length.mean) for lot in pool.lots)


def reserved(pool: Pool) -> Words:
    """What keeps all of a pool that isn't on the needles, or that nothing is left."""
    if pool.on_hand.mean <= 0:
        return reason("nothing of it is left")
    kept, garments = Length(pool.on_hand.mean), list(dict.fromkeys(lot.garment for lot in pool.lots if lot.garment))
    if not garments:
        return reason("you keep all {kept} of it", kept=kept)
    return reason("all {kept} are kept for {garments}", kept=kept, garments=listed(garments, "and"))


def _too_short(pool: Pool, least_m: float) -> Words:
    free, least = Length(pool.free.mean), Length(least_m)
    if pool.free.mean < least_m:
        return reason("too short: {free} free, the smallest use needs {least}", free=free, least=least)
    return reason(
        "too short to be sure: {free} free, give or take {spread}, and the smallest use needs {least}",
        free=free,
        spread=Length(pool.free.sd),
        least=least,
    )


@dataclass(frozen=True)
class _Takes:
    """For each pool, arrays (n,): the least metres that anything takes of it as a whole thread or one strand (inf
    if nothing does), whether it has them with the chance asked, and whether some one-colour thing can be made of it."""

    least_m: Floats
    enough: npt.NDArray[np.bool_]
    alone: npt.NDArray[np.bool_]
    of_one_colour: tuple[Variant, ...]  # the smallest thing of one colour at each gauge


def _takes(searcher: Searcher, variants: Mapping[str, Sequence[Variant]]) -> _Takes:
    stock = searcher.stock
    shortest: dict[Gauge, tuple[Variant, int]] = {}
    of_one_role: dict[tuple[Gauge, bool, str], Variant] = {}
    for several in variants.values():
        for variant in several:
            gauge = variant.gauge
            role = int(np.argmin(variant.length_m))
            if gauge not in shortest or variant.length_m[role] < _length(*shortest[gauge]):
                shortest[gauge] = (variant, role)
            mark = (gauge, variant.accessory.next_to_skin, variant.party)
            if len(variant.filled) == 1 and (
                mark not in of_one_role or variant.length_m[0] < of_one_role[mark].length_m[0]
            ):
                of_one_role[mark] = variant
    least_m = np.full(len(stock.tex), np.inf)
    enough, alone = np.zeros(len(stock.tex), dtype=bool), np.zeros(len(stock.tex), dtype=bool)
    every = np.arange(len(stock.tex))
    for variant, role in shortest.values():
        low, high = tex_range(variant.gauge, searcher.constants)
        suits = stock.tex <= high if searcher.most_strands > 1 else (stock.tex >= low) & (stock.tex <= high)
        least_m[suits] = np.minimum(least_m[suits], variant.length_m[role])
        enough |= suits & suffices(searcher, variant, role, every)
    for variant in of_one_role.values():
        low, high = tex_range(variant.gauge, searcher.constants)
        able = searcher.of(variant.party).able(every, variant.accessory.next_to_skin)
        alone |= able & (stock.tex >= low) & (stock.tex <= high) & suffices(searcher, variant, 0, every)
    return _Takes(least_m, enough, alone, tuple(of_one_role.values()))


def _length(variant: Variant, role: int) -> float:
    return float(variant.length_m[role])


def _suits_nobody(searcher: Searcher, scope: Scope, at: int) -> Words:
    """That it is barred to all whom anything that is looked for is for; "" where it is not."""
    for several in scope.variants.values():
        if any(searcher.of(one.party).able(np.array([at]), one.accessory.next_to_skin)[0] for one in several):
            return ""
    names = listed(scope.parties, "and")
    return reason("its fibre or its colour is not for {people}", people=names)


def _no_companion(pool: Pool, variants: Mapping[str, Sequence[Variant]]) -> Words:
    if all(len(several[0].filled) > 1 for several in variants.values()):
        return reason("no other free lot of a like thickness has enough yarn and reads against it")
    return reason(
        "{free} free is not enough alone to be as sure as asked, and no other free lot has enough to go with it",
        free=Length(pool.free.mean),
    )
