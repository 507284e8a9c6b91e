"""What a set is chosen by: the best things, the most yarn used, the most lots finished, or the most things."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Stock
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.score import leftover_value, total
from matcher.materials.rules import RankingRules

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

AIMS = BEST, USE_UP, FEW, MOST = "best", "use-up", "few", "most"
# How much the scores of things count where something else is the aim: they decide between sets that are as good by it,
# and are too little to be seen in its figure.
_TASTE = {USE_UP: 1e-6, FEW: 1e-3, MOST: 1e-3}


@dataclass(frozen=True)
class Aim:
    """What counts, in figures that are added up.

    taste : weight of a thing's score. thing : of each thing. metre : (n,), of a metre of a pool. finished : (n,), of a
    pool of which no more is left than rest_m (n,). short : (n,), less for a pool whose rest is no useful length: times
    the part of one that it is (`leftover_value`).
    rules : the score's weights by which things are counted.
    """

    name: str
    rules: RankingRules
    taste: float
    thing: float
    metre: Floats
    finished: Floats
    rest_m: Floats
    short: Floats

    @property
    def of_rests(self) -> bool:
        """Whether it counts what is left of the pools."""
        return bool(self.short.any() or self.finished.any())

    def value(self, found: Found, metres: Floats) -> float:
        """Of a thing by itself. metres : (n,), what it takes of each pool."""
        return self.taste * total(found.parts, self.rules) + self.thing + float(self.metre @ metres)

    def of_pools(self, metres: Floats, free_m: Floats, usable_m: Floats, at: Indexes | slice = slice(None)) -> Floats:
        """Of what all things together leave of each pool: array (m,).

        metres, free_m, usable_m : (m,), what they take of it, its length, and the shortest that is any use. at : where
        the m pools stand among all.
        """
        left = np.maximum(free_m - metres, 0.0)
        rest = -self.short[at] * (1.0 - leftover_value(left, usable_m))
        done = left <= self.rest_m[at] + 1e-9
        return np.asarray(np.where(metres > 0, rest + self.finished[at] * done, 0.0))


def aim_of(name: str, stock: Stock, ranking: RankingRules) -> Aim:
    """An aim by its name, one of `AIMS`."""
    nothing = np.zeros(len(stock.free_m))
    if name == BEST:
        # What is left over is judged once for all things together.
        rules = replace(ranking, weight_leftover=0.0)
        return Aim(name, rules, 1.0, 0.0, nothing, nothing, nothing, nothing + ranking.weight_leftover)
    grams = stock.free_m * stock.tex / 1000.0
    share = stock.tex / 1000.0 / max(float(grams.sum()), 1e-9)
    return Aim(
        name,
        ranking,
        _TASTE[name],
        float(name == MOST),
        share if name == USE_UP else nothing,
        nothing + float(name == FEW),
        (1.0 - ranking.finished) * stock.free_m,
        nothing,
    )
