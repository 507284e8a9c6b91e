"""What the roles still to be filled could add, where there is no table of all pairs of candidates.

Few pools belong together: those pairs are looked at one by one. All others count as strangers, which read as well as
their lightness allows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import DECIDED
from matcher.matching.ranking.bins import highest_of_each
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import ranges
from matcher.matching.ranking.role_list import RoleList

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# So many figures, a few of beginnings for all of a list, are worked out at once, for the sake of memory.
_CELLS = 1_000_000


@dataclass(frozen=True)
class _Beside:
    """The most that a later role could add in each size beside each choice of an earlier one, array (S, m); and the
    same with the part `contrast`, where the two touch; and without it, where lightness alone tells them apart."""

    adds: Floats
    reading: Floats | None
    plainly: Floats


class Companions:
    """The roles of a search in the order in which they are filled.

    given : a list for each role, with each pair's `kindred` counted where the second of the two is filled. floor : what
    all roles must add, contrast included, to beat the bar.
    lists : the same without those that find no companions with whom they could, in the order of what all could add.
    """

    def __init__(self, block: Block, given: Sequence[RoleList], with_marls: bool, floor: float) -> None:
        searcher = block.searcher
        self.block, self.mates = block, searcher.mates(block.window, with_marls)
        mates = self.mates
        self.kin = block.pair_share * mates.kindred
        self.tops = [one.tops for one in given]
        self._strands = [mates.of[one.choices.strands[:, : one.choices.pools]] for one in given]
        # What each could be kindred to others that are no listed mates of all its strands.
        self._strange = [block.pair_share * mates.unlisted[one].max(axis=1) for one in self._strands]
        self._beside: dict[tuple[int, int], _Beside] = {}
        self._worth_apart: dict[tuple[int, int], tuple[Floats, Floats]] = {}
        self._places: dict[int, tuple[Indexes, Indexes]] = {}
        # What mates could add by their contrast; as strands of a marl they tell little of how it reads.
        self._hopes: Floats | None = None
        self._plain: Floats | None = None
        if not with_marls:
            hopes = np.minimum(searcher.mate_reads(block.window), block.contrast)
            self._plain = np.where((hopes > DECIDED) & (hopes >= block.least), 0.0, -np.inf)
            self._hopes = np.where(hopes >= block.least, searcher.w_contrast * hopes, -np.inf)
        self.lists = list(given)
        if not all(len(role.order) for role in given):
            return
        self.bins = block.bins_of([one.choices for one in given])
        for depth in reversed(range(len(given))):
            self.lists[depth] = self._ordered(depth, given[depth], floor)
            self.tops[depth] = self.lists[depth].tops
            if not len(self.lists[depth].order):
                return
            if depth:
                self._look_back(depth, self.lists[depth])
        self._ordered_strands = [one[role.order] for one, role in zip(self._strands, self.lists, strict=True)]
        self._ordered_bins = [one[:, role.order] for one, role in zip(self.bins.of, self.lists, strict=True)]

    def _look_back(self, later: int, role: RoleList) -> None:
        """What a role could add beside each choice of the roles before it."""
        block, mates = self.block, self.mates
        # One pair less is hoped for: that with the earlier role.
        hoped = np.minimum(block.kindred(role.choices, later - 1)[role.order], role.kindred)
        worth = role.worth - role.kindred + hoped
        by_pool = highest_of_each(self._strands[later][role.order].T, worth, len(mates.unlisted))
        beside = by_pool[:, mates.second] + self.kin
        best, of_mates = worth.max(axis=1, keepdims=True, initial=-np.inf), mates.best(beside)
        read_by_mates, plain_by_mates = (
            mates.best(beside + reads) if reads is not None else of_mates for reads in (self._hopes, self._plain)
        )
        by_lightness = self.bins.best(later, role.order, worth)
        for earlier in range(later):
            choices = self.lists[earlier].choices
            own_kin = block.pair_share * choices.kindred
            with_mates = of_mates[:, self._strands[earlier]].min(axis=2)
            strangers = best + self._strange[earlier]
            adds = np.minimum(np.maximum(strangers, with_mates), np.minimum(role.tops[:, None], best + own_kin))
            if not block.touches(self.lists[earlier].role, role.role):
                self._beside[earlier, later] = _Beside(adds, None, adds)
                continue
            reads = self.bins.with_companion(earlier, by_lightness)
            plainly = self.bins.with_companion(earlier, by_lightness, plainly=True) + self._strange[earlier]
            if self._hopes is not None:
                plainly = np.maximum(plainly, plain_by_mates[:, self._strands[earlier][:, 0]])
                with_mates = read_by_mates[:, self._strands[earlier][:, 0]]
            else:
                plainly = np.maximum(plainly, with_mates)
                with_mates = with_mates + block.searcher.w_contrast * block.limit(choices)
            reading = np.maximum(reads + self._strange[earlier], with_mates)
            self._beside[earlier, later] = _Beside(
                adds, np.minimum(reading, reads + own_kin), np.minimum(plainly, adds)
            )

    def _ordered(self, depth: int, role: RoleList, floor: float) -> RoleList:
        """A role's candidates that could beat the bar, with what they, and companions in the roles filled later, could
        add."""
        sizes, number = np.arange(len(role.worth)), len(role.order)
        nothing, every = np.zeros((len(sizes), 0), dtype=np.intp), np.repeat(sizes, number)
        each, reads = np.tile(role.order, len(sizes)), np.tile(role.reads, len(sizes))
        added, _ = self._most(depth, sizes, nothing, every, each, reads)
        later = np.sum(self.tops[depth + 1 :], axis=0) + np.zeros(len(sizes))
        with np.errstate(invalid="ignore"):  # of a size of which another role has nobody, nothing is left
            most = np.fmin(role.most, role.most + added.reshape(role.most.shape) - later[:, None])
            others = np.sum(self.tops[:depth], axis=0) + later
            could = np.isfinite(most) & (most + others[:, None] > floor)
        worth, most = (np.where(could, one, -np.inf) for one in (role.worth, most))
        return replace(role, worth=worth, most=most).only(could.any(axis=0))

    def possible(self, role: RoleList, size: Indexes, taken: Indexes, gaps: Floats) -> tuple[Indexes, Indexes]:
        """Who in the next role's list could add more than a gap beside those taken: strangers, or mates.

        size, taken : (k,), (k, depth), of several beginnings the size and what they have taken. gaps : (k,). Returned:
        for which of them, and places in the list: arrays (m,).
        """
        at_once = max(1, _CELLS // max(1, len(role.order)))
        several = [
            self._possible(role, size[some], taken[some], gaps[some])
            for some in (slice(start, start + at_once) for start in range(0, len(taken), at_once))
        ]
        who = [start * at_once + one for start, (one, _) in enumerate(several)]
        return np.concatenate(who), np.concatenate([place for _, place in several])

    def _possible(self, role: RoleList, size: Indexes, taken: Indexes, gaps: Floats) -> tuple[Indexes, Indexes]:
        depth, mates = taken.shape[1], self.mates
        reads, strands = self.block.searcher.w_contrast * role.reads[None], self._ordered_strands[depth]
        first, second = self._ordered_bins[depth]
        for before, ones in enumerate(taken.T):
            gaps = gaps - self._strange[before][ones]
            if self.block.touches(self.lists[before].role, role.role):
                of_bins = self.bins.adds[self.bins.of[before][:, ones]].max(axis=0)
                reads = np.minimum(reads, np.maximum(of_bins[:, first], of_bins[:, second]))
        keep = (role.worth - role.kindred)[size] + reads > gaps[:, None]
        order, starts = self._by_pool(depth)
        for before, ones in enumerate(taken.T):
            own = self._strands[before][ones, 0]
            beside = mates.beside(own)
            pools = mates.second[beside.at]
            lengths = starts[pools + 1] - starts[pools]
            who = np.repeat(beside.whose, lengths)
            place = order[ranges(starts[pools], lengths)]
            if strands.shape[1] > 1:  # its other strands too
                all_are = (mates.find(own[who][:, None], strands[place]) < len(mates.first)).all(axis=1)
                who, place = who[all_are], place[all_are]
            keep[who, place] = True
        who, place = np.nonzero(keep)
        return who, place

    def _by_pool(self, depth: int) -> tuple[Indexes, Indexes]:
        """Places in a role's list by their first pool, and where each pool's begin."""
        if depth not in self._places:
            pools = self._ordered_strands[depth][:, 0]
            order = np.argsort(pools, kind="stable")
            self._places[depth] = order, np.searchsorted(pools[order], np.arange(len(self.mates.pools) + 1))
        return self._places[depth]

    def most(self, size: Indexes, taken: Indexes, who: Indexes, at: Indexes, contrast: Floats) -> tuple[Floats, Floats]:
        """As `Ahead.most`, looser: each later role beside the one of those taken that leaves it least."""
        return self._most(taken.shape[1], size, taken, who, at, contrast)

    def _most(
        self, depth: int, size: Indexes, taken: Indexes, who: Indexes, at: Indexes, contrast: Floats
    ) -> tuple[Floats, Floats]:
        w_contrast, of = self.block.searcher.w_contrast, size[who]
        added, later_added, cost, plain = (np.zeros(len(at)) for _ in range(4))
        beside_all = self._beside_all(size, taken, who, at) if taken.size else {}
        for later in range(depth + 1, len(self.tops)):
            here = self._beside[depth, later]
            adds, reading = here.adds[of, at], None if here.reading is None else here.reading[of, at]
            plainly = here.plainly[of, at]
            for before, ones in enumerate(taken.T):
                there, one = self._beside[before, later], ones[who]
                adds, plainly = np.minimum(adds, there.adds[of, one]), np.minimum(plainly, there.plainly[of, one])
                if there.reading is not None:
                    least = there.reading[of, one]
                    reading = np.minimum(reading, least) if reading is not None else least
            if beside_all:
                adds = np.minimum(adds, beside_all[later])
                plainly = np.minimum(plainly, adds)
            added += adds
            plain += plainly
            if later > depth + 1:
                later_added += adds
            if reading is not None:
                with np.errstate(invalid="ignore"):  # where nobody is left, nothing is added and no cost matters
                    cost = np.fmax(cost, adds + w_contrast * contrast - reading)
        # All that touch read better than hue could make them, or the contrast is no more than hue could make it.
        with np.errstate(invalid="ignore"):
            hue = added - w_contrast * np.maximum(contrast - DECIDED, 0.0)
            most = np.fmin(added - cost, np.fmax(hue, np.where(contrast > DECIDED, plain, -np.inf)))
        return most, later_added

    def _beside_all(self, size: Indexes, taken: Indexes, who: Indexes, at: Indexes) -> dict[int, Floats]:
        """The most that each later role could add beside all of those taken and each of `at`, array (m,): as a stranger
        to all of them, as a mate of some that are taken, or as a mate of the one at `at`.

        Mates are looked at one by one, and count with each pair; of pairs that are not listed the most is hoped for.
        """
        depth, mates = taken.shape[1], self.mates
        own, strange = self._strands[depth][at], self._strange[depth][at]
        # The mates of those taken, and of each strand of those at `at`: whose they are, which pool, and all their kin.
        of_taken = [mates.beside(self._strands[before][ones, 0]) for before, ones in enumerate(taken.T)]
        for before, ones in enumerate(taken.T):
            strange = strange + self._strange[before][ones[who]]
        whose = np.concatenate([one.whose for one in of_taken])
        pools = mates.second[np.concatenate([one.at for one in of_taken])]
        kin = self._kin_of_all(taken[whose], pools)
        with_own = mates.beside(own.ravel())
        mate, beginning = mates.second[with_own.at], who[with_own.whose // own.shape[1]]
        kin_with_own = self.kin[with_own.at] + self._kin_of_all(taken[beginning], mate)
        found = {}
        for later in range(depth + 1, len(self.tops)):
            best, by_pool = self._apart(later, depth)
            beside_taken = highest_of_each(whose[None], by_pool[size[whose], pools] + kin, len(taken))
            of_mates = with_own.best(by_pool[size[beginning], mate] + kin_with_own)
            beside_taken = np.maximum(beside_taken, best[size])
            found[later] = np.maximum(of_mates.reshape(own.shape).min(axis=1), beside_taken[who]) + strange
        return found

    def _kin_of_all(self, taken: Indexes, pools: Indexes) -> Floats:
        """How far pools belong to all that each stands beside, as far as that is listed: taken (q, depth), pools (q,);
        minus infinity for one that is taken itself."""
        kin = np.zeros(len(pools))
        listed = np.append(self.kin, 0.0)
        for before, ones in enumerate(taken.T):
            strands = self._strands[before][ones]
            kin += listed[self.mates.find(strands[:, 0], pools)]
            kin[(strands == pools[:, None]).any(axis=1)] = -np.inf  # no pool serves twice
        return kin

    def _apart(self, later: int, depth: int) -> tuple[Floats, Floats]:
        """What a later role adds in each size without its pairs with the roles up to a depth: the most of all (S,), and
        of each pool (S, k)."""
        if (later, depth) not in self._worth_apart:
            role = self.lists[later]
            hoped = self.block.kindred(role.choices, later - depth - 1)[role.order]
            worth, strands = role.worth - role.kindred + hoped, self._strands[later][role.order]
            by_pool = highest_of_each(strands.T, worth, len(self.mates.pools))
            self._worth_apart[later, depth] = worth.max(axis=1, initial=-np.inf), by_pool
        return self._worth_apart[later, depth]
