"""Every pair of the candidates at one gauge, where these are few: how they read, go together and belong together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import ColourTable
from matcher.matching.pools import Stock
from matcher.matching.ranking.choices import Choices
from matcher.matching.together import thickness_factor
from matcher.materials.rules import TogetherRules

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class PairTable:
    """Every pair of m candidates, arrays (m, m): the most it could read, factor together, `kindred`, no pool
    in common."""

    hopes: Floats
    beside: Floats
    kindred: Floats
    apart: npt.NDArray[np.bool_]


def every_pair(stock: Stock, colours: ColourTable, rules: TogetherRules, base: Choices, own: Floats) -> PairTable:
    """The table of threads of one pool each. own : (m,), what each brings to the part `together` by itself."""
    pool = base.strands[:, 0]
    hopes = colours.hope(base.part[:, 0, None], base.part[None, :, 0])
    for at in np.flatnonzero(~base.solid):
        hopes[at] = hopes[:, at] = colours.hopes(base.part[at], base.share[at], base.part, base.share)
    kind = stock.kind[pool]
    beside = thickness_factor(base.tex[:, None], base.tex, rules) * stock.beside[kind[:, None], kind]
    beside = np.where(beside > 0, np.minimum(np.minimum(beside, own), own[:, None]), -np.inf)
    return PairTable(hopes, beside, stock.kindred.of(pool[:, None], pool), pool[:, None] != pool)
