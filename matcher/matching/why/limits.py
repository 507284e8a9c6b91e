"""What bars a lot from an accessory, whatever stands beside it: all of it held, too thick, too fine, too short."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from matcher.knitting.fabric import FabricConstants, tex_range
from matcher.matching.pools import Pool
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.unused import claimed_m, reserved
from matcher.matching.variants import Variant
from matcher.matching.why.because import Because
from matcher.materials.uncertain import log_sd
from matcher.reasons.quantities import Length, Tex
from matcher.reasons.reason import reason


def held_back(pool: Pool) -> Iterator[Because]:
    """Why nothing of a pool is free."""
    claimed = claimed_m(pool)
    if claimed > 0:
        said = reason("{metres} of {lot} are taken by what is on the needles", metres=Length(claimed), lot=pool.name)
        yield Because("claim", Length(claimed), Length(0.0), said)
    if pool.kept:
        yield Because("decision", pool.kept, Length(0.0), reason("{lot} is {kept}", lot=pool.name, kept=pool.kept))
    elif pool.on_hand.mean > 0 or not claimed:
        said = reason("{lot}: {held}", lot=pool.name, held=reserved(pool))
        yield Because("reserve" if pool.on_hand.mean > 0 else "yarn", Length(pool.reserve_m), Length(0.0), said)


def too_thick_or_fine(pool: Pool, several: Sequence[Variant], searcher: Searcher) -> Iterator[Because]:
    """That a yarn suits no gauge of an accessory, not even as one strand of several where these may be."""
    low, high = windows(several, searcher.constants)
    tex = pool.yarn.tex.mean
    if low <= tex <= high or (tex < low and searcher.most_strands > 1):
        return
    template = "{lot} is too thick for it: {tex}, and up to {high} suits" if tex > high else _TOO_FINE
    said = reason(template, lot=pool.name, tex=Tex(tex), low=Tex(low), high=Tex(high))
    yield Because("thickness", Tex(tex), reason("{low} to {high}", low=Tex(low), high=Tex(high)), said)


_TOO_FINE = "{lot} is too fine for it in one strand: {tex}, and from {low} on suits"


def windows(several: Sequence[Variant], constants: FabricConstants) -> tuple[float, float]:
    """The thinnest and the thickest yarn [tex] of any gauge."""
    every = [tex_range(gauge, constants) for gauge in dict.fromkeys(one.gauge for one in several)]
    return min(low for low, _ in every), max(high for _, high in every)


def too_short(pool: Pool, several: Sequence[Variant], searcher: Searcher) -> Iterator[Because]:
    """That a pool has too little for the smallest role of any size, in one strand."""
    least = _least_enough(pool, several, searcher)
    if pool.free.mean >= least or math.isinf(least):
        return
    said = reason(
        "{lot} is too short for any part of it: {free} free, and to be as sure as you ask the smallest takes {least}",
        lot=pool.name,
        free=Length(pool.free.mean),
        least=Length(least),
    )
    yield Because("yarn", Length(pool.free.mean), Length(least), said)


def _least_enough(pool: Pool, several: Sequence[Variant], searcher: Searcher) -> float:
    """The least metres of a pool that are as sure as asked for the smallest role; inf where it is too thick."""
    spread = float(log_sd(np.array([pool.free.mean]), np.array([pool.free.sd]))[0])
    least = math.inf
    for one in several:
        if pool.yarn.tex.mean <= tex_range(one.gauge, searcher.constants)[1]:
            doubt = np.sqrt(spread**2 + one.own_sd**2 + one.shared_sd**2)
            least = min(least, float((one.length_m * np.exp(searcher.least_z * doubt)).min()))
    return least
