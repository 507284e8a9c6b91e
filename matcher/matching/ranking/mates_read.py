"""How pools that belong together read, pair by pair: few enough to look at their hues too."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import ColourTable
from matcher.matching.contrast import all_but_vanishing
from matcher.matching.pools import Stock
from matcher.matching.ranking.mates import Mates

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


def reads_alone(colours: ColourTable, stock: Stock, mates: Mates, potential: Floats) -> Floats:
    """The most that each pair could read, each a thread by itself: array (p,).

    potential : of each colour, the most that it could read against any.
    """
    first, second = mates.pools[mates.first], mates.pools[mates.second]
    solid = stock.share[:, 0] > 1.0 - 1e-9
    both = solid[first] & solid[second]
    most = all_but_vanishing(potential[stock.part], stock.share, colours.rules.vanish_share)
    reads = np.minimum(most[first], most[second])
    reads[both] = colours.readings(stock.part[first[both], 0], stock.part[second[both], 0])
    return reads


def reads_as_strands(colours: ColourTable, stock: Stock, first: Indexes, second: Indexes) -> Floats:
    """The most that the main colour of the first of each pair of pools could read against any of the second: (p,)."""
    main = stock.part[first, stock.share[first].argmax(axis=1)]
    most = colours.readings(main, stock.part[second, 0])
    for column in range(1, stock.part.shape[1]):
        at = np.flatnonzero(stock.share[second, column] > 0)
        most[at] = np.maximum(most[at], colours.readings(main[at], stock.part[second[at], column]))
    return most


def strand_ends(colours: ColourTable, stock: Stock, pools: Indexes) -> Floats:
    """L* of pools (k,) as strands: of the main colour, twice, then of the darkest and the lightest: array (4, k)."""
    light, share = colours.lightness[0][stock.part[pools]], stock.share[pools]
    main = light[np.arange(len(pools)), share.argmax(axis=1)]
    dark, bright = (np.where(share > 0, light, far) for far in (np.inf, -np.inf))
    return np.stack([main, main, dark.min(axis=1), bright.max(axis=1)])
