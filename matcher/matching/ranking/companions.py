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
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.role_list import RoleList

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class _Beside:
    """The most that a later role could add beside each choice of an earlier one, array (m,); and the same with the
    part `contrast`, where the two touch; and without it, where lightness alone tells them apart."""

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
        self.tops = [one.top for one in given]
        self._strands = [mates.of[one.choices.strands[:, : one.choices.pools]] for one in given]
        # What each could be kindred to others that are no listed mates of all its strands.
        self._strange = [block.pair_share * mates.unlisted[one].max(axis=1) for one in self._strands]
        self._beside: dict[tuple[int, int], _Beside] = {}
        self._worth_apart: dict[tuple[int, int], tuple[float, Floats]] = {}
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
            self.tops[depth] = self.lists[depth].top
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
        worth = role.worth - role.kindred + block.kindred(role.choices, later - 1)[role.order]
        by_pool = np.full(len(mates.unlisted), -np.inf)
        strands = self._strands[later][role.order]
        np.maximum.at(by_pool, strands, np.broadcast_to(worth[:, None], strands.shape))
        beside = by_pool[mates.second] + self.kin
        best, of_mates = worth.max(initial=-np.inf), mates.best(beside)
        read_by_mates, plain_by_mates = (
            mates.best(beside + reads) if reads is not None else of_mates for reads in (self._hopes, self._plain)
        )
        by_lightness = self.bins.best(later, role.order, worth)
        for earlier in range(later):
            choices = self.lists[earlier].choices
            own_kin = block.pair_share * choices.kindred
            with_mates = of_mates[self._strands[earlier]].min(axis=1)
            strangers = best + self._strange[earlier]
            adds = np.minimum(np.maximum(strangers, with_mates), np.minimum(role.top, best + own_kin))
            if not block.touches(self.lists[earlier].role, role.role):
                self._beside[earlier, later] = _Beside(adds, None, adds)
                continue
            reads = self.bins.with_companion(earlier, by_lightness)
            plainly = self.bins.with_companion(earlier, by_lightness, plainly=True) + self._strange[earlier]
            if self._hopes is not None:
                plainly = np.maximum(plainly, plain_by_mates[self._strands[earlier][:, 0]])
                with_mates = read_by_mates[self._strands[earlier][:, 0]]
            else:
                plainly = np.maximum(plainly, with_mates)
                with_mates = with_mates + block.searcher.w_contrast * block.limit(choices)
            reading = np.maximum(reads + self._strange[earlier], with_mates)
            self._beside[earlier, later] = _Beside(
                adds, np.minimum(reading, reads + own_kin), np.minimum(plainly, adds)
            )

    def _ordered(self, depth: int, role: RoleList, floor: float) -> RoleList:
        """A role's candidates in the order of what they, and companions in the roles filled later, could add."""
        added, _ = self._most(depth, (), role.order, role.reads)
        most = np.minimum(role.most, role.most + added - sum(self.tops[depth + 1 :]))
        order = np.argsort(-most, kind="stable")
        others = sum(self.tops[:depth]) + sum(self.tops[depth + 1 :])
        could = np.isfinite(most[order]) & (most[order] + others > floor)
        return replace(role, most=most).only(order[could])

    def possible(self, role: RoleList, taken: tuple[int, ...], gap: float) -> Indexes:
        """Places in the next role's list that could add more than a gap beside those taken: strangers, or mates."""
        depth, w_contrast = len(taken), self.block.searcher.w_contrast
        reads, strands = w_contrast * role.reads, self._ordered_strands[depth]
        strange = 0.0
        first, second = self._ordered_bins[depth]
        for before, one in enumerate(taken):
            strange += float(self._strange[before][one])
            if self.block.touches(self.lists[before].role, role.role):
                of_bins = self.bins.adds[self.bins.of[before][:, one]].max(axis=0)
                reads = np.minimum(reads, np.maximum(of_bins[first], of_bins[second]))
        keep = role.worth - role.kindred + reads + strange > gap
        for before, one in enumerate(taken):
            keep |= self.mates.are(int(self._strands[before][one, 0]))[strands].all(axis=1)
        return np.flatnonzero(keep)

    def most(self, taken: tuple[int, ...], at: Indexes, contrast: Floats) -> tuple[Floats, Floats]:
        """As `Ahead.most`, looser: each later role beside the one of those taken that leaves it least."""
        return self._most(len(taken), taken, at, contrast)

    def _most(self, depth: int, taken: tuple[int, ...], at: Indexes, contrast: Floats) -> tuple[Floats, Floats]:
        w_contrast = self.block.searcher.w_contrast
        added, later_added, cost, plain = (np.zeros(len(at)) for _ in range(4))
        beside_all = self._beside_all(depth, taken, at) if taken else {}
        for later in range(depth + 1, len(self.tops)):
            here = self._beside[depth, later]
            adds, reading = here.adds[at], None if here.reading is None else here.reading[at]
            plainly = here.plainly[at]
            for before, one in enumerate(taken):
                there = self._beside[before, later]
                adds, plainly = np.minimum(adds, there.adds[one]), np.minimum(plainly, there.plainly[one])
                if there.reading is not None:
                    least = there.reading[one]
                    reading = np.minimum(reading, least) if reading is not None else np.full(len(at), least)
            if taken:
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

    def _beside_all(self, depth: int, taken: tuple[int, ...], at: Indexes) -> dict[int, Floats]:
        """The most that each later role could add beside all of those taken and each of `at`, array (k,): as a stranger
        to all of them, as a mate of some that are taken, or as a mate of the one at `at`.

        Mates are looked at one by one, and count with each pair; of pairs that are not listed the most is hoped for.
        """
        mates, strands = self.mates, self._strands[depth][at]
        kin, some = np.zeros(len(mates.pools)), []
        strange = self._strange[depth][at]
        for before, one in enumerate(taken):
            low, high = np.searchsorted(mates.first, self._strands[before][one, 0] + np.arange(2))
            kin[mates.second[low:high]] += self.kin[low:high]
            some.append(mates.second[low:high])
            strange = strange + self._strange[before][one]
        of_taken = np.concatenate(some)
        for before, one in enumerate(taken):
            kin[self._strands[before][one]] = -np.inf  # no pool serves twice
        found = {}
        for later in range(depth + 1, len(self.tops)):
            best, by_pool = self._apart(later, depth)
            worth = by_pool + kin
            of_mates = mates.best(worth[mates.second] + self.kin)[strands].min(axis=1)
            found[later] = np.maximum(of_mates, max(best, float(worth[of_taken].max(initial=-np.inf)))) + strange
        return found

    def _apart(self, later: int, depth: int) -> tuple[float, Floats]:
        """What a later role adds without its pairs with the roles up to a depth: the most of all, and of each pool."""
        if (later, depth) not in self._worth_apart:
            role = self.lists[later]
            hoped = self.block.kindred(role.choices, later - depth - 1)[role.order]
            worth, strands = role.worth - role.kindred + hoped, self._strands[later][role.order]
            by_pool = np.full(len(self.mates.pools), -np.inf)
            np.maximum.at(by_pool, strands, np.broadcast_to(worth[:, None], strands.shape))
            self._worth_apart[later, depth] = float(worth.max(initial=-np.inf)), by_pool
        return self._worth_apart[later, depth]
