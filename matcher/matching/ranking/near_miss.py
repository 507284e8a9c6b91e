"""What came close, and what it lacks: metres of a role, or colours that read.

A near miss is looked for among the pools with most yarn; it is a hint, not promised to be the very nearest.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from matcher.matching.contrast import LEVELS
from matcher.matching.least import least_that
from matcher.matching.pools import Stock
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.search import search
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant
from matcher.materials.uncertain import chance_of_all

LARGEST = 60


@dataclass(frozen=True)
class Lack:
    """What one role of a near miss lacks. metres: how much more there should be; 0 when it is not yarn."""

    role: str
    metres: float
    reads: float | None = None


def largest_of(stock: Stock, most: int = LARGEST) -> Stock:
    """The pools with most free yarn, in the order they stood."""
    if len(stock.pools) <= most:
        return stock
    at = np.sort(np.argsort(-stock.free_m, kind="stable")[:most])
    return replace(
        stock,
        pools=tuple(stock.pools[place] for place in at),
        free_m=stock.free_m[at],
        sd_m=stock.sd_m[at],
        tex=stock.tex[at],
        part=stock.part[at],
        share=stock.share[at],
        kind=stock.kind[at],
    )


def nearest(
    searcher: Searcher,
    variants: Mapping[str, Sequence[Variant]],
    least: Mapping[str, float],
    most: int,
) -> list[Found]:
    """The nearest miss of each accessory, best first, at most `most` of them.

    `searcher` must look for near misses (its `chance` is None). Where no colours read well enough, the next
    lower level is tried.
    """
    found = []
    for key, several in variants.items():
        one = search(searcher, several, least[key])
        if not one and least[key] > LEVELS["quiet"] and several and several[0].edges:
            one = search(searcher, several, LEVELS["quiet"])
        found += one
    return sorted(found, key=lambda one: (-round(one.score, 9), one.variant.accessory.name))[:most]


def lacks(found: Found, stock: Stock, chance: float) -> list[Lack]:
    """How many more metres each role would need for this one to be as sure as asked.

    Each role that is not sure enough by itself is filled up until it is; where all are but not together, the
    least sure one is named.
    """
    missing = []
    for role, thread in enumerate(found.threads):
        more = sum(_more(stock, found, role, pool, chance, alone=True) for pool, _ in thread)
        if more > 0.05:
            missing.append(Lack(found.variant.filled[role].role, more))
    if missing or _chance(stock, found) >= chance:
        return missing
    items = [(role, pool) for role, thread in enumerate(found.threads) for pool, _ in thread]
    role, pool = min(items, key=lambda item: _chance(stock, found, only=item))
    more = _more(stock, found, role, pool, chance, alone=False)
    return [Lack(found.variant.filled[role].role, more)] if np.isfinite(more) else []


def _chance(
    stock: Stock, found: Found, more: tuple[int, float] | None = None, only: tuple[int, int] | None = None
) -> float:
    """Chance that all pools suffice, or the one of a role alone; `more` adds metres to a pool."""
    variant = found.variant
    spare, shared, own = [], [], []
    for role, thread in enumerate(found.threads):
        for pool, count in thread:
            if only is not None and only != (role, pool):
                continue
            have = float(stock.free_m[pool])
            extra = more[1] if more is not None and more[0] == pool else 0.0
            # More of the same yarn comes with the same doubt about its thickness.
            spread = float(stock.sd_m[pool]) * (have + extra) / have
            spare.append(have + extra - count * variant.length_m[role])
            shared.append(count * variant.shared_sd_m[role])
            own.append(float(np.hypot(spread, count * variant.own_sd_m[role])))
    return chance_of_all(np.array(spare), np.array(shared), np.array(own))


def _more(stock: Stock, found: Found, role: int, pool: int, chance: float, alone: bool) -> float:
    """Metres to add to a pool of a role until it (or, not alone, the whole) suffices; bisection to 1 cm."""

    def enough(extra: float) -> bool:
        return _chance(stock, found, (pool, extra), (role, pool) if alone else None) >= chance

    return least_that(enough, most=1e6, within=0.01)
