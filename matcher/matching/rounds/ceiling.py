"""The most that an assignment could score, with a pool of a cell in it: over all sizes and roles of one block."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import tex_range
from matcher.matching.colour_table import DECIDED
from matcher.matching.ranking.bins import LightnessBins
from matcher.matching.ranking.blocks import most_of_all
from matcher.matching.ranking.choices import ranges
from matcher.matching.ranking.found import SLACK
from matcher.matching.ranking.jointly import part_of_chance, parts_of_chance
from matcher.matching.ranking.score import leftover_value, use_value
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds.cells import Cells
from matcher.matching.rounds.groups import best_mates, sharers_of
from matcher.matching.rounds.lightness import beside_apart
from matcher.matching.rounds.threads import Adds, Heights, Threads, by_pool, numbered, sum_of_others, top_of
from matcher.matching.rounds.tops import Tops
from matcher.matching.variants import Variant, least_colours
from matcher.materials.uncertain import margin, normal_chance

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# A chance from the table of the normal distribution is within half of this of the true one, and so of a sum over the
# tensions.
NEARLY = 1e-7
# Where more than this part of some pools would be left it is not worth a look. It changes how long a search takes,
# never what it finds.
_HARDLY_FEWER = 0.8


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

    def threads(self, cells: Cells, among: Indexes, sizes: Indexes | None = None) -> Threads:
        """Some cells as whole threads, of some sizes or of all."""
        at, count = self.alone(cells, among)
        sizes = np.arange(len(self.variants)) if sizes is None else sizes
        return Threads(cells, at, count, sizes, self._kindred(cells, at), self._as_threads(cells, at, count, sizes))

    def within(self, threads: Threads, cells: Cells, bar: float = -np.inf) -> Threads:
        """The finer cells that lie within those of threads, as if each were worth as much: all of a cell suit the same
        gauges. bar : pools are left out that belong to too few others of these to be above it."""
        start = np.searchsorted(cells.groups.start, threads.cells.groups.start)
        lengths = np.diff(start)[threads.at]
        at, of = ranges(start[threads.at], lengths), np.repeat(np.arange(len(lengths)), lengths)
        if cells.groups.single and self.roles > 1 and self.pair_share and bar > -np.inf and cells.kin(1)[at].any():
            at, of = self._with_mates(threads, cells, at, of, bar)
        kindred = self._kindred(cells, at)
        less = kindred - threads.kindred[of]
        worth, traded, shared = (one[..., of] + less for one in threads.adds.each[:3])
        adds = Adds(worth, traded, shared, threads.adds.looks[..., of])
        return Threads(cells, at, threads.count[of], threads.sizes, kindred, adds)

    def _with_mates(
        self, threads: Threads, cells: Cells, at: Indexes, of: Indexes, bar: float
    ) -> tuple[Indexes, Indexes]:
        """Of pools that lie within threads those that could be above a bar, where there are no mates but these.

        Over all sizes at once: each role is held against the most that a stranger adds to it.
        """
        spare, less = self._beside_strangers(threads, bar)
        at, of = self._near_the_rare(threads, spare, less, cells, at, of)
        lacking, before = -spare.max(axis=0), 2 * len(at)
        while len(at) < 0.9 * before:
            before = len(at)
            pools, place = numbered(cells, at)
            most, away = self.searcher.stock.kindred.most_among(pools, self.roles - 1), cells.away(pools)
            most = away * (self.roles - 1) + (1.0 - away) * most
            enough = self.pair_share * most[place] >= lacking[of]
            at, of = at[enough], of[enough]
        before = 2 * len(at)
        own, mine = spare[:, of], less[:, of] + 0.5 * self.pair_share * cells.kin(self.roles - 2)[at]
        while len(at) < 0.9 * before:
            before = len(at)
            pools, place = numbered(cells, at)
            of_pool = by_pool(mine, threads.count[of], place, len(pools))
            gain = best_mates(of_pool, sharers_of(pools, self.searcher.stock.kindred), self.pair_share)
            gain = np.maximum(gain, np.maximum(0.0, self.pair_share * cells.away(pools)))[:, place]
            could = own + (gain.sum(axis=0) - gain) >= -SLACK
            left = could.any(axis=0)
            at, of, own = at[left], of[left], np.where(could, own, -np.inf)[:, left]
            mine = np.where(could, mine, -np.inf)[:, left]
        return at, of

    def _near_the_rare(
        self, threads: Threads, spare: Floats, less: Floats, cells: Cells, at: Indexes, of: Indexes
    ) -> tuple[Indexes, Indexes]:
        """Of pools that lie within threads those that could be in a role which few could be in, or belong to one of
        these, or need nobody there that belongs to them."""
        mine = less + 0.5 * self.pair_share * threads.cells.kin(self.roles - 2)[threads.at]
        gain = np.maximum(0.0, mine.max(axis=1) + self.pair_share)
        if self.beyond is not None:
            gain = np.maximum(gain, self.pair_share)
        most = spare + (gain.sum() - gain)[:, None]
        could, kindred = most >= -SLACK, self.searcher.stock.kindred
        for role in could.sum(axis=1).argsort().tolist():
            alone = (np.delete(most, role, axis=0) - gain[role] >= -SLACK).any(axis=0)
            pools, there = cells.groups.order[at], could[role, of]
            left = there | alone[of] | (cells.away(pools) > 0) | kindred.near(pools, pools[there])
            if left.sum() >= _HARDLY_FEWER * len(left):
                break
            at, of = at[left], of[left]
        return at, of

    def _beside_strangers(self, threads: Threads, bar: float) -> tuple[Floats, Floats]:
        """How far each is above a bar with strangers in all other roles, and how much less than the best stranger it
        adds to a role, with nobody that belongs to it: both (roles, m), the most over all sizes."""
        strange = threads.adds.shared - threads.kindred
        others = top_of(self._beside(threads))
        if self.beyond is not None:
            others = np.maximum(others, self.beyond.beside[:, threads.sizes])
        with np.errstate(invalid="ignore"):  # a size without anybody for a role is none
            rest = np.stack([sum_of_others(others, role) for role in range(self.roles)]) - bar
            spare = np.fmax.reduce(strange + threads.adds.looks + rest[:, :, None], axis=1, initial=-np.inf)
            less = np.fmax.reduce(strange - others[:, :, None], axis=1, initial=-np.inf)
        return spare, less

    def _beside(self, threads: Threads) -> Floats:
        """What threads share of the chance of all, with nobody that belongs to them in one other role."""
        if self.roles == 1:
            return threads.adds.shared
        least = 0.5 * self.pair_share * threads.cells.kin(self.roles - 2)[threads.at]
        return np.asarray(threads.adds.shared + (least - threads.kindred))

    def worked_out(self, threads: Threads) -> Threads:
        """Threads with what they are worth themselves, in the roles where they could be."""
        adds = self._as_threads(threads.cells, threads.at, threads.count, threads.sizes)
        could = np.isfinite(threads.adds.worth)
        worth, traded, shared = (np.where(could, one, -np.inf) for one in adds.each[:3])
        return replace(threads, adds=Adds(worth, traded, shared, adds.looks))

    def _kindred(self, cells: Cells, at: Indexes) -> Floats:
        if self.roles > 1:
            return np.asarray(self.pair_share / 2.0 * cells.kin(self.roles - 1)[at])
        return np.full(len(at), self.searcher.w_kindred * self.searcher.ranking.one_lot_kindred)

    def _as_threads(self, cells: Cells, at: Indexes, count: Floats, sizes: Indexes) -> Adds:
        adds = self._strands(cells, at, count, sizes)
        together = np.minimum(1.0, cells.on_skin[at]) if self.next_to_skin else np.ones(len(at))
        return self._with_reading(adds, cells.reads[at], self._kindred(cells, at), self.searcher.w_together * together)

    def as_strands(self, cells: Cells, at: Indexes) -> Adds:
        """Cells as one strand, or two, of a thread of several pools."""
        every = np.arange(len(self.variants))
        once, twice = (self._strands(cells, at, np.full(len(at), count), every) for count in (1.0, 2.0))
        both = Adds(*(np.maximum(a, b) for a, b in zip(once.each, twice.each, strict=True)))
        kindred = self.pair_share / min(2, self.roles) * cells.kin(max(1, self.roles - 1))[at]
        # A strand may be so thin that it sets no limit.
        return self._with_reading(both, np.ones(len(at)), kindred, np.zeros(len(at)))

    def _strands(self, cells: Cells, at: Indexes, count: Floats, sizes: Indexes) -> Adds:
        """Use, leftover and (traded) the chance, as `Block.strands` has them."""
        searcher, rules = self.searcher, self.searcher.ranking
        need, shared_sd, private, weight = (
            one[:, sizes] for one in (self.length, self.shared, self.private, self.weight)
        )
        need = need * count
        least_m, most_m = cells.least_m[at], cells.most_m[at]
        variance = cells.log_sd[at] ** 2 + private**2 + shared_sd**2
        z = margin(most_m, need) / np.sqrt(variance)
        wasted = np.where(cells.carries[at] & (count > 1), rules.doubled_use, 1.0)
        use = wasted * use_value(need, least_m, cells.scarcity[at])
        left = np.where(
            most_m - need >= cells.least_usable[at], 1.0, leftover_value(least_m - need, cells.most_usable[at])
        )
        worth = weight * (rules.weight_use * use + rules.weight_leftover * left)
        able = (cells.able_on_skin if self.next_to_skin else cells.able)[at]
        worth = np.where(able & (z >= searcher.least_z - NEARLY), worth, -np.inf)
        traded = worth + searcher.w_sure * (normal_chance(z) + NEARLY)
        shared = traded
        if self.roles > 1:
            share = shared_sd**2 / variance
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
        return self.of_threads(self.threads(cells, among))

    def of_threads(self, threads: Threads) -> Heights:
        """The same of threads, in their sizes."""
        heights = self._whole(threads)
        if not self.by_lightness(threads.cells) or not len(threads.at):
            return heights
        # Either all that touches is told apart by lightness, or nothing reads better than hue makes it.
        bins = LightnessBins(
            self.searcher.colours,
            [threads.cells.light.ends[:, threads.at]],
            self.least,
            self.contrast,
            self.searcher.w_contrast,
        )
        apart = beside_apart(bins, threads.adds.shared, self.edges) + threads.adds.shared + threads.adds.looks + SLACK
        of = np.minimum(heights.of, np.moveaxis(apart, 2, 0))
        if self.least <= DECIDED:
            of = np.maximum(of, self._whole(self._by_hue(threads)).of)
        return Heights(np.minimum(heights.most, of.max(axis=0, initial=-np.inf).min(axis=0)), heights.at, of)

    def by_lightness(self, cells: Cells) -> bool:
        """Whether it is looked at which of these cells lightness tells apart."""
        return bool(self.edges) and self.beyond is None and cells.groups.single and cells.light.few_apart

    def _by_hue(self, threads: Threads) -> Threads:
        """Threads that read no better than hue makes them."""
        looks, reads = threads.adds.looks.copy(), threads.cells.reads[threads.at]
        for role, touching in enumerate(self.touching):
            reading = np.minimum(reads, self.contrast) if touching else self.contrast
            looks[role] -= self.searcher.w_contrast * np.maximum(0.0, reading - DECIDED)
        return replace(threads, adds=replace(threads.adds, looks=looks))

    def _whole(self, threads: Threads) -> Heights:
        """As if each could read as well beside any other as it may beside some."""
        heights = self._of_threads(threads)
        if self.roles > 1 and threads.cells.groups.single and self.searcher.w_kindred and len(threads.at):
            np.minimum(heights.of, self._beside_mates(threads), out=heights.of)
        return heights

    def _beside_mates(self, threads: Threads) -> Floats:
        """As `Heights.of`, for pools: another role adds the best of a pool's mates, or of all others as strangers."""
        cells, adds = threads.cells, threads.adds
        pools, place = numbered(cells, threads.at)
        shared = self._beside(threads)
        of_pool = by_pool(shared, threads.count, place, len(pools))
        added = best_mates(of_pool, sharers_of(pools, self.searcher.stock.kindred), self.pair_share)
        np.maximum(added, of_pool.max(axis=2, keepdims=True), out=added)  # or strangers
        if self.beyond is not None:
            elsewhere = self.beyond.beside[:, threads.sizes, None] + self.pair_share * cells.away(pools)
            np.maximum(added, elsewhere, out=added)
        added = added[..., place]
        whole = [
            own - threads.kindred + sum_of_others(added, role) for role, own in enumerate(adds.shared + adds.looks)
        ]
        return np.moveaxis(np.stack(whole), 2, 0) + SLACK

    def _of_threads(self, threads: Threads) -> Heights:
        """The least of three bounds: the chance of all is no more than that of the role itself, nor than that of one
        other, nor than what all roles share of it (`jointly`)."""
        adds, beyond = threads.adds, self.beyond
        whole = adds.traded + adds.looks
        tops, trades, shares = (top_of(one) for one in (adds.worth, whole, adds.shared))
        if beyond is not None:
            above = (one[:, threads.sizes] for one in (beyond.worth, beyond.whole, beyond.shared))
            tops, trades, shares = (np.maximum(a, b) for a, b in zip((tops, trades, shares), above, strict=True))
        of, mosts = np.empty(adds.worth.shape), []
        for role in range(self.roles):
            others = sum_of_others(tops, role)
            of[role] = np.minimum(
                whole[role] + others[:, None],
                adds.shared[role] + adds.looks[role] + sum_of_others(shares, role)[:, None],
            )
            for other in range(self.roles):
                if other != role:
                    rest = sum_of_others(tops, role, other) + trades[other]
                    of[role] = np.minimum(of[role], adds.worth[role] + rest[:, None])
            mosts.append(of[role].max(axis=1, initial=-np.inf))
        # Where all roles are filled from here, none of them may be ruled out.
        most = np.min(mosts, axis=0) if beyond is None else np.max(mosts, axis=0)
        return Heights(most + SLACK, threads.at, np.moveaxis(of, 2, 0) + SLACK)

    def tops(self, cells: Cells, pools: Cells) -> Tops:
        """What the roles come to over all cells, whatever else there is to read against. pools : the same, one by one.

        Of threads of one pool they are those of real pools: the cells that stand highest are opened, and then all that
        stand above what was found.
        """
        searcher = self.searcher
        looks = searcher.w_together + searcher.w_contrast * (
            1.0 if self.edges else searcher.ranking.one_colour_contrast
        )
        every = self.threads(cells, np.arange(len(cells)))
        figures, opened = self._figures(every), np.zeros(len(every.at), dtype=bool)
        tops = np.full(figures.shape[:3], -np.inf)
        highest = np.zeros(len(opened), dtype=bool)
        if len(opened):
            highest[figures.argmax(axis=3)] = True
        while highest.any():
            here = np.broadcast_to(highest, every.adds.worth.shape)
            found = self.worked_out(self.within(every.kept(here & np.isfinite(every.adds.worth)), pools))
            found_top = np.stack([top_of(one) for one in self._figures(found)])
            tops[:, :, found.sizes] = np.maximum(tops[:, :, found.sizes], found_top)
            opened |= highest
            highest = (figures > tops[..., None]).any(axis=(0, 1, 2)) & ~opened
        worth, traded, shared, beside = tops
        if searcher.most_strands == 1:
            return Tops(worth, traded + looks, shared, beside, *[np.full(worth.shape, -np.inf)] * 2)
        strands = self.as_strands(cells, np.flatnonzero(cells.least_tex < self.window[1]))
        strand_whole = top_of(strands.traded) + looks - searcher.w_together
        return Tops(worth, traded + looks, shared, beside, top_of(strands.worth), strand_whole)

    def _figures(self, threads: Threads) -> Floats:
        """What is told of the tops of threads of one pool: (4, roles, sizes, m)."""
        return np.stack([*threads.adds.each[:3], self._beside(threads)])
