"""What all searches of one bin share at one gauge, worked out once: supplies, bins of lightness, mates, strands."""

from __future__ import annotations

from collections.abc import Callable, Set
from itertools import product
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.bins import LightnessBins
from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.mates_read import reads_as_strands, strand_ends
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.supply import Supply

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
T = TypeVar("T")

# Differences in L* that a bound on strands rounds up, and the widest of them. They change how long a search takes.
_STEP, _WIDEST = 0.25, 200.0


class AtGauge:
    """A searcher's pools at one gauge. window : least and most tex of a thread."""

    def __init__(self, searcher: Searcher, window: tuple[float, float]) -> None:
        self.searcher, self.window = searcher, window
        self.stock, self.colours = searcher.stock, searcher.colours
        self.base, self.thin = searcher.choices_alone(window), searcher.thin(window)

    def _of_stock(self, *what: object, work: Callable[[], T]) -> T:
        return self.searcher.once(self.searcher.of_stock, (self.window, *what), work)

    def _of_party(self, *what: object, work: Callable[[], T]) -> T:
        return self.searcher.once(self.searcher.of_party, (self.window, *what), work)

    def supply_alone(self) -> Supply:
        """Of all candidates."""
        return self._of_stock(
            "supply", work=lambda: self.searcher.supply(self.base.strands[:, 0], self.base.count[:, 0])
        )

    def supply_thin(self, count: int) -> Supply:
        """Of the pools that could be one strand of several, so many strands of each."""
        each = np.full(len(self.thin), float(count))
        return self._of_stock("supply", count, work=lambda: self.searcher.supply(self.thin, each))

    def thin_kindred(self, others: int) -> Floats:
        """The most that each of these and so many others could come to, added up: array (m,)."""
        return self._of_stock("kindred", others, work=lambda: self.stock.kindred.most(others)[self.thin])

    def bins(self, least: float, most: float) -> LightnessBins:
        """All candidates in bins of lightness, with what two that read so well add by it."""
        return self._bins("bins", [self.searcher.ends(self.base, True)], least, most)

    def strand_bins(self, least: float, most: float) -> LightnessBins:
        """The same of the pools of `mates` as strands: first what they are, then what could be in a thread that touches
        theirs."""
        ends = self.strand_ends()[0]
        return self._bins("strand bins", [ends[:2], ends[2:]], least, most)

    def _bins(self, what: str, ends: list[Floats], least: float, most: float) -> LightnessBins:
        weight = self.searcher.w_contrast
        return self._of_party(
            what, least, most, weight, work=lambda: LightnessBins(self.colours, ends, least, most, weight)
        )

    def mate_pairs(self, least: float) -> tuple[Indexes, Indexes, Floats, Floats]:
        """The pairs of `mates` that could read so well, each a thread by itself: their places among all candidates, how
        far they belong together, and the most that they could read: four arrays (p,)."""
        return self._of_party("mate pairs", least, work=lambda: self._mate_pairs(least))

    def _mate_pairs(self, least: float) -> tuple[Indexes, Indexes, Floats, Floats]:
        mates, reads = self.searcher.mates(self.window, False), self.searcher.mate_reads(self.window)
        at = np.flatnonzero(reads >= least)
        pool = mates.of[self.base.strands[:, 0]]
        # A pool stands there with one strand, or two, or both: so it has a first place, and perhaps a second.
        order = np.argsort(pool, kind="stable")
        start = np.searchsorted(pool[order], np.arange(len(mates.pools) + 1))
        number = np.diff(start)
        several: list[tuple[Indexes, ...]] = []
        for a, b in product(range(int(number.max(initial=0))), repeat=2):
            there = at[(number[mates.first[at]] > a) & (number[mates.second[at]] > b)]
            several.append((order[start[mates.first[there]] + a], order[start[mates.second[there]] + b], there))
        first, second, at = (np.concatenate(part) for part in zip(*several, strict=True)) if several else (at, at, at)
        return first, second, mates.kindred[at], reads[at]

    def thin_potential(self) -> Floats:
        """The most that a thread could read with each of the thin pools as a strand: array (m,).

        A strand so thin that it could be less than the share that may vanish sets no limit.
        """

        def found() -> Floats:
            most = self.searcher.colour_potential[self.stock.part[self.thin]].max(axis=1)
            return np.where(self.stays(self.thin), most, 1.0)

        return self._of_party("potential", work=found)

    def read_against(self, ends: Set[tuple[float, float]]) -> Floats:
        """The most that a thread could read which has one of the pools of `ends_of_strands`, where one or several roles
        that touch its own hold nothing outside these L*, darkest and lightest: array (k,)."""

        def found() -> Floats:
            dark, bright, stays, _ = self.ends_of_strands()
            apart = np.min([np.maximum(most - dark, bright - least) for least, most in ends], axis=0)
            return np.where(stays, self.by_lightness(apart), 1.0)

        return self._of_party("against", frozenset(ends), work=found)

    def by_lightness(self, apart: Floats) -> Floats:
        """The most that colours so far apart in L* could read, or a little more: from a table, since it never falls."""
        steps = np.arange(0.0, _WIDEST, _STEP)
        known = self.searcher.of_party
        table = self.searcher.once(known, ("by lightness",), lambda: self.colours.most_by_lightness(steps))
        return table[np.minimum((apart / _STEP).astype(np.intp) + 1, len(table) - 1)]

    def strand_reads(self, at: Indexes) -> Floats:
        """The most that two threads could read of which one has the first of two mates as a strand, by the other's
        strand that is the second: array (p,) of some of the pairs of `mates`, each worked out when it is asked."""
        mates, whole, (_, stays) = self.searcher.mates(self.window, True), self.searcher.all_mates, self.strand_ends()
        known = self.searcher.once(self.searcher.of_party, ("strands",), lambda: np.full(len(whole.first), np.nan))
        of_all = mates.of_all[at]
        if len(new := of_all[np.isnan(known[of_all])]):
            first, second = whole.pools[whole.first[new]], whole.pools[whole.second[new]]
            known[new] = reads_as_strands(self.colours, self.stock, first, second)
        return np.where(stays[mates.first[at]], known[of_all], 1.0)

    def strand_ends(self) -> tuple[Floats, Flags]:
        """Of each of the pools of `mates` as strands, see `strand_ends`; and whether the main colour is too much of any
        thread of the window to vanish: (k,)."""

        def found() -> tuple[Floats, Flags]:
            pools = self.searcher.mates(self.window, True).pools
            return strand_ends(self.colours, self.stock, pools), self.stays(pools, self.stock.share[pools].max(axis=1))

        return self._of_party("strand ends", work=found)

    def ends_of_strands(self) -> tuple[Floats, Floats, Flags, Flags]:
        """The darkest and the lightest L* of each thin pool, and of those that are as thick as the window allows;
        whether it is too much of any thread to vanish, and whether it could be the thickest strand of one: (k,)."""

        def found() -> tuple[Floats, Floats, Flags, Flags]:
            stock, alone = self.stock, self.base.strands[:, 0]
            pools = np.concatenate([self.thin, alone[stock.tex[alone] >= self.window[1]]])
            light, shown = self.colours.lightness[0][stock.part[pools]], stock.share[pools] > 0
            dark, bright = (np.where(shown, light, far) for far in (np.inf, -np.inf))
            thick = stock.tex[pools] >= self.window[0] / STRANDS
            return dark.min(axis=1), bright.max(axis=1), self.stays(pools), thick

        return self._of_party("darkest", work=found)

    def stays(self, pools: Indexes, share: Floats | float = 1.0) -> Flags:
        """Whether such a share of a pool as a strand is more of any thread of the window than may vanish: (k,)."""
        part = self.stock.tex[pools] / self.window[1] * share
        return np.asarray(part > self.colours.rules.vanish_share + 1e-6)
