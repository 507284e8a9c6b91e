"""Threads that could read beside some pool of every role that they touch: asked of the role that fewest pools could be.

A thread shows the stitches of its strands, each by its part. All of them but the share that may vanish read as well as
the strand that reads best, or worse: no thread reads beside another better than one of its strands does by itself. So
a thread that reads beside no pool of a role reads beside nothing that can be held together of them either, and the
pools are few beside the threads. Most that can't be made of strands held together lacks a main colour of which much is
needed, so that few pools could be it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import STRANDS, threads
from matcher.matching.ranking.role_list import RoleList
from matcher.matching.ranking.standing import reads_beside_some

Indexes = npt.NDArray[np.intp]

# A role that more pools could fill is not asked, nor one of whose threads and the pools of another role there are more
# pairs. These change how long a search takes, never what it finds.
FEW, _PAIRS = 12, 100_000


def read_beside_pools(block: Block, few: RoleList, several: Sequence[Indexes]) -> RoleList:
    """The threads of one role, without those that read beside none of the pools of some role that they touch.

    several : for each role the pools that could be in it, alone or as a strand.
    """
    for role, pools in enumerate(several):
        if role == few.role or not block.touches(role, few.role) or len(pools) * len(few.order) > _PAIRS:
            continue
        strands, count = np.repeat(pools[:, None], STRANDS, axis=1), np.zeros((len(pools), STRANDS))
        count[:, 0] = 1.0
        each = threads(block.searcher.stock, strands, count, block.searcher.rules), np.arange(len(pools))
        few = few.only(reads_beside_some(block, (few.choices, few.order), each, block.hue_kept(role, few.role)))
    return few
