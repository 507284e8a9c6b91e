"""A closer bound on one size of a block, one pool in each role: of those candidates alone that could beat the bar."""

from __future__ import annotations

from functools import cached_property
from itertools import combinations

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import DECIDED
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.found import SLACK
from matcher.matching.ranking.searcher import DENSE

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Of more pairs of lightness than this that are told apart, no look at all that touch a ground is taken. It changes how
# long a search takes, never what it finds.
_MOST_APART = 0.5


def closer_bounds(block: Block, bar: float, bounds: Floats) -> Floats:
    """Of the sizes whose `bounds` (s,) are above the bar closer ones; of the others the same."""
    closer = bounds.copy()
    for size in np.flatnonzero(bounds > bar).tolist():
        closer[size] = min(float(bounds[size]), closer_bound(block, size, bar))
    return closer


def closer_bound(block: Block, size: int, bar: float) -> float:
    """The most that any assignment could score, or the bar where that is more; -inf where there is none."""
    worth = block.worth_alone(slice(size, size + 1))[:, 0]
    tops = worth.max(axis=1, initial=-np.inf)
    if not np.isfinite(tops).all():
        return -np.inf
    of_size = _OfSize(block, size, bar, worth, tops)
    return max(bar, of_size.most) if all(map(len, of_size.at)) else bar


def could_beat(block: Block, worth: Floats, bar: float) -> Floats:
    """The worth (roles, ..., m) of each pool alone, -inf where it couldn't beat a bar with all else at its best."""
    tops = worth.max(axis=-1, keepdims=True, initial=-np.inf)
    with np.errstate(invalid="ignore"):  # where a role has nobody, nothing could
        rest = tops.sum(axis=0) - tops + block.searcher.w_sure
        could = [one + block.fixed(role) + rest[role] > bar - SLACK for role, one in enumerate(worth)]
    return np.where(could, worth, -np.inf)


class _OfSize:
    """One size, its candidates cut down to those that could beat the bar with all else at its best.

    at : of each role their places in the base; worth, sure : along with them, see `Merit`, the chance with its weight.
    """

    def __init__(self, block: Block, size: int, bar: float, worth: Floats, tops: Floats) -> None:
        self.block, self.size, self.bar = block, size, bar
        self.at = [np.flatnonzero(np.isfinite(one)) for one in could_beat(block, worth, bar)]
        self.worth = [one[at] for one, at in zip(worth, self.at, strict=True)]

    @property
    def most(self) -> float:
        """The least of all bounds, the quickest first; those after one that is no more than the bar are left out."""
        block = self.block
        found = np.inf
        for role, worth in enumerate(self.worth):
            trade = worth + self.sure[role] + block.fixed(role)[self.at[role]]
            found = min(found, float(trade.max()) + self._others(role))
        # Where lightness tells most colours apart it would tell nothing.
        many, several = len(block.base) > DENSE, block.roles > 2 and bool(block.edges)
        if found > self.bar and several and np.isfinite(block.bins.plain).mean() < _MOST_APART:
            found = min(found, self._hub())
        for a, b in combinations(range(block.roles), 2):
            if found > self.bar and (block.touches(a, b) or not many):
                found = min(found, (self._pair_by_lightness if many else self._pair)(a, b) + self._others(a, b))
        for three in combinations(range(block.roles), 3):
            if found > self.bar and all(block.touches(*two) for two in combinations(three, 2)):
                found = min(found, self._triple_by_lightness(three) + self._others(*three))
        return found

    @cached_property
    def sure(self) -> list[Floats]:
        block, searcher = self.block, self.block.searcher
        if searcher.near:
            return [np.zeros(len(at)) for at in self.at]
        if block.has_merits:
            return [
                np.asarray(searcher.w_sure * one.sure[self.size, at])
                for one, at in zip(block.merits, self.at, strict=True)
            ]
        chances = block.chances_of(block.supply, self.size, self.at)
        return [np.asarray(searcher.w_sure * one) for one in chances]

    @cached_property
    def tops(self) -> list[float]:
        """The most worth of each role."""
        return [float(one.max()) for one in self.worth]

    def _others(self, *roles: int) -> float:
        """The most worth of all other roles."""
        return sum(top for role, top in enumerate(self.tops) if role not in roles)

    def _one_less(self, role: int) -> Floats:
        """Their worth with one pair less of which half is hoped for."""
        return np.asarray(self.worth[role] + self.block.one_less[self.at[role]])

    def _pair_by_lightness(self, a: int, b: int) -> float:
        """As `_pair`, looser, in a time that grows with the candidates and not with their pairs.

        Strangers read as well as their lightness allows; those that belong together are looked at pair by pair.
        """
        block, searcher, bins = self.block, self.block.searcher, self.block.bins
        at, mates = self.at[a], searcher.mates(block.window, False)
        mine = self._one_less(a) + self.sure[a] + searcher.w_together * block.own[at]
        theirs = self._one_less(b)
        strange = block.pair_share * mates.unlisted[mates.of[block.base.strands[at, 0]]]
        beside = bins.with_companion(0, bins.best(0, self.at[b], theirs), at=at)
        strangers = float((mine + strange + beside).max())
        first, second, kindred, reads = block.here.mate_pairs(block.least)
        adds = block.pair_share * kindred + searcher.w_contrast * np.minimum(reads, block.contrast)
        one, other = self._in_place(a, mine), self._in_place(b, theirs)
        return max(strangers, float((one[first] + other[second] + adds).max(initial=-np.inf)))

    def _in_place(self, role: int, figures: Floats) -> Floats:
        """Figures of a role's candidates among all of the base, -inf for the others."""
        whole = np.full(len(self.block.base), -np.inf)
        whole[self.at[role]] = figures
        return whole

    def _triple_by_lightness(self, roles: tuple[int, ...]) -> float:
        """The most that three roles which all touch each other could come to."""
        searcher, two = self.block.searcher, self.block.bins.adds
        adds = np.minimum(np.minimum(two[:, :, None], two[:, None, :]), two[None])
        first, second, third = (self.block.bins.best(0, self.at[role], self.worth[role]) for role in roles)
        most = (first[:, None, None] + second[None, :, None] + third[None, None, :] + adds).max()
        return float(most) + searcher.w_sure + searcher.w_together * float(self.block.own.max())

    def _hub(self) -> float:
        """With the most that the role which touches most others could come to beside all of these.

        Either lightness tells it apart from each of them, or the contrast is no more than hue could make it: so where
        few colours stand out, a thing of many roles that all need one of them falls here.
        """
        block, searcher = self.block, self.block.searcher
        beside = [[other for other in range(block.roles) if block.touches(role, other)] for role in range(block.roles)]
        hub = max(range(block.roles), key=lambda role: len(beside[role]))
        at = self.at[hub]
        own = self.worth[hub] + self.sure[hub] + searcher.w_together * block.own[at]
        apart = own + searcher.w_contrast * block.contrast
        by_hue = float(own.max()) + searcher.w_contrast * min(block.contrast, DECIDED)
        for other in beside[hub]:
            best = block.bins.best(0, self.at[other], self.worth[other])
            apart = apart + block.bins.with_companion(0, best, plainly=True, at=at)
            by_hue += self.tops[other]
        return max(float(apart.max()), by_hue) + self._others(hub, *beside[hub])

    def _pair(self, a: int, b: int) -> float:
        """The most that two roles with all their candidates could come to, the other roles' worth apart."""
        block, searcher = self.block, self.block.searcher
        table, at = searcher.table(block.base, block.next_to_skin), np.ix_(self.at[a], self.at[b])
        constant = searcher.w_together * table.beside[at] + block.pair_share * table.kindred[at]
        if block.touches(a, b):
            hopes = table.hopes[at]
            constant += np.where(hopes >= block.least, searcher.w_contrast * hopes, -np.inf)
        else:
            constant += searcher.w_contrast * block.contrast
        # The lesser of two chances is at most their mean, which can be shared out between the roles.
        left, right = (self._one_less(role) + 0.5 * self.sure[role] for role in (a, b))
        return float(np.where(table.apart[at], left[:, None] + (right + constant), -np.inf).max())
