"""What the roles still to be filled could add, for many candidates of the next role at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.pair_table import PairTable
from matcher.matching.ranking.role_list import RoleList

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


class Ahead:
    """The roles of a search in the order in which they are filled, where every pair of candidates is tabled.

    touching : for each role, those before it that it touches.
    """

    def __init__(
        self, block: Block, lists: Sequence[RoleList], touching: Sequence[Sequence[int]], table: PairTable
    ) -> None:
        self.block, self.lists, self.touching, self.table = block, lists, touching, table
        self._hoped: dict[tuple[int, int], Floats] = {}

    def most(self, size: Indexes, taken: Indexes, who: Indexes, at: Indexes, contrast: Floats) -> tuple[Floats, Floats]:
        """The most that the roles could add which are filled after these: arrays (m,), -inf where one has nobody.

        Parameters
        ----------
        size, taken : (k,), (k, depth), the size of each of several beginnings, and who fills its first roles. who, at,
            contrast : (m,) for which of these somebody could fill the next role, who that is, and how all would read so
            far.

        Returns
        -------
        What all further roles could add, less the contrast that it costs; and what all but the first of them could.
        """
        depth, w_contrast = taken.shape[1], self.block.searcher.w_contrast
        added, later_added, cost = (np.zeros(len(at)) for _ in range(3))
        for later in range(depth + 1, len(self.lists)):
            worth, reads = self._given(size, taken, who, at, later)
            top = worth.max(axis=1, initial=-np.inf)
            added += top
            if later > depth + 1:
                later_added += top
            if reads is not None:
                reads = np.minimum(reads, contrast[:, None])
                most = (worth + w_contrast * reads).max(axis=1, initial=-np.inf)
                with np.errstate(invalid="ignore"):  # where nobody is left, nothing is added and no cost matters
                    cost = np.fmax(cost, top + w_contrast * contrast - most)
        return added - cost, later_added

    def _given(
        self, size: Indexes, taken: Indexes, who: Indexes, at: Indexes, later: int
    ) -> tuple[Floats, Floats | None]:
        """What the candidates of a later role are worth beside each of `at` and all before, and read: (m, n)."""
        depth, role, table = taken.shape[1], self.lists[later], self.table
        before, each, among = taken[:, :, None], at[:, None], role.order
        # First what hangs on the beginnings alone.
        able: Flags = np.all(table.apart[before, among] & (table.beside[before, among] > 0), axis=1)
        kindred = self._between(depth, later) + self.block.pair_share * table.kindred[before, among].sum(axis=1)
        able = able[who] & table.apart[each, among] & (table.beside[each, among] > 0)
        kindred = kindred[who] + self.block.pair_share * table.kindred[each, among]
        worth = role.worth[size[who]] + np.minimum(0.0, kindred - role.kindred)
        touching = self.touching[later]
        reads: Floats | None = None
        if earlier := [one for one in touching if one < depth]:
            reads = table.hopes[taken[:, earlier][:, :, None], among].min(axis=1)[who]
        if depth in touching:
            own = table.hopes[each, among]
            reads = own if reads is None else np.minimum(reads, own)
        if reads is not None:
            able &= reads >= self.block.least
        return np.where(able, worth, -np.inf), reads

    def _between(self, depth: int, later: int) -> Floats:
        """The most that a role's candidates could get from `kindred` with those filled after `depth` and before it."""
        if (depth, later) not in self._hoped:
            role = self.lists[later]
            self._hoped[depth, later] = self.block.kindred(role.choices, later - depth - 1)[role.order]
        return self._hoped[depth, later]
