"""Which stitches of two pools read too little beside each other: with it, whether threads held of them could read.

Two threads are read by all pairs of their stitches but the share that may vanish (`contrast`): they read as well as is
asked if those which do not are no more than that share. How many stitches each strand shows hangs on its tex alone, so
pools are looked at once, two by two, and what is told of them is added up over the strands of threads.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.choices import Choices
from matcher.matching.ranking.searcher import Searcher

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# Of a larger stock it isn't asked. It changes how long a search takes, never what it finds.
FEW = 600
# A reading so little below what is asked, or a share so little above what may vanish, is one of the last places.
SLACK = 1e-6


def unread(searcher: Searcher, least: float) -> Floats | None:
    """The share of the stitches where two pools meet that read below `least` in any motif: array (n, n), a pool with
    itself included. None where these are too many to look at them all."""
    if len(searcher.stock) > FEW:
        return None
    return searcher.once(searcher.of_party, ("unread", least), lambda: _unread(searcher, least))


def _unread(searcher: Searcher, least: float) -> Floats:
    stock, colours = searcher.stock, searcher.colours
    share = np.zeros((len(stock), len(stock)))
    for mine in range(stock.part.shape[1]):
        for theirs in range(stock.part.shape[1]):
            met = stock.share[:, None, mine] * stock.share[:, theirs]
            one, other = np.nonzero(met > 0)
            reads = colours.readings(stock.part[one, mine], stock.part[other, theirs])
            share[one, other] += np.where(reads < least - SLACK, met[one, other], 0.0)
    return share


def may_read(
    unread: Floats | None, searcher: Searcher, one: Choices, at: Indexes, many: Choices, places: Indexes
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
            share += met * unread[one.strands[at, mine], many.strands[places, theirs]]
    return np.asarray(share <= searcher.colours.rules.vanish_share + SLACK)


def _weights(searcher: Searcher, threads: Choices, at: Indexes) -> Floats:
    """What part of a thread's stitches each of its pools shows: array (m, 3)."""
    each = searcher.stock.tex[threads.strands[at]] * threads.count[at]
    return np.asarray(each / threads.tex[at, None])
