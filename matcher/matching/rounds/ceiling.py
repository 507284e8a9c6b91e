"""The most that an assignment could score, with a pool of a cell in it: over all sizes and roles of one block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import tex_range
from matcher.matching.ranking.blocks import most_of_all
from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.found import SLACK
from matcher.matching.ranking.jointly import part_of_chance, parts_of_chance
from matcher.matching.ranking.mates import mates_of
from matcher.matching.ranking.score import leftover_value, use_value
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds.cells import Cells
from matcher.matching.rounds.tops import Tops
from matcher.matching.variants import Variant, least_colours
from matcher.materials.uncertain import margin, normal_chance

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# A chance from the table of the normal distribution is within half of this of the true one, and so of a sum over the
# tensions.
_NEARLY = 1e-7


@dataclass(frozen=True)
class Adds:
    """What cells add to the roles of a block at most, arrays (roles, sizes, m), -inf where none of them will do.

    worth : use, leftover and the share of kindred, as in `blocks.Merit`; traded : with the chance. shared : with what a
    role brings to the chance of all, see `jointly`. looks : what contrast and together come to at most.
    """

    worth: Floats
    traded: Floats
    shared: Floats
    looks: Floats

    @property
    def each(self) -> tuple[Floats, ...]:
        """All four."""
        return self.worth, self.traded, self.shared, self.looks


@dataclass(frozen=True)
class Heights:
    """How high a block reaches. most : (sizes,), the most of any assignment.

    at : (k,) cells; of : (k, roles, sizes), the most of an assignment with one of that cell in that role.
    """

    most: Floats
    at: Indexes
    of: Floats


class Ceiling:
    """One block, to be held against cells. beyond : what its roles come to in other parts of the stock, None for one
    that is whole."""

    def __init__(
        self, searcher: Searcher, variants: Sequence[Variant], least: float, beyond: Tops | None = None
    ) -> None:
        self.searcher, self.variants, self.least, self.beyond = searcher, tuple(variants), least, beyond
        first = variants[0]
        self.edges, self.roles = first.edges, len(first.filled)
        self.touching = [any(role in edge for edge in first.edges) for role in range(self.roles)]
        self.next_to_skin = first.accessory.next_to_skin
        self.window = tex_range(first.gauge, searcher.constants)
        self.length, self.shared, self.private, self.weight = (
            np.stack([getattr(one, name) for one in variants], axis=1)[:, :, None]
            for name in ("length_m", "shared_sd", "own_sd", "weight")
        )
        if self.edges:
            self.contrast = searcher.colours.most(least_colours(self.roles, self.edges))
        else:
            self.contrast = searcher.ranking.one_colour_contrast
        self.parts = parts_of_chance(self.weight[:, :, 0].mean(axis=1))
        pairs = max(1, self.roles * (self.roles - 1) // 2)
        self.pair_share = searcher.w_kindred / (pairs + searcher.ranking.strange_pairs)
        self.most = -np.inf if self.edges and self.contrast < least else most_of_all(searcher, first)

    def alone(self, cells: Cells, among: Indexes) -> tuple[Indexes, Floats]:
        """Cells of which some could be a thread of one pool, and of how many strands."""
        (low, high), least, most = self.window, cells.least_tex[among], cells.most_tex[among]
        found = [
            among[(most * strands >= low) & (least * strands <= high)]
            for strands in range(1, self.searcher.most_strands + 1)
        ]
        return np.concatenate(found), np.repeat(np.arange(1.0, 1.0 + len(found)), [len(one) for one in found])

    def as_threads(self, cells: Cells, at: Indexes, count: Floats) -> Adds:
        """Cells as whole threads, of so many strands each."""
        searcher = self.searcher
        adds = self._strands(cells, at, count)
        if self.roles > 1:
            kindred = self.pair_share / 2.0 * cells.kin(self.roles - 1)[at]
        else:
            kindred = np.full(len(at), searcher.w_kindred * searcher.ranking.one_lot_kindred)
        together = np.minimum(1.0, cells.on_skin[at]) if self.next_to_skin else np.ones(len(at))
        return self._with_reading(adds, cells.reads[at], kindred, searcher.w_together * together)

    def as_strands(self, cells: Cells, at: Indexes) -> Adds:
        """Cells as one strand, or two, of a thread of several pools."""
        once, twice = (self._strands(cells, at, np.full(len(at), count)) for count in (1.0, 2.0))
        both = Adds(*(np.maximum(a, b) for a, b in zip(once.each, twice.each, strict=True)))
        kindred = self.pair_share / min(2, self.roles) * cells.kin(max(1, self.roles - 1))[at]
        # A strand may be so thin that it sets no limit.
        return self._with_reading(both, np.ones(len(at)), kindred, np.zeros(len(at)))

    def _strands(self, cells: Cells, at: Indexes, count: Floats) -> Adds:
        """Use, leftover and (traded) the chance, as `Block.strands` has them."""
        searcher, rules = self.searcher, self.searcher.ranking
        need = self.length * count
        least_m, most_m = cells.least_m[at], cells.most_m[at]
        variance = cells.log_sd[at] ** 2 + self.private**2 + self.shared**2
        z = margin(most_m, need) / np.sqrt(variance)
        wasted = np.where(cells.carries[at] & (count > 1), rules.doubled_use, 1.0)
        use = wasted * use_value(need, least_m, cells.scarcity[at])
        left = np.where(
            most_m - need >= cells.least_usable[at], 1.0, leftover_value(least_m - need, cells.most_usable[at])
        )
        worth = self.weight * (rules.weight_use * use + rules.weight_leftover * left)
        able = (cells.able_on_skin if self.next_to_skin else cells.able)[at]
        worth = np.where(able & (z >= searcher.least_z - _NEARLY), worth, -np.inf)
        traded = worth + searcher.w_sure * (normal_chance(z) + _NEARLY)
        shared = traded
        if self.roles > 1:
            share = self.shared**2 / variance
            parts = [part_of_chance(*of_role) for of_role in zip(z, share, self.parts, strict=True)]
            shared = worth + searcher.w_sure * np.stack(parts)
        return Adds(worth, traded, shared, np.zeros_like(worth))

    def _with_reading(self, adds: Adds, reads: Floats, kindred: Floats, together: Floats) -> Adds:
        """With kindred and what the cells may read: those that read against nothing are left out."""
        searcher, looks = self.searcher, np.empty_like(adds.worth)
        worth, traded, shared = (one + kindred for one in (adds.worth, adds.traded, adds.shared))
        for role in range(self.roles):
            if self.touching[role]:
                for one in (worth, traded, shared):
                    one[role, :, reads < self.least] = -np.inf
            reading = np.minimum(reads, self.contrast) if self.touching[role] else self.contrast
            looks[role] = together + searcher.w_contrast * reading
        return Adds(worth, traded, shared, looks)

    def plain(self, cells: Cells, among: Indexes) -> Heights:
        """With a thread of one pool in every role. among : the cells to look at, as in `marled`."""
        at, count = self.alone(cells, among)
        adds = self.as_threads(cells, at, count)
        heights = self._of_threads(at, adds)
        if self.roles > 1 and cells.groups.single and self.searcher.w_kindred and len(at):
            np.minimum(heights.of, self._beside_mates(cells, at, adds), out=heights.of)
        return heights

    def _beside_mates(self, cells: Cells, at: Indexes, adds: Adds) -> Floats:
        """As `Heights.of`, for pools: another role adds the best of a pool's mates, or of all others as strangers."""
        pools, place = np.unique(cells.groups.order[at], return_inverse=True)
        mates = mates_of(pools, self.searcher.stock.kindred)
        every, but_one = (0.5 * self.pair_share * cells.kin(self.roles - less)[at] for less in (1, 2))
        added = []
        for role in range(self.roles):
            shared = adds.shared[role] + (but_one - every)
            added.append(np.empty_like(shared))
            for size, of_size in enumerate(shared):
                by_pool = np.full(len(pools), -np.inf)
                np.maximum.at(by_pool, place, of_size)
                of_mates = mates.best(by_pool[mates.second] + self.pair_share * mates.kindred)
                strangers = by_pool.max() + self.pair_share * mates.unlisted
                added[-1][size] = np.maximum(strangers, of_mates)[place]
                if self.beyond is not None:
                    elsewhere = self.beyond.shared[role, size] + self.pair_share * cells.away(pools[place])
                    np.maximum(added[-1][size], elsewhere, out=added[-1][size])
        whole = [
            own - every + sum(one for other, one in enumerate(added) if other != role)
            for role, own in enumerate(adds.shared + adds.looks)
        ]
        return np.moveaxis(np.stack(whole), 2, 0) + SLACK

    def _of_threads(self, at: Indexes, adds: Adds) -> Heights:
        """The least of three bounds: the chance of all is no more than that of the role itself, nor than that of one
        other, nor than what all roles share of it (`jointly`)."""
        whole, beyond = adds.traded + adds.looks, self.beyond
        tops, trades, shares = (_top(one) for one in (adds.worth, whole, adds.shared))
        if beyond is not None:
            above = (beyond.worth, beyond.whole, beyond.shared)
            tops, trades, shares = (np.maximum(a, b) for a, b in zip((tops, trades, shares), above, strict=True))
        of, mosts = np.empty(adds.worth.shape), []
        for role in range(self.roles):
            others = _sum_of_others(tops, role)
            of[role] = np.minimum(
                whole[role] + others[:, None],
                adds.shared[role] + adds.looks[role] + _sum_of_others(shares, role)[:, None],
            )
            for other in range(self.roles):
                if other != role:
                    rest = _sum_of_others(tops, role, other) + trades[other]
                    of[role] = np.minimum(of[role], adds.worth[role] + rest[:, None])
            mosts.append(of[role].max(axis=1, initial=-np.inf))
        # Where all roles are filled from here, none of them may be ruled out.
        most = np.min(mosts, axis=0) if beyond is None else np.max(mosts, axis=0)
        return Heights(most + SLACK, at, np.moveaxis(of, 2, 0) + SLACK)

    def tops(self, cells: Cells) -> Tops:
        """What the roles come to over all cells, whatever else there is to read against."""
        searcher = self.searcher
        looks = searcher.w_together + searcher.w_contrast * (
            1.0 if self.edges else searcher.ranking.one_colour_contrast
        )
        at, count = self.alone(cells, np.arange(len(cells)))
        alone = self.as_threads(cells, at, count)
        worth, whole, shared = _top(alone.worth), _top(alone.traded) + looks, _top(alone.shared)
        if searcher.most_strands == 1:
            return Tops(worth, whole, shared, *[np.full(worth.shape, -np.inf)] * 2)
        strands = self.as_strands(cells, np.flatnonzero(cells.least_tex < self.window[1]))
        return Tops(worth, whole, shared, _top(strands.worth), _top(strands.traded) + looks - searcher.w_together)

    def marled(self, cells: Cells, among: Indexes) -> Heights:
        """With a thread of several pools in one role at least."""
        at, count = self.alone(cells, among)
        thin = among[cells.least_tex[among] < self.window[1]]
        alone, strands = self.as_threads(cells, at, count), self.as_strands(cells, thin)
        traded = strands.traded + strands.looks
        tops, marl = np.maximum(_top(alone.worth), _top(strands.worth)), _top(traded)
        if self.beyond is not None:
            tops = np.maximum(tops, np.maximum(self.beyond.worth, self.beyond.strand_worth))
            marl = np.maximum(marl, self.beyond.strand_whole)
        whole = self.searcher.w_together * self.searcher.rules.marl_factor + SLACK
        most, of = np.full(tops.shape[1], -np.inf), np.full(alone.worth.shape, -np.inf)
        as_strand = np.full(strands.worth.shape, -np.inf)
        for role in range(self.roles):
            others = _sum_of_others(tops, role)
            most = np.maximum(most, marl[role] + others)
            # One strand of three at least is of this pool, the others as good as any.
            mean = (traded[role] + (STRANDS - 1) * marl[role][:, None]) / STRANDS
            as_strand[role] = mean + others[:, None]
            for other in range(self.roles):
                if other != role:
                    rest = _sum_of_others(tops, role, other) + marl[other]
                    of[role] = np.maximum(of[role], alone.worth[role] + rest[:, None])
        both = np.concatenate([of, as_strand], axis=2)
        return Heights(most + whole, np.concatenate([at, thin]), np.moveaxis(both, 2, 0) + whole)

    @property
    def most_marled(self) -> float:
        """The most that any assignment of any bin could score with such a thread."""
        searcher = self.searcher
        less = searcher.w_together * (1.0 - searcher.rules.marl_factor) + searcher.w_contrast * (1.0 - self.contrast)
        return -np.inf if self.most == -np.inf else 1.0 + _NEARLY - less


def _top(adds: Floats) -> Floats:
    return np.asarray(adds.max(axis=2, initial=-np.inf))


def _sum_of_others(tops: Floats, *roles: int) -> Floats:
    """What all roles but these are worth at most: array (sizes,)."""
    left = [top for role, top in enumerate(tops) if role not in roles]
    return np.asarray(sum(left, np.zeros(tops.shape[1])))
