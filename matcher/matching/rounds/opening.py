"""Which pools of a stock could stand in an assignment above a bar: no more cells are opened than must be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import tex_range
from matcher.matching.distinct import distinct
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.tex_steps import TexSteps
from matcher.matching.rounds.at_once import at_once
from matcher.matching.rounds.beyond import Beyond, BlockName, most_away
from matcher.matching.rounds.ceiling import Ceiling
from matcher.matching.rounds.cells import Cells, cells_of, levels
from matcher.matching.rounds.marls import marled, most_marled, roughly_marled
from matcher.matching.rounds.pairs import of_pairs
from matcher.matching.rounds.threads import Heights, Threads
from matcher.matching.rounds.tops import Tops
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Opened:
    """Sizes of a block of which some assignment could be above the bar, and the pools that could stand in one."""

    sizes: Flags
    pools: Indexes


class Storey:
    """One block over all cells. key : of its accessory. variants : its sizes."""

    def __init__(self, key: str, cells: Sequence[Cells], ceiling: Ceiling) -> None:
        self.key, self.cells, self.ceiling = key, cells, ceiling

    @property
    def variants(self) -> tuple[Variant, ...]:
        return self.ceiling.variants

    @cached_property
    def _threads(self) -> Threads:
        return self.ceiling.threads(self.cells[0], np.arange(len(self.cells[0])))

    @cached_property
    def _plain(self) -> Heights:
        return self.ceiling.of_threads(self._threads)

    @cached_property
    def _marled(self) -> Heights:
        return marled(self.ceiling, self.cells[0], np.arange(len(self.cells[0])), self._threads)

    @cached_property
    def most(self) -> float:
        """The most that an assignment of single pools could score."""
        return float(self._plain.most.max()) if self.ceiling.most > -np.inf else -np.inf

    def possible(self, marls: bool) -> bool:
        """Whether there is a height at all, with strands of different pools or without."""
        return self.most > -np.inf or (marls and float(self._marled.most.max()) > -np.inf)

    def heights(self, level: int, among: Indexes, marls: bool) -> Heights:
        """Of some cells of a level."""
        if level == 0:
            return self._marled if marls else self._plain
        cells = self.cells[level]
        return marled(self.ceiling, cells, among) if marls else self.ceiling.plain(cells, among)

    def above(self, bar: float, marls: bool) -> Opened:
        """What could stand above a bar, with strands of different pools in a thread or with none."""
        if (most_marled(self.ceiling) if marls else self.ceiling.most) <= bar:
            return self._nothing
        if not marls:
            return self._plain_above(bar)
        if roughly_marled(self.ceiling, self.cells[0], self._threads) <= bar:
            return self._nothing
        return self._marled_above(bar)

    @property
    def _nothing(self) -> Opened:
        return Opened(np.zeros(len(self.variants), dtype=bool), np.zeros(0, dtype=np.intp))

    def _plain_above(self, bar: float) -> Opened:
        threads, heights = self._threads, self._plain
        for level, cells in enumerate(self.cells):
            if level:
                threads = self.ceiling.within(threads, cells, bar)
                if self.ceiling.by_lightness(cells):
                    threads = threads.kept(_above(self.ceiling.of_threads(threads), bar))
                threads = self.ceiling.worked_out(threads)
                heights = self.ceiling.of_threads(threads)
            left = threads.kept(_above(heights, bar))
            while len(left.at) < 0.9 * len(threads.at):  # the tops of those that are left may be lower
                threads = left
                heights = self.ceiling.of_threads(threads)
                left = threads.kept(_above(heights, bar))
            threads = self._paired(left, bar) if level else left
            if not len(threads.at):
                return self._nothing
        opened = self._nothing.sizes
        opened[threads.sizes] = True
        return Opened(opened, cells.groups.order[distinct(threads.at)])

    def _paired(self, threads: Threads, bar: float) -> Threads:
        """Those that could be above a bar beside some other of them."""
        while bar > -np.inf and (most := of_pairs(self.ceiling, threads)) is not None:
            before, threads = len(threads.at), threads.kept(most > bar)
            if len(threads.at) > 0.5 * before:  # all pairs again cost more than they spare
                break
        return threads

    def _marled_above(self, bar: float) -> Opened:
        among = np.arange(len(self.cells[0]))
        for level, cells in enumerate(self.cells):
            heights = self.heights(level, among, True)
            above = heights.of > bar
            at = distinct(heights.at[above.any(axis=(1, 2))])
            if not len(at) or heights.most.max() <= bar:
                return self._nothing
            if level + 1 < len(self.cells):
                among = self.cells[level + 1].groups.within(cells.groups, at)
        while len(at) < 0.9 * len(among):  # the tops of those that are left may be lower
            among = at
            heights = self.heights(level, among, True)
            above = heights.of > bar
            at = distinct(heights.at[above.any(axis=(1, 2))])
        sizes = (heights.most > bar) & above.any(axis=(0, 1))
        return Opened(sizes, cells.groups.order[at]) if sizes.any() else self._nothing


def _above(heights: Heights, bar: float) -> Flags:
    """What could be above a bar: (roles, sizes, m); nothing of a size that could not."""
    return np.moveaxis(heights.of > bar, 0, 2) & (heights.most > bar)[:, None]


def storeys(searcher: Searcher, scope: Scope, beyond: Beyond | None = None) -> list[Storey]:
    """All blocks of a scope over a searcher's pools. beyond : what other parts hold, of a stock that is cut."""
    windows = {tex_range(one.gauge, searcher.constants) for several in scope.variants.values() for one in several}
    strands = range(1, searcher.most_strands + 1)
    groups = levels(searcher, TexSteps((low / n, high / n) for low, high in windows for n in strands))
    away = None if beyond is None else beyond.away(searcher.stock)
    seen: dict[str, list[Cells]] = {}
    found = []
    for key, several in scope.variants.items():
        for party, of_gauge in _by_gauge(several):
            theirs = searcher.of(party)
            if party not in seen:
                seen[party] = cells_of(theirs, groups, away)
            name = key, party, of_gauge[0].gauge.stitches_10cm
            tops = None if beyond is None else beyond.tops[name]
            found.append(Storey(key, seen[party], Ceiling(theirs, of_gauge, scope.least[key], tops)))
    return found


def tops_of(storeys: Sequence[Storey], whole_garments: bool) -> dict[BlockName, Tops]:
    """What the roles of each block come to, whatever other parts hold. whole_garments : none lies in two parts."""
    seen: dict[str, list[Cells]] = {}
    found = {}
    for one in storeys:
        first, searcher = one.variants[0], one.ceiling.searcher
        if first.party not in seen:
            away = most_away(searcher.stock, whole_garments)
            cells = cells_of(searcher, [cells.groups for cells in one.cells], away)[-2:]
            seen[first.party] = [replace(one, reads=np.ones(len(one))) for one in cells]
        found[one.key, first.party, first.gauge.stitches_10cm] = one.ceiling.tops(*seen[first.party])
    return found


def _by_gauge(several: Sequence[Variant]) -> Iterator[tuple[str, list[Variant]]]:
    found: dict[tuple[str, float], list[Variant]] = {}
    for variant in several:
        found.setdefault((variant.party, variant.gauge.stitches_10cm), []).append(variant)
    return ((party, of_gauge) for (party, _), of_gauge in found.items())


def above(
    blocks: Sequence[Storey], bars: Mapping[str, float], marls: bool, most: float = np.inf
) -> tuple[Indexes, dict[str, list[Variant]]]:
    """The pools that could stand above the bars of their accessories, and the variants that could. most : where more
    pools could, no more are looked for."""
    could_stand = np.zeros(len(blocks[0].ceiling.searcher.stock) if blocks else 0, dtype=bool)
    variants: dict[str, list[Variant]] = {}
    ways = (False, True) if marls else (False,)
    asked = [(one, way) for one in sorted(blocks, key=lambda one: bars[one.key] - one.most) for way in ways]
    every = at_once(partial(one.above, bars[one.key], way) for one, way in asked)
    for (block, _), opened in zip(asked, every, strict=True):
        could_stand[opened.pools] = True
        if np.count_nonzero(could_stand) > most:
            every.close()
            return np.flatnonzero(could_stand), variants
        found = variants.setdefault(block.key, [])
        found += [one for one, could in zip(block.variants, opened.sizes, strict=True) if could and one not in found]
    return np.flatnonzero(could_stand), {key: several for key, several in variants.items() if several}
