"""Whether the thickest strands of all roles could stand beside each other: else no other strands mend it.

The thickest strand of a thread is at least a third of it. Of two threads the thickest strands meet in a ninth of all
pairs of stitches or more; where that is more than may vanish, and both are of one colour, the threads read no better
than these two colours do. So a pool must be found for each role, all different and able to go together, of which those
in roles that touch read: pools are few beside the threads that can be made of them, and most that can't be made of
strands held together is told by them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Stock
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.searcher import Searcher

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Indexes = npt.NDArray[np.intp]

# Of a larger stock it isn't asked, nor further after so many beginnings were tried. These change how long a search
# takes, never what it finds.
_FEW, _TRIED = 600, 5_000


def could_stand(block: Block, several: Sequence[Indexes]) -> bool:
    """Whether every role could have a thickest strand.

    several : for each role the pools that could be in it, alone or as a strand, rising.
    """
    pools = np.unique(np.concatenate(several))
    vanish = block.searcher.colours.rules.vanish_share
    if len(block.searcher.stock) > _FEW or vanish + 1e-6 >= 1.0 / STRANDS**2:
        return True
    goes = _go_together(block.searcher, pools)
    reads = goes & _read(block.searcher, pools, block.least) if block.edges else goes
    able = [np.isin(pools, one) for one in several]
    # A role that few can fill decides early.
    order = sorted(range(len(able)), key=lambda role: int(able[role].sum()))
    beside = [[reads if block.touches(a, b) else goes for b in order] for a in order]
    return _Filling(beside).any_way([able[role] for role in order])


@dataclass
class _Filling:
    """Roles filled one after the other. beside : for each two of them which pools could stand beside which."""

    beside: Sequence[Sequence[Flags]]
    tried: int = field(default=0, init=False)

    def any_way(self, able: Sequence[Flags], depth: int = 0) -> bool:
        """Whether the roles from here on could be filled, each with one of its able pools."""
        if not all(one.any() for one in able):
            return False
        if len(able) == 1:
            return True
        if len(able) == 2:
            return bool(self.beside[depth][depth + 1][np.ix_(*able)].any())
        for pool in np.flatnonzero(able[0]).tolist():
            self.tried += 1
            if self.tried > _TRIED:
                return True
            rest = zip(able[1:], self.beside[depth][depth + 1 :], strict=True)
            if self.any_way([one & beside[pool] for one, beside in rest], depth + 1):
                return True
        return False


def _go_together(searcher: Searcher, pools: Indexes) -> Flags:
    """Which two of some pools are different and go together by their fibres: array (k, k)."""
    stock = searcher.stock
    goes = stock.beside[stock.kind[pools][:, None], stock.kind[pools]] > 0
    np.fill_diagonal(goes, False)
    return np.asarray(goes)


def _read(searcher: Searcher, pools: Indexes, least: float) -> Flags:
    """Which two of some pools read as well as is asked wherever they meet, and any that is of several colours: array
    (k, k)."""
    stock = searcher.stock
    # What was asked of at another gauge is known.
    table = searcher.once(searcher.of_party, ("thickest",), lambda: _unread(stock))
    here = np.ix_(pools, pools)
    one, other = (pools[new] for new in np.nonzero(np.triu(np.isnan(table[here]))))
    table[one, other] = table[other, one] = searcher.colours.readings(stock.part[one, 0], stock.part[other, 0])
    return np.asarray(table[here] >= least)


def _unread(stock: Stock) -> Floats:
    """For every pair of n pools no number until they are read, and what is always enough for one of several colours:
    array (n, n)."""
    table = np.full((len(stock), len(stock)), np.nan)
    mixed = stock.share[:, 0] <= 1.0 - 1e-9
    table[mixed], table[:, mixed] = np.inf, np.inf
    return table
