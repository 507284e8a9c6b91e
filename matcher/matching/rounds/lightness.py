"""What lightness tells apart: where few pools stand out, an assignment has one of these few, or reads low."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import ColourTable
from matcher.matching.pools import Stock
from matcher.matching.ranking.bins import LightnessBins, ends

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Where lightness tells apart a larger part of all pairs, of a few pools, it is not asked. They change how long a search
# takes, never what it finds.
_MOST_APART, _LOOKED_AT = 0.3, 500
# So many of the darkest and of the lightest pools stand out. The same holds of it.
_STAND_OUT = 50


@dataclass(frozen=True)
class Lightness:
    """Of the pools of a stock in some order."""

    colours: ColourTable
    stock: Stock
    order: Indexes

    @cached_property
    def few_apart(self) -> bool:
        """Whether few pairs differ so much that lightness alone makes them read."""
        some = self.stock.part[:: 1 + len(self.stock) // _LOOKED_AT, 0]
        light = self.colours.lightness[0][some]
        apart = np.abs(np.subtract.outer(light, light)) >= self.colours.rules.readable_delta_l
        return bool(apart.mean() < _MOST_APART)

    @cached_property
    def ends(self) -> Floats:
        """Between what L* each reads, see `bins.ends`: array (2, n)."""
        return ends(self.colours, self.stock)[:, self.order]

    @cached_property
    def standing_out(self) -> Indexes:
        """Places of the darkest and the lightest, rising; none where many pairs read by lightness alone."""
        if not self.few_apart:
            return np.zeros(0, dtype=np.intp)
        order = np.argsort(self.ends[0], kind="stable")
        return np.unique(np.concatenate([order[:_STAND_OUT], order[-_STAND_OUT:]]))


def beside_apart(bins: LightnessBins, shared: Floats, edges: Collection[tuple[int, int]]) -> Floats:
    """What all other roles add at most where lightness tells apart whatever touches: (roles, sizes, m).

    bins : of the m threads. shared : (roles, sizes, m), what each adds.
    """
    roles, sizes, _ = shared.shape
    tops, added = shared.max(axis=2, initial=-np.inf), np.zeros(shared.shape)
    for size in range(sizes):
        best = [bins.best(0, slice(None), shared[role, size]) for role in range(roles)]
        beside = [bins.with_companion(0, one, plainly=True) for one in best]
        for role in range(roles):
            for other in range(roles):
                if other != role:
                    touch = (role, other) in edges or (other, role) in edges
                    added[role, size] += beside[other] if touch else tops[other, size]
    return added
