"""What pools could add as strands of a role, when the other roles hold what belongs to them."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.mates import Mates

Floats = npt.NDArray[np.float64]


def strands_beside(block: Block, size: int, mates: Mates) -> list[Floats]:
    """For each role an array like `block.as_strand` of one size, less what no companions in the other roles can add.

    Beside a strand another role adds the best of its mates, or the best of all as a stranger. What a thread adds is
    the mean of what its strands do, and it belongs to another no further than each of them, so both the strand and
    the companion may stand for their threads.

    mates : the pairs of pools that suit the gauge or are thin enough.
    """
    roles, share, most = block.roles, block.pair_share, block.searcher.stock.kindred.most
    if roles == 1:
        return [worth[size] for worth in block.as_strand]
    # Each role's half of what is hoped for: of all its pairs, and of those with roles but one.
    every, but_one = (0.5 * share * most(roles - number) for number in (1, 2))
    alone = block.base.strands[:, 0]
    strange = share * mates.unlisted[mates.of[block.thin]]
    best, of_mates = [], []
    for role in range(roles):
        as_thread = block.merits[role].worth[size] + (but_one - every)[alone]
        as_strand = block.strand_worth[role][size] + (but_one - every)[block.thin]
        by_pool = np.full(len(mates.unlisted), -np.inf)
        np.maximum.at(by_pool, mates.of[alone], as_thread)
        np.maximum.at(by_pool, mates.of[block.thin], as_strand)
        best.append(by_pool.max(initial=-np.inf))
        of_mates.append(mates.best(by_pool[mates.second] + share * mates.kindred)[mates.of[block.thin]])
    found = []
    for role in range(roles):
        worth = block.as_strand[role][size] - every[block.thin]
        for other in range(roles):
            if other != role:
                top = float(block.tops[other][size])
                worth = worth + np.maximum(best[other] + strange, of_mates[other]) - top
        found.append(np.minimum(worth, block.as_strand[role][size]))
    return found
