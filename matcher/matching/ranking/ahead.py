"""What the roles still to be filled could add, for many candidates of the next role at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.role_list import RoleList
from matcher.matching.ranking.searcher import PairTable

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


class Ahead:
    """The roles of a search in the order in which they are filled, where every pair of candidates is tabled.

    touching : for each role, those before it that it touches.
    """

    def __init__(
        self, block: Block, lists: Sequence[RoleList], touching: Sequence[Sequence[int]], table: PairTable
    ) -> None:
        self.block, self.lists, self.touching, self.table = block, lists, touching, table
        self._hoped: dict[tuple[int, int], Floats] = {}

    def most(self, taken: tuple[int, ...], at: Indexes, contrast: Floats) -> tuple[Floats, Floats]:
        """The most that the roles could add which are filled after these: arrays (k,), -inf where one has nobody.

        Parameters
        ----------
        taken : who fills the first roles. at, contrast : (k,) who could fill the next, and how all would read so far.

        Returns
        -------
        What all further roles could add, less the contrast that it costs; and what all but the first of them could.
        """
        depth, w_contrast = len(taken), self.block.searcher.w_contrast
        added, later_added, cost = (np.zeros(len(at)) for _ in range(3))
        for later in range(depth + 1, len(self.lists)):
            worth, reads = self._given(taken, at, later)
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

    def _given(self, taken: tuple[int, ...], at: Indexes, later: int) -> tuple[Floats, Floats | None]:
        """What the candidates of a later role are worth beside each of `at` and all before, and read: (k, n)."""
        depth, role, table = len(taken), self.lists[later], self.table
        share, before, among = self.block.pair_share, np.array(taken, dtype=np.intp)[:, None], role.order
        able = (table.apart[before, among] & (table.beside[before, among] > 0)).all(axis=0)
        each = at[:, None]
        able = able & table.apart[each, among] & (table.beside[each, among] > 0)
        kindred = self._between(depth, later) + share * table.kindred[before, among].sum(axis=0)
        kindred = kindred + share * table.kindred[each, among]
        worth = role.worth + np.minimum(0.0, kindred - role.kindred)
        touching = [one for one in self.touching[later] if one <= depth]
        reads: Floats | None = None
        if touching:
            reads = np.full((1, len(role.order)), np.inf)
            for one in touching:
                reads = np.minimum(reads, table.hopes[each if one == depth else taken[one], among])
            able &= reads >= self.block.least
        return np.where(able, worth, -np.inf), reads

    def _between(self, depth: int, later: int) -> Floats:
        """The most that a role's candidates could get from `kindred` with those filled after `depth` and before it."""
        if (depth, later) not in self._hoped:
            role = self.lists[later]
            self._hoped[depth, later] = self.block.kindred(role.choices, later - depth - 1)[role.order]
        return self._hoped[depth, later]
