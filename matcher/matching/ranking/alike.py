"""Pools that nothing tells apart in a thing of which no two roles touch: of many alike a few stand for all.

Without roles that touch no colour counts. Pools of the same metres, thickness, fibres, doubt and kin then make the same
of every assignment in which one stands for another. A hundred small skeins of one yarn would be tried in all fives.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


def few_of_alike(block: Block, worth: Floats, each: int) -> Floats:
    """The worth (roles, S, m) of each pool alone, -inf for those of which enough others are alike.

    each : so many assignments are wanted, of different pools. As many more than there are roles are left of every kind:
    whatever a further one could be in, so many others are as good as.
    """
    searcher, stock = block.searcher, block.searcher.stock
    pools = block.base.strands[:, 0]
    kin = (_shared(names)[pools] for names in (stock.kindred.homes, stock.kindred.yarns))
    wanted = np.where(np.isin(pools, list(searcher.wanted or ())), pools, -1)
    figures = stock.free_m[pools], stock.log_sd[pools], stock.tex[pools], stock.kind[pools], block.own, wanted
    told = np.column_stack([*figures, *kin, worth.reshape(-1, len(pools)).T])
    _, of = np.unique(told, axis=0, return_inverse=True)
    order = np.argsort(of.reshape(-1), kind="stable")
    starts = np.searchsorted(of.reshape(-1)[order], np.arange(len(order)))
    rank = np.empty(len(order), dtype=np.intp)
    rank[order] = np.arange(len(order)) - starts[of.reshape(-1)[order]]
    return np.where(rank < block.roles + each - 1, worth, -np.inf)


def _shared(names: Indexes) -> Indexes:
    """Names of pools (n, k) as numbers, -1 for none and for one that only a single pool has: it makes nobody kin."""
    _, of, number = np.unique(names, return_inverse=True, return_counts=True)
    return np.where(number[of].reshape(names.shape) > 1, names, -1)
