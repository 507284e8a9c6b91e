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

from matcher.matching.distinct import distinct
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.unread import FEW, unread
from matcher.matching.variants import Variant

Flags = npt.NDArray[np.bool_]
Indexes = npt.NDArray[np.intp]

# It isn't asked further after so many beginnings were tried. It changes how long a search takes, never what it finds.
_TRIED = 5_000
# Of three roles the first so many beginnings are tried one by one, then all at once; of these so many choices take as
# long as a beginning. These change how long a search takes, never what it finds.
_ONE_BY_ONE, _AS_ONE = 20, 100_000
# Of more pools that differ it isn't asked. It changes how long a search takes, never what it finds.
_MOST_KINDS = 2_000


def could_stand(block: Block, several: Sequence[Indexes]) -> bool:
    """Whether every role could have a thickest strand.

    several : for each role the pools that could be in it, alone or as a strand, rising.
    """
    return _could_stand(block.searcher, block.edges, block.least, several)


def could_ever_stand(searcher: Searcher, variants: Sequence[Variant], least: float) -> bool:
    """The same of all pools at all gauges of one accessory: what they read hangs on no gauge. Also where there are so
    many colours that to look at them all may take longer than to try.

    searcher : of whom its `variants` are for, any of several people.
    """
    edges, roles = variants[0].edges, len(variants[0].filled)

    def of(party: Searcher) -> bool:
        if len(party.stock.labs) > FEW:
            return True
        asked = party, edges, least, [np.arange(len(party.stock))] * roles
        return party.once(party.of_party, ("ever", edges, roles, least), lambda: _could_stand(*asked))

    return any(of(searcher.of(name)) for name in {one.party for one in variants})


def _could_stand(
    searcher: Searcher, edges: Collection[tuple[int, int]], least: float, several: Sequence[Indexes]
) -> bool:
    told, stock = unread(searcher, least), searcher.stock
    if told is None:
        return True
    pools = distinct(np.concatenate(several))
    # Pools of one colouring and kind of fibre are alike here.
    alike, first, of, number = np.unique(
        told.of[pools] * len(stock.beside) + stock.kind[pools],
        return_index=True,
        return_inverse=True,
        return_counts=True,
    )
    if len(alike) > _MOST_KINDS:
        return True
    kind, each = stock.kind[pools[first]], pools[first]
    goes = stock.beside[kind[:, None], kind] > 0
    np.fill_diagonal(goes, np.diag(goes) & (number > 1))  # no pool serves twice
    reads = goes
    if edges:
        reads = goes & (told.between(each[:, None], each) / STRANDS**2 <= told.most)
    able = [np.isin(np.arange(len(alike)), of[np.isin(pools, one)]) for one in several]
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
        for place, pool in enumerate(np.flatnonzero(able[0]).tolist()):
            if len(able) == 3 and place == _ONE_BY_ONE:
                return self._any_three(able, depth)
            self.tried += 1
            if self.tried > _TRIED:
                return True
            rest = zip(able[1:], self.beside[depth][depth + 1 :], strict=True)
            if self.any_way([one & beside[pool] for one, beside in rest], depth + 1):
                return True
        return False

    def _any_three(self, able: Sequence[Flags], depth: int) -> bool:
        """The same of three roles, all beginnings at once."""
        self.tried += int(np.prod([one.sum() for one in able])) // _AS_ONE
        if self.tried > _TRIED:
            return True
        beside = self.beside[depth]
        first, third = beside[depth + 1], beside[depth + 2]
        second = self.beside[depth + 1][depth + 2]
        return bool(
            triangles(
                first[np.ix_(able[0], able[1])], third[np.ix_(able[0], able[2])], second[np.ix_(able[1], able[2])]
            )[0].any()
        )


def triangles(ab: Flags, ac: Flags, bc: Flags) -> tuple[Flags, Flags, Flags]:
    """Of three roles' candidates, which stand beside which of two others: who of each is in any three of which all do.

    ab, ac, bc : arrays (a, b), (a, c), (b, c). Returned: arrays (a,), (b,), (c,).
    """
    # The number of thirds that two have in common, as a product of matrices, whose sums stay exact in these.
    one, other, two = (each.astype(np.float32) for each in (ab, ac, bc))
    in_a = ac & (one @ two > 0)
    in_b = ab & (other @ two.T > 0)
    in_c = bc & (one.T @ other > 0)
    return np.asarray(in_a.any(axis=1)), np.asarray(in_b.any(axis=0)), np.asarray(in_c.any(axis=0))
