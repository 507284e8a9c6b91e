"""For each lot a weight below which more of it cannot help: one strand is too short, whatever it is knitted with."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from matcher.matching.pools import Pool
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant
from matcher.matching.why.limits import least_enough


def promising(pools: Iterable[Pool], several: Sequence[Variant], searcher: Searcher) -> list[tuple[int, Pool]]:
    """Whole grams that must be added at least to each pool before it could fill any role, the fewest first.

    A pool that has enough for some role may need none; one that is too thick for every gauge is left out.
    """
    found = []
    for pool in pools:
        missing_m = max(0.0, least_enough(pool, several, searcher, certain=True) - pool.free.mean)
        if math.isfinite(missing_m):
            found.append((math.floor(missing_m * pool.yarn.tex.mean / 1000.0), pool))
    return sorted(found, key=lambda one: (one[0], one[1].name))
