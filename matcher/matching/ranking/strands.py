"""What pools could add as strands of a thread of several, when the other roles hold what goes with them.

A bound on what belongs together and on how it reads, both at once. Beside a strand of one role another role adds what a
mate or a stranger could. Where the two touch, the reading counts too: of the other thread some strand must read as well
as the two threads do, since a strand that is more than what may vanish does not vanish beside all of it; and the two
threads belong together no further than that strand and this one. So one companion stands for what the other thread
reads and for its `kindred`, and what reads well is seldom a mate.

A thread belongs to another no further than its own strands do among each other. So threads of mates and threads of
strangers are bounded apart: those are few, and these belong to nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.mates import Mates
from matcher.matching.ranking.thin import OfSize, Thin, of_two_best

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class StrandWorth:
    """What each thin pool adds at most as a strand of one role, less what no companions in the other roles can add:
    arrays (m,); in a thread of which all strands are listed as mates, and in any other."""

    of_mates: Floats
    of_strangers: Floats

    @cached_property
    def most(self) -> Floats:
        """In whatever thread."""
        return np.maximum(self.of_mates, self.of_strangers)


def strands_beside(thin: Thin, of_size: OfSize, size: int, mates: Mates, bar: float) -> list[StrandWorth]:
    """For each role what strands add; the mean over a thread's strands, with the tops of all other roles, is never
    below what an assignment with this thread scores, the part `together` apart. Where none could pass a bar, nothing.

    mates : the pairs of pools that suit the gauge or are thin enough.
    """
    block = thin.block
    if block.roles == 1:
        of_one = of_size.whole[0]
        strange = mates.unlisted[mates.of[thin.pools]] * block.pair_share
        return [StrandWorth(of_one, of_one - thin.kindred + strange)]
    beside = _Beside(thin, of_size, size, mates)
    found = []
    for role in range(block.roles):
        rest = float(of_size.tops[:role].sum() + of_size.tops[role + 1 :].sum())
        both = []
        for among_mates in (True, False):
            worth = of_size.whole[role]
            for others in beside.others(role, among_mates):
                here = of_size.traded[role] - thin.kindred + others[beside.thin] - rest
                worth = np.minimum(worth, np.where(np.isfinite(worth), here, -np.inf))
                if of_two_best(worth) + rest <= bar:
                    worth = np.full(len(worth), -np.inf)
                    break
            both.append(worth)
        found.append(StrandWorth(*both))
    return found


class _Beside:
    """What all other roles add beside one strand, over the k pools of the mates."""

    def __init__(self, thin: Thin, of_size: OfSize, size: int, mates: Mates) -> None:
        block = thin.block
        self.block, self.mates = block, mates
        self.share = block.pair_share
        self.kin = self.share * mates.kindred
        self.strange = self.share * mates.unlisted
        self.thin = mates.of[thin.pools]
        self.w_contrast = block.searcher.w_contrast
        self.reads = np.full(len(mates.pools), block.contrast)
        self.reads[self.thin] = thin.reads
        # What one pool adds, `kindred` apart: as a whole thread or one strand; and what a thread adds that has it.
        self.worth, self.thread = [], []
        alone = mates.of[block.base.strands[:, 0]]
        of_base, of_thin = (
            0.5 * self.share * block.searcher.stock.kindred.most(block.roles - 1)[pools]
            for pools in (block.base.strands[:, 0], thin.pools)
        )
        for role, by_itself in enumerate(block.worth_alone(slice(size, size + 1))[:, 0]):
            whole, strand = (np.full(len(mates.pools), -np.inf) for _ in range(2))
            np.maximum.at(whole, alone, by_itself - of_base)
            strand[self.thin] = of_size.worth[role] - of_thin
            self.worth.append(np.maximum(whole, strand))
            self.thread.append(np.maximum(whole, (2.0 * strand.max(initial=-np.inf) + strand) / 3.0))
        self.bins = block.searcher.strand_bins(block.window, block.least, block.contrast)
        self.stays = block.searcher.strand_ends(block.window)[1]
        self._most = [0.5 * self.share * block.searcher.stock.kindred.most(n)[mates.pools] for n in range(block.roles)]
        self._adds: dict[tuple[int, int], Floats] = {}
        self._reads: dict[int, tuple[Floats, Floats]] = {}

    def others(self, role: int, among_mates: bool) -> Iterator[Floats]:
        """The most that all other roles add beside each pool as a strand of one, with what both threads read and what
        they are kindred to it: arrays (k,), each of them a bound, the quickest first."""
        block, roles = self.block, self.block.roles
        apart = [other for other in range(roles) if other != role]
        reads = self.reads if role in block.touching else block.contrast
        yield self._sum(apart, roles - 2, among_mates) + self.w_contrast * reads
        for other in apart:
            if not block.touches(role, other):
                continue
            further = [one for one in apart if one != other]
            # All further roles beside this one.
            yield self._sum(further, roles - 2, among_mates) + self._read(other, among_mates)
            # All further roles beside the other, and half of what they hope for from this one.
            of_mates, of_strangers = self._reading(self.thread[other] + self._beside_all(further, among_mates))
            if among_mates:
                yield np.maximum(of_mates, of_strangers + self.strange) + self._most[roles - 2]
            else:
                yield of_strangers + self.strange * (roles - 1)

    def _sum(self, further: list[int], others: int, among_mates: bool) -> Floats:
        """What some roles add, each beside this one."""
        found = np.zeros(len(self.mates.pools))
        for one in further:
            found = found + (self._add(one, others) if among_mates else self._best(one, others) + self.strange)
        return found

    def _beside_all(self, further: list[int], among_mates: bool) -> Floats:
        """What some roles add beside each pool of another; of strangers none hopes for anything from this one."""
        found = np.zeros(len(self.mates.pools))
        for one in further:
            found = found + self._add(one, self.block.roles - (2 if among_mates else 3))
        return found

    def _best(self, role: int, others: int) -> float:
        return float((self.worth[role] + self._most[others]).max(initial=-np.inf))

    def _add(self, role: int, others: int) -> Floats:
        """The most that a role adds beside each pool: the best of its mates, or the best of all as a stranger."""
        if (role, others) not in self._adds:
            worth = self.worth[role] + self._most[others]
            of_mates = self.mates.best(worth[self.mates.second] + self.kin)
            self._adds[role, others] = np.maximum(of_mates, worth.max(initial=-np.inf) + self.strange)
        return self._adds[role, others]

    def _read(self, role: int, among_mates: bool) -> Floats:
        """The most that a role which touches adds beside each pool, with what it reads."""
        if role not in self._reads:
            self._reads[role] = self._reading(self.thread[role] + self._most[self.block.roles - 2])
        of_mates, of_strangers = self._reads[role]
        strangers = of_strangers + self.strange
        return np.maximum(of_mates, strangers) if among_mates else strangers

    def _reading(self, adds: Floats) -> tuple[Floats, Floats]:
        """Beside each pool the most that others add and read, of its mates (k,) and of all as strangers (k,)."""
        reads = np.minimum(self._hopes, self.block.contrast)
        reads = np.where(reads >= self.block.least, self.w_contrast * reads, -np.inf)
        of_mates = self.mates.best(adds[self.mates.second] + self.kin + reads)
        any_at_all = adds.max(initial=-np.inf) + self.w_contrast * self.block.contrast
        of_strangers = self.bins.with_companion(0, self.bins.best(1, slice(None), adds))
        return of_mates, np.where(self.stays, of_strangers, any_at_all)

    @cached_property
    def _hopes(self) -> Floats:
        return self.block.searcher.strand_reads(self.block.window)
