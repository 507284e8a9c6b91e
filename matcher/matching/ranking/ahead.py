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

# So many pairs of one beginning and one candidate of a later role are looked at at once: as many as a processor keeps
# close by. It changes how long a search takes, never what it finds.
_CELLS = 50_000


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
        longest = max((len(role.order) for role in self.lists[taken.shape[1] + 1 :]), default=1)
        at_once = max(1, _CELLS // max(1, longest))
        parts = [slice(start, start + at_once) for start in range(0, len(at), at_once)]
        found = [self._most(size, taken, who[some], at[some], contrast[some]) for some in parts]
        added, later = zip(*found, strict=True) if found else ((np.zeros(0),), (np.zeros(0),))
        return np.concatenate(added), np.concatenate(later)

    def _most(
        self, size: Indexes, taken: Indexes, who: Indexes, at: Indexes, contrast: Floats
    ) -> tuple[Floats, Floats]:
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
        depth, role, table, share = taken.shape[1], self.lists[later], self.table, self.block.pair_share
        among, touching = role.order, self.touching[later]
        # First what hangs on the beginnings alone, and on each of `at` alone: the same few come again and again.
        every, each = np.unique(at, return_inverse=True)
        before, one = (taken[:, :, None], among), np.ix_(every, among)
        stands = np.all(table.apart[before] & (table.beside[before] > 0), axis=1)
        stands_here = table.apart[one] & (table.beside[one] > 0)
        reads: Floats | None = None
        if earlier := [before for before in touching if before < depth]:
            hopes = table.hopes[taken[:, earlier][:, :, None], among].min(axis=1)
            stands &= hopes >= self.block.least
            reads = hopes[who]
        if depth in touching:
            hopes = table.hopes[one]
            stands_here &= hopes >= self.block.least
            reads = hopes[each] if reads is None else np.minimum(reads, hopes[each])
        kindred = np.where(stands, self._between(depth, later) + share * table.kindred[before].sum(axis=1), -np.inf)
        kindred_here = np.where(stands_here, share * table.kindred[one], -np.inf)
        beside = kindred[who] + kindred_here[each]
        return role.worth[size[who]] + np.minimum(0.0, beside - role.kindred), reads

    def _between(self, depth: int, later: int) -> Floats:
        """The most that a role's candidates could get from `kindred` with those filled after `depth` and before it."""
        if (depth, later) not in self._hoped:
            role = self.lists[later]
            self._hoped[depth, later] = self.block.kindred(role.choices, later - depth - 1)[role.order]
        return self._hoped[depth, later]
