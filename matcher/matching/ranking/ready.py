"""A bin made ready to be searched, for what can be made or for what nearly can."""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import ColourTable
from matcher.matching.contrast import LEVELS
from matcher.matching.kept import KeptHues
from matcher.matching.pools import Stock
from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.searcher import Apart, Searcher
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
    nothing = np.zeros(len(stock))
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
    tables: dict[tuple[str, ...], ColourTable] = {}

    def seen_by(eyes: tuple[str, ...]) -> ColourTable:
        if eyes not in tables:
            # Its bounds hold for any motif: none keeps more than all of a hue.
            rules_of = replace(rules.contrast.in_motif(1.0), eyes=eyes)
            tables[eyes] = ColourTable(stock.labs, stock.sds, rules.vision, rules_of, floor)
        return tables[eyes]

    parties = {
        name: Apart(
            seen_by(party.eyes),
            stock.holding(party.unwanted),
            stock.holding(party.unwanted | party.off_skin),
            frozenset(np.flatnonzero(stock.holding(party.wanted)).tolist()) if party.wanted else None,
        )
        for name, party in scope.parties.items()
    }
    fixed = (rules.ranking, rules.together, rules.fabric)
    wanted, colours = scope.wanted(stock), seen_by(rules.contrast.eyes)
    kept = KeptHues(rules.motifs, rules.spatial)
    return Searcher(stock, colours, *fixed, *uses, chance, strands, wanted, parties=parties, kept=kept)
