"""A bin made ready to be searched, for what can be made or for what nearly can."""

from __future__ import annotations

from typing import Protocol

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import ColourTable
from matcher.matching.contrast import LEVELS
from matcher.matching.pools import Stock
from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.usefulness import usefulness
from matcher.matching.rules import MatchingRules
from matcher.materials.rules import RankingRules

Floats = npt.NDArray[np.float64]


class Rules(MatchingRules, Protocol):
    """What a score is made of, besides what all matching goes by."""

    @property
    def ranking(self) -> RankingRules: ...


def searcher_of(stock: Stock, scope: Scope, rules: Rules) -> Searcher:
    """For what can be made, as sure as she asks."""
    wishes = scope.wishes
    uses = usefulness(stock, scope.whole, rules.fabric)
    chance = wishes.sure if wishes.sure is not None else rules.ranking.sure_at_least
    strands = STRANDS if wishes.held_together else 1
    return _searcher(stock, scope, rules, uses, chance, strands, min([1.0, *scope.least.values()]))


def near_searcher_of(stock: Stock, scope: Scope, rules: Rules) -> Searcher:
    """For what is nearest to being made: yarn may be short, and colours may only be *quiet*."""
    nothing = np.zeros(len(stock.pools))
    floor = min([LEVELS["quiet"], *scope.least.values()])
    return _searcher(stock, scope, rules, (nothing, nothing + 1.0, nothing > 0), None, 1, floor)


def _searcher(
    stock: Stock,
    scope: Scope,
    rules: Rules,
    uses: tuple[Floats, Floats, npt.NDArray[np.bool_]],
    chance: float | None,
    strands: int,
    floor: float,
) -> Searcher:
    colours = ColourTable(stock.labs, stock.sds, rules.vision, rules.contrast, floor)
    fixed = (rules.ranking, rules.together, rules.fabric)
    return Searcher(stock, colours, *fixed, *uses, chance, strands, scope.wanted(stock))
