"""Whether the thickest strands of all roles could stand beside each other: else no other strands mend it.

The thickest strand of a thread is at least a third of it. Of two threads the thickest strands meet in a ninth of all
pairs of stitches or more; where those of them that read too little (`unread`) are more than may vanish, so do the
threads. So a pool must be found for each role, all different and able to go together, of which those in roles that
touch read: pools are few beside the threads that can be made of them, and most that can't be made of strands held
together is told by them.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.unread import SLACK, unread
from matcher.matching.variants import Variant

Flags = npt.NDArray[np.bool_]
Indexes = npt.NDArray[np.intp]

# It isn't asked further after so many beginnings were tried. It changes how long a search takes, never what it finds.
_TRIED = 5_000


def could_stand(block: Block, several: Sequence[Indexes]) -> bool:
    """Whether every role could have a thickest strand.

    several : for each role the pools that could be in it, alone or as a strand, rising.
    """
    return _could_stand(block.searcher, block.edges, block.least, several)


def could_ever_stand(searcher: Searcher, variants: Sequence[Variant], least: float) -> bool:
    """The same of all pools at all gauges of one accessory: what they read hangs on no gauge.

    searcher : of whom its `variants` are for, any of several people.
    """
    edges, roles = variants[0].edges, len(variants[0].filled)
    parties = (searcher.of(name) for name in {one.party for one in variants})
    return any(_could_stand(one, edges, least, [np.arange(len(one.stock))] * roles) for one in parties)


def _could_stand(
    searcher: Searcher, edges: Collection[tuple[int, int]], least: float, several: Sequence[Indexes]
) -> bool:
    pools = np.unique(np.concatenate(several))
    share = unread(searcher, least)
    if share is None:
        return True
    goes = _go_together(searcher, pools)
    vanishing = share[np.ix_(pools, pools)] / STRANDS**2
    reads = goes & (vanishing <= searcher.colours.rules.vanish_share + SLACK) if edges else goes
    able = [np.isin(pools, one) for one in several]
    touching = {frozenset(edge) for edge in edges}
    # A role that few can fill decides early.
    order = sorted(range(len(able)), key=lambda role: int(able[role].sum()))
    beside = [[reads if frozenset((a, b)) in touching else goes for b in order] for a in order]
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
