"""Which stitches of two pools read too little beside each other: with it, whether threads held of them could read.

Two threads are read by all pairs of their stitches but the share that may vanish (`contrast`): they read as well as is
asked if those which do not are no more than that share. How many stitches each strand shows hangs on its tex alone, so
colourings of pools are looked at once, two by two, and what is told of them is added up over the strands of threads.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.choices import Choices
from matcher.matching.ranking.searcher import Searcher

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# Of a stock of more colourings, or of more pools, it isn't asked. It changes how long a search takes, never what it
# finds.
FEW, _MOST_POOLS = 600, 20_000
# A reading so little below what is asked, or a share so little above what may vanish, is one of the last places.
SLACK = 1e-6


@dataclass(frozen=True)
class Unread:
    """The share of the stitches where two pools meet that read below what is asked in any motif.

    share : of any two colourings, array (c, c), one with itself included. of : (n,), the colouring of each pool. most :
    the share that may vanish.
    """

    share: Floats
    of: Indexes
    most: float

    def between(self, pools: Indexes, others: Indexes) -> Floats:
        """The same of pools, each with the other at its place: arrays of one shape."""
        return np.asarray(self.share[self.of[pools], self.of[others]])


def unread(searcher: Searcher, least: float) -> Unread | None:
    """The share that reads below `least`. None where colourings are too many to look at them all."""
    return searcher.once(searcher.of_party, ("unread", least), lambda: _unread(searcher, least))


def _unread(searcher: Searcher, least: float) -> Unread | None:
    stock, colours = searcher.stock, searcher.colours
    shown = np.where(stock.share > 0, stock.part, -1)
    if len(stock) > _MOST_POOLS or len(used := np.setdiff1d(shown, [-1])) > FEW * shown.shape[1]:
        return None
    every, of = np.unique(np.column_stack([shown, stock.share]), axis=0, return_inverse=True)
    if len(every) > FEW:
        return None
    # Two colours read each other alike.
    one, other = np.triu_indices(len(used))
    low = np.zeros((len(used), len(used)))
    low[one, other] = low[other, one] = colours.readings(used[one], used[other]) < least - SLACK
    part, shares = np.split(every, 2, axis=1)
    place = np.searchsorted(used, part)
    share = np.zeros((len(every), len(every)))
    for mine, theirs in product(range(part.shape[1]), repeat=2):
        share += np.outer(shares[:, mine], shares[:, theirs]) * low[np.ix_(place[:, mine], place[:, theirs])]
    return Unread(share, of.reshape(-1), colours.rules.vanish_share + SLACK)


def may_read(
    unread: Unread | None, searcher: Searcher, one: Choices, at: Indexes, many: Choices, places: Indexes
) -> Flags:
    """Whether threads could read as well as is asked, each at `at` against that at `places`: array (m,). Where not,
    they do not. unread : None where the pools were not looked at."""
    if unread is None:
        return np.ones(len(places), dtype=bool)
    weights = [_weights(searcher, *both) for both in ((one, at), (many, places))]
    share = np.zeros(len(places))
    for mine in range(one.pools):
        for theirs in range(many.pools):
            met = weights[0][:, mine] * weights[1][:, theirs]
            share += met * unread.between(one.strands[at, mine], many.strands[places, theirs])
    return np.asarray(share <= unread.most)


def _weights(searcher: Searcher, threads: Choices, at: Indexes) -> Floats:
    """What part of a thread's stitches each of its pools shows: array (m, 3)."""
    each = searcher.stock.tex[threads.strands[at]] * threads.count[at]
    return np.asarray(each / threads.tex[at, None])
