"""Strands that could be in a thread of several which is sure enough: of small skeins most threads are not.

Of each two or three strands all must suffice, at whatever tension. So no thread is surer than the strand beside the
surest others: where even that is not enough, neither is any thread that has it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.found import SLACK
from matcher.matching.ranking.strands import StrandWorth
from matcher.matching.ranking.thin import Thin
from matcher.materials.uncertain import tension_grid

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


def sure_enough(thin: Thin, size: int, strands: Sequence[StrandWorth]) -> list[StrandWorth]:
    """For each role of one size the same strands, without those of which no thread could be as sure as is asked."""
    if thin.searcher.chance is None:
        return list(strands)
    return [one.only(_could(thin, size, role, np.isfinite(one.most))) for role, one in enumerate(strands)]


def _could(thin: Thin, size: int, role: int, able: Flags) -> Flags:
    """Which of the able pools (m,) could be in a thread that is sure enough."""
    block, stock = thin.block, thin.searcher.stock
    tex, (_, weight) = stock.tex[thin.pools], tension_grid()
    asked, low = (thin.searcher.chance or 0.0) - SLACK, block.window[0]
    at, before = np.flatnonzero(able), -1
    length, shared, private = (float(one[role, size, 0]) for one in (block.length, block.shared, block.private))
    once, twice = (stock.chances(thin.pools[at], length * count, shared, private) for count in (1, 2))
    while len(at) != before and len(at):
        before, best, best_twice = len(at), once.max(axis=0), twice.max(axis=0)
        # Two strands of one of two pools; one strand each of three; of two, where these are thick enough.
        most = np.maximum(twice @ (weight * best), once @ (weight * best_twice))
        most = np.maximum(most, once @ (weight * best**2))
        by_two = tex[at] + tex[at].max() >= low
        most = np.where(by_two, np.maximum(most, once @ (weight * best)), most)
        left = most >= asked
        at, once, twice = at[left], once[left], twice[left]
    could = np.zeros(len(able), dtype=bool)
    could[at] = True
    return could
