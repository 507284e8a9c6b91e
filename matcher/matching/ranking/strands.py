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

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.mates import Beside, Mates
from matcher.matching.ranking.thin import OfSize, Thin, could_be_strands

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class StrandWorth:
    """What each thin pool adds at most as a strand of one role, less what no companions in the other roles can add:
    arrays (m,); in a thread of which all strands are listed as mates, and in any other; and in one of these that has no
    strand which reads by lightness beside what must be used, see `Held.plainly`."""

    of_mates: Floats
    of_strangers: Floats
    dimly: Floats
    plainly: Flags

    @cached_property
    def most(self) -> Floats:
        """In whatever thread."""
        return np.maximum(self.of_mates, self.of_strangers)

    def only(self, could: Flags) -> StrandWorth:
        """The same of some pools, nothing of the others. could : (m,), which."""
        of_mates, of_strangers, dimly = (
            np.where(could, worth, -np.inf) for worth in (self.of_mates, self.of_strangers, self.dimly)
        )
        return replace(self, of_mates=of_mates, of_strangers=of_strangers, dimly=dimly)


def strands_beside(thin: Thin, of_size: OfSize, size: int, mates: Mates, bar: float) -> list[StrandWorth]:
    """For each role what strands add; the mean over a thread's strands, with the tops of all other roles, is never
    below what an assignment with this thread scores, the part `together` apart. Where it could pass no bar, nothing.

    mates : the pairs of pools that suit the gauge or are thin enough.
    """
    beside = _Beside(thin, of_size, size, mates)
    found = []
    for role, among in enumerate(of_size.at):
        rest = float(of_size.tops[:role].sum() + of_size.tops[role + 1 :].sum())
        both = []
        plainly, dim = of_size.held.plainly(role, thin.pools)
        most = of_size.contrast
        ways = [(True, most), (False, most), (False, min(dim, most))]
        for among_mates, contrast in ways if plainly.any() else ways[:2]:
            at, worth = among, np.minimum(of_size.whole[role], of_size.traded[role] + beside.w_contrast * contrast)
            traded = of_size.traded[role] + beside.known(role, among_mates)[at]
            for others in beside.others(role, among_mates, contrast) if len(at) else ():
                worth = np.minimum(worth, traded + others(_Strands(mates, mates.of[thin.pools[at]])) - rest)
                left = could_be_strands(worth, bar - rest)
                at, worth, traded = at[left], worth[left], traded[left]
                if not len(at):
                    break
            whole = np.full(len(thin.pools), -np.inf)
            whole[at] = worth
            both.append(whole)
        found.append(StrandWorth(both[0], both[1], both[-1], plainly))
    return found


@dataclass(frozen=True)
class _Strands:
    """Some pools (m,), as places among the k of the mates."""

    mates: Mates
    at: Indexes

    @cached_property
    def pairs(self) -> Beside:
        return self.mates.beside(self.at)

    @cached_property
    def kindred(self) -> Floats:
        """Of their pairs: array (p,)."""
        return self.mates.kindred[self.pairs.at]

    @cached_property
    def second(self) -> Indexes:
        return self.mates.second[self.pairs.at]


class _Beside:
    """What all other roles add beside one strand, over the k pools of the mates."""

    def __init__(self, thin: Thin, of_size: OfSize, size: int, mates: Mates) -> None:
        block = thin.block
        self.block, self.mates, self.held = block, mates, of_size.held
        self.share = block.pair_share
        self.strange, self.astray = self.share * mates.unlisted, self.share * mates.astray
        self.thin = mates.of[thin.pools]
        self.w_contrast = block.searcher.w_contrast
        self.reads = np.full(len(mates.pools), of_size.contrast)
        self.reads[self.thin] = np.minimum(thin.reads, of_size.contrast)
        # Strands first, then what could be in a thread that touches theirs.
        self.stays = block.here.strand_ends()[1]
        self._of_size, self._size, self._pools = of_size, size, thin.pools
        self._adds: dict[tuple[int, int], Floats] = {}
        self._hopes: dict[int, Floats] = {}
        self._wholes: dict[tuple[int, int], tuple[Floats, float]] = {}

    def others(self, role: int, among_mates: bool, contrast: float) -> Iterator[Callable[[_Strands], Floats]]:
        """The most that all other roles add beside pools (m,) of the k as strands of one, with what both threads read
        and what they are kindred to it: arrays (m,), each of them a bound, the quickest first. contrast : the most that
        all read."""
        block, roles = self.block, len(self.held.among)
        if block.roles == 1:
            yield self._of_one(among_mates)
        if role == self.held.role or block.roles == 1:
            return
        apart = [other for other in self.held.among if other != role]
        reads = np.minimum(self.reads, contrast) if role in block.touching else np.full_like(self.reads, contrast)
        yield lambda some: self._sum(apart, roles - 2, among_mates, some) + self.w_contrast * reads[some.at]
        for other in apart:
            if not block.touches(role, other):
                continue
            further = [one for one in apart if one != other]
            # All further roles beside this one.
            yield partial(self._with_read, other, further, among_mates)
            # All further roles beside the other, and half of what they hope for from this one.
            yield partial(self._beside_other, other, further, among_mates)

    def _of_one(self, among_mates: bool) -> Callable[[_Strands], Floats]:
        """With one role a thread belongs to nothing but itself."""
        hoped, kindred = np.full(len(self.mates.pools), np.inf), self.held.hoped(0, self._pools)
        hoped[self.thin] = kindred if among_mates else np.minimum(kindred, self.astray[self.thin])
        return lambda some: hoped[some.at] + self.w_contrast * self._of_size.contrast

    def known(self, role: int, among_mates: bool) -> Floats:
        """What counts of each thin pool in a role besides what it adds with all its hopes: these taken off, and the
        most of the role that holds a wanted pool, to which strangers belong no further than to each other: array (m,).
        """
        held = self.held
        less = held.hoped(role, self._pools)
        if held.role is None:
            return -less
        if not among_mates:
            certain = held.certain(role, self._pools)
            less = less + np.maximum(certain - self.strange.max(initial=0.0), 0.0)
        return np.asarray((0.0 if held.role == role else self._of_size.tops[held.role]) - less)

    def _with_read(self, other: int, further: list[int], among_mates: bool, some: _Strands) -> Floats:
        whole = self._sum(further, len(self.held.among) - 2, among_mates, some)
        of_mates, of_strangers = self._reading(self._worth[other][1] + self._most(len(self.held.among) - 2), some)
        if not among_mates:
            return whole + of_strangers + self.astray[some.at]
        return whole + np.maximum(of_mates, of_strangers + self.strange[some.at])

    def _beside_other(self, other: int, further: list[int], among_mates: bool, some: _Strands) -> Floats:
        roles, strange = len(self.held.among), self.strange[some.at]
        # Of strangers none hopes for anything from this one.
        adds = self._worth[other][1]
        for one in further:
            adds = adds + self._add_all(one, roles - (2 if among_mates else 3))
        of_mates, of_strangers = self._reading(adds, some)
        if among_mates:
            return np.asarray(np.maximum(of_mates, of_strangers + strange) + self._most(roles - 2)[some.at])
        return of_strangers + self.astray[some.at] * (roles - 1)

    @cached_property
    def _worth(self) -> list[tuple[Floats, Floats]]:
        """For each role what one pool adds, `kindred` apart, as a whole thread or one strand, and what a thread adds
        that has it: two arrays (k,)."""
        held, found, pools = self.held, [], self.block.base.strands[:, 0]
        for role, by_itself in enumerate(held.alone(self._size)):
            whole, strand = (np.full(len(self.mates.pools), -np.inf) for _ in range(2))
            np.maximum.at(whole, self.mates.of[pools], by_itself - held.hoped(role, pools))
            strand[self.thin] = self._of_size.worth[role] - held.hoped(role, self._pools)
            found.append(
                (np.maximum(whole, strand), np.maximum(whole, (2.0 * strand.max(initial=-np.inf) + strand) / 3.0))
            )
        return found

    def _most(self, others: int) -> Floats:
        """The most that each pool hopes for from so many others: array (k,)."""
        if others not in self._hopes:
            most = self.block.searcher.stock.kindred.most(others)[self.mates.pools]
            self._hopes[others] = np.asarray(0.5 * self.share * most)
        return self._hopes[others]

    def _whole(self, role: int, others: int) -> tuple[Floats, float]:
        """What each pool adds to a role, with what it hopes for from so many others: (k,); and the most of all."""
        if (role, others) not in self._wholes:
            worth = self._worth[role][0] + self._most(others)
            self._wholes[role, others] = worth, float(worth.max(initial=-np.inf))
        return self._wholes[role, others]

    def _sum(self, further: list[int], others: int, among_mates: bool, some: _Strands) -> Floats:
        """What some roles add, each beside this one."""
        if among_mates:
            return np.asarray(sum(self._add(one, others, some) for one in further) + np.zeros(len(some.at)))
        best = sum(self._whole(one, others)[1] for one in further)
        return best + len(further) * self.astray[some.at]

    def _add(self, role: int, others: int, some: _Strands) -> Floats:
        """The most that a role adds beside pools: the best of its mates, or the best of all as a stranger."""
        worth, best = self._whole(role, others)
        of_mates = some.pairs.best(worth[some.second] + self.share * some.kindred)
        return np.maximum(of_mates, best + self.strange[some.at])

    def _add_all(self, role: int, others: int) -> Floats:
        if (role, others) not in self._adds:
            self._adds[role, others] = self._add(role, others, _Strands(self.mates, np.arange(len(self.mates.pools))))
        return self._adds[role, others]

    def _reading(self, adds: Floats, some: _Strands) -> tuple[Floats, Floats]:
        """Beside pools (m,) the most that others add and read, of their mates (m,) and of all as strangers (m,)."""
        block = self.block
        reads = np.minimum(block.here.strand_reads(some.pairs.at), block.contrast)
        reads = np.where(reads >= block.least, self.w_contrast * reads, -np.inf)
        of_mates = some.pairs.best(adds[some.second] + self.share * some.kindred + reads)
        any_at_all = adds.max(initial=-np.inf) + self.w_contrast * block.contrast
        bins = block.here.strand_bins(block.least, block.contrast)
        of_strangers = bins.with_companion(0, bins.best(1, slice(None), adds), at=some.at)
        return of_mates, np.where(self.stays[some.at], of_strangers, any_at_all)
