"""Where something she asked for must be used: which role holds it, and what that leaves to be hoped for.

Every assignment that holds a wanted pool has a first role that does, so each role is searched as that one. What is
known of it bounds all others: they belong to it no further than they do to a wanted pool, which is seldom at all, so
that nothing is hoped for from that pair; and nothing reads better than a thread that has one.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import DECIDED
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import Choices
from matcher.matching.ranking.mates_read import reads_as_strands
from matcher.matching.ranking.role_list import RoleList

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# Of so many wanted pools it's worked out how everything reads beside them. It changes how long a search takes, never
# what it finds.
_FEW = 16


def held_in(block: Block) -> Sequence[int | None]:
    """The roles one of which must be the first that holds a wanted pool; a None alone where none are wanted."""
    return [None] if block.searcher.wanted is None else list(range(block.roles))


class Held:
    """A block of which one role is the first that holds a wanted pool; of no role where `role` is None.

    among : the other roles, whose pairs with each other are hoped for.
    """

    def __init__(self, block: Block, role: int | None) -> None:
        self.block, self.role, self.searcher = block, role, block.searcher
        self.among = [one for one in range(block.roles) if one != role]

    def wanted(self, pools: Indexes) -> Flags:
        """Which of some pools are wanted: array of their shape."""
        return np.asarray(self.searcher.is_wanted[pools])

    def barred(self, role: int, pools: Indexes) -> Flags:
        """Which of some pools can't be in a role's thread: array of their shape."""
        if self.role in (None, role) or (role > self.role and self.searcher.wanted_meet):
            return np.zeros(pools.shape, dtype=bool)
        return self.wanted(pools)

    def only(self, role: RoleList) -> RoleList:
        """Those of a role's candidates that could fill it."""
        if self.role is None:
            return role
        has: Flags = self.wanted(role.choices.strands[role.order]).max(axis=1)
        if role.role == self.role:
            return role.only(has)
        return role if role.role > self.role and self.searcher.wanted_meet else role.only(~has)

    def plainly(self, role: int, pools: Indexes) -> tuple[Flags, float]:
        """Which of some pools (m,), as strands of a role, could let its thread read beside a wanted pool by lightness;
        and the most that a thread reads which has none of these."""
        reads = self._reads if self.role is not None and self.block.touches(self.role, role) else None
        if reads is None:
            return np.zeros(len(pools), dtype=bool), self.block.contrast
        by_lightness = reads[pools] > DECIDED
        return by_lightness, float(reads[pools].max(where=~by_lightness, initial=0.0))

    @cached_property
    def _reads(self) -> Floats | None:
        """The most that the main colour of a wanted pool could read against any of each pool: array (n,).

        Where it can't vanish from a thread that has it, no thread reads better beside that one than some strand of its
        own does beside this colour. None where one could vanish, or too many are wanted.
        """
        searcher, here, stock = self.searcher, self.block.here, self.searcher.stock
        wanted = np.flatnonzero(searcher.is_wanted & (stock.tex < self.block.window[1]))
        wanted = np.union1d(wanted, self.block.base.strands[self.wanted(self.block.base.strands[:, 0]), 0])
        if len(wanted) > _FEW or not here.stays(wanted, stock.share[wanted].max(axis=1)).all():
            return None
        every = np.arange(len(stock.tex))
        reads = [reads_as_strands(searcher.colours, stock, np.full_like(every, one), every) for one in wanted]
        return np.asarray(np.max(reads, axis=0, initial=0.0)) if reads else None

    def certain(self, role: int, pools: Indexes) -> Floats:
        """The most that pools in a role add to `kindred` with the thread that holds a wanted one: array of their
        shape."""
        if self.role in (None, role):
            return np.zeros(pools.shape)
        return np.asarray(self.block.pair_share * self.searcher.kindred_to_wanted[pools])

    def hoped(self, role: int, pools: Indexes) -> Floats:
        """The most that pools (m,) in a role hope for from all pairs with the others, shared out between both of each:
        array of their shape."""
        block, most = self.block, self.searcher.stock.kindred.most
        if self.role is None:
            return np.asarray(block.pair_share / min(2, block.roles) * most(max(1, block.roles - 1))[pools])
        if block.roles == 1:  # its strands belong to each other
            kin = np.where(self.wanted(pools), 1.0, self.searcher.kindred_to_wanted[pools])
            return np.asarray(block.pair_share * np.minimum(most(1)[pools], kin))
        if role == self.role:
            return np.zeros(pools.shape)
        return np.asarray(0.5 * block.pair_share * most(block.roles - 2)[pools])

    def alone(self, size: int) -> Floats:
        """What all pools alone bring to each role of one size, as `Block.worth_alone`: array (roles, m)."""
        block, pools = self.block, self.block.base.strands[:, 0]
        worth = np.array(block.worth_alone(slice(size, size + 1))[:, 0])
        for role, one in enumerate(worth) if self.role is not None else ():
            one += self.change(role, block.base)
            one[~self.wanted(pools) if role == self.role else self.barred(role, pools)] = -np.inf
        return worth

    def change(self, role: int, choices: Choices) -> Floats:
        """What threads (m,) in a role add more, or less, with `kindred` as it is counted here: array (m,)."""
        block = self.block
        if self.role is None or block.roles == 1:
            return np.zeros(len(choices))
        pools = choices.strands
        kin = self.certain(role, pools) + self.hoped(role, pools)
        return np.asarray(kin.min(axis=1) - block.shared_kindred(choices, block.roles - 1))
