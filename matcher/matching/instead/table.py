"""The pools that may stand in as arrays, the worthiest first."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.instead.beside import Beside, stitches_apart
from matcher.matching.instead.way import Weigher
from matcher.matching.pools import stock_of
from matcher.matching.together import thickness_factor

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

POOLED = ("look", "fibre", "care", "kin")
"""Parts of the score that are those of the worst pool."""


class Table:
    """n pools whose colour can stand in, in the order of what they leave of the score; equals by name."""

    def __init__(self, besides: Sequence[Beside], weigher: Weigher) -> None:
        rules = weigher.rules
        seen = [one for one in besides if weigher.seen_alike(one)]
        worth = {one.name: sum(getattr(one, name) * weigher.weights[name] for name in POOLED) for one in seen}
        self.besides = tuple(sorted(seen, key=lambda one: (-worth[one.name], one.name)))
        self.weigher = weigher
        self.worth = np.array([worth[one.name] for one in self.besides])
        self.parts = {name: np.array([getattr(one, name) for one in self.besides]) for name in POOLED}
        self.tex = np.array([one.tex for one in self.besides])
        self.free_m = np.array([one.pool.free.mean for one in self.besides])
        names = sorted(one.name for one in self.besides)
        self.by_name = np.array([names.index(one.name) for one in self.besides], dtype=np.intp)
        stock = stock_of([one.pool for one in self.besides], rules.together)
        self.go_together: Floats = stock.beside[stock.kind[:, None], stock.kind]

    def __len__(self) -> int:
        return len(self.besides)

    @cached_property
    def alike(self) -> Flags:
        """Which pools may be knitted one after the other: nothing tells them apart in the fabric, array (n, n)."""
        rules, number = self.weigher.rules, len(self)
        first, second = np.triu_indices(number, 1)
        shades = stitches_apart([one.pool.colour for one in self.besides])
        near = np.eye(number, dtype=bool)
        if len(first):
            near[first, second] = shades.apart(first, second, "farthest") <= rules.instead.hardly_delta_e
        even = thickness_factor(self.tex[:, None], self.tex, rules.together) == 1.0
        return np.asarray((near | near.T) & even & (self.go_together == 1.0))

    def scores(self, members: Indexes, tex: Floats, handling: float) -> Floats:
        """The score of many ways: members (m, k) are places of pools, tex (m,) is what they are knitted with."""
        weigher = self.weigher
        rules = weigher.rules
        off = np.abs(np.log(tex / weigher.asked.yarn.tex.mean)) / np.log(rules.together.tex_ratio_blocks)
        found = weigher.weights["gauge"] * np.maximum(0.0, 1.0 - off) + weigher.weights["handling"] * handling
        for name, values in self.parts.items():
            found = found + weigher.weights[name] * values[members].min(axis=1)
        return np.asarray(found)
