"""Columns that are worth more than their yarn: the exact search, with prices."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from heapq import heappush, heapreplace

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.closer import closer_bounds
from matcher.matching.ranking.descent import Descent
from matcher.matching.ranking.found import SLACK, Best, Field, Found
from matcher.matching.ranking.prices import Prices
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.thin import Thin
from matcher.matching.sets.aims import Aim
from matcher.matching.sets.column import Column, takes_of
from matcher.matching.sets.wants import Want
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]


Given = Mapping[int, Sequence[Column]]


class _Sink(Best):
    """What the search offers, as far as it is above a bar of its own: the best few of one accessory, each once."""

    def __init__(self, bar: float, most: int, stop: Callable[[], bool], any_will_do: Callable[[], bool]) -> None:
        super().__init__(most, "", Field())
        self.least, self._stop, self._any_will_do = bar, stop, any_will_do
        self._kept: list[tuple[float, int, Found]] = []
        self._there: set[tuple[object, ...]] = set()

    @property
    def full(self) -> bool:
        """Whether there may be more: once there are so many, the search passes over what is no better than the last."""
        return len(self._kept) >= self.each

    @property
    def bar(self) -> float:
        """What a new one must beat; nothing can when time is up, so that the search ends."""
        if self._stop() or (self._kept and self._any_will_do()):
            return np.inf
        return max(self.least, self._kept[0][0] + SLACK) if self.full else self.least

    def offer(self, new: Found) -> None:
        """Take it in if it is above the bar and not there yet."""
        if new.score <= self.bar or new.mark in self._there:
            return
        self._there.add(new.mark)
        # Of equals the earlier stays.
        one = new.score, -len(self._there), new
        if self.full:
            heapreplace(self._kept, one)
        else:
            heappush(self._kept, one)

    def ranked(self) -> list[Found]:
        """Best first."""
        return [one for *_, one in sorted(self._kept, key=lambda kept: (-kept[0], -kept[1]))]


class Source:
    """All that could be a column, with a block made once for each accessory, gauge and party of each want.

    searcher : of the bin; its weights are those of the aim here. given : by the place of a want, columns
    that take the place of a search. stop : whether time is up; then what is found is not all. untried : what is held
    together in ways that were too many to try is worth more than asked for by so much at most, in all calls since it
    was last set.
    """

    def __init__(
        self,
        searcher: Searcher,
        wants: Sequence[Want],
        aim: Aim,
        given: Given | None = None,
        stop: Callable[[], bool] = lambda: False,
    ) -> None:
        weights = {
            f"weight_{part}": aim.taste * float(getattr(aim.rules, f"weight_{part}"))
            for part in ("sure", "contrast", "together", "use", "leftover", "kindred")
        }
        self.searcher = replace(searcher, ranking=replace(searcher.ranking, **weights))
        self.stock, self.wants, self.aim = searcher.stock, tuple(wants), aim
        self._given, self.stop = given or {}, stop
        self._blocks: dict[tuple[int, str], list[Block]] = {}
        self.cut_short, self.untried = False, -np.inf

    def accessories(self, most_roles: int | None = None) -> Iterator[tuple[int, str]]:
        """Of each want (by its place), the keys of its accessories; of so many roles at most."""
        for place, want in enumerate(self.wants):
            for key, several in want.variants.items():
                if most_roles is None or len(several[0].filled) <= most_roles:
                    yield place, key

    def blocks(self, want: int, key: str) -> list[Block]:
        """Of one accessory of a want."""
        if (want, key) not in self._blocks:
            by_gauge: dict[tuple[str, float], list[Variant]] = {}
            for variant in self.wants[want].variants[key]:
                by_gauge.setdefault((variant.party, variant.gauge.stitches_10cm), []).append(variant)
            self._blocks[want, key] = [
                Block(self.searcher.of(party), of_gauge, self.wants[want].least[key])
                for (party, _), of_gauge in by_gauge.items()
            ]
        return self._blocks[want, key]

    def above(
        self,
        want: int,
        key: str,
        prices: Prices,
        least: float,
        most: int,
        marls: bool,
        any_will_do: Callable[[], bool] = lambda: False,
    ) -> tuple[list[Column], bool]:
        """The best `most` columns of one accessory that are worth more than their yarn by more than `least`; and
        whether there may be more. marls : with strands of different lots held together too. any_will_do : whether
        what was found by now, if anything, need not be the best."""
        if want in self._given:
            worth = [(one.less(prices), one) for one in self._given[want] if one.key == key]
            above = sorted((one for one in worth if one[0] > least), key=lambda one: -one[0])
            return [one for _, one in above[:most]], len(above) > most
        sink = _Sink(least - self.aim.thing, most, self.stop, any_will_do)
        prices = replace(prices, metre=prices.metre - self.aim.metre)
        blocks = [block.priced(prices) for block in self.blocks(want, key)]
        for block in blocks:
            self._search(block, sink, block.quick_bounds(), with_marls=False)
        if marls and self.searcher.most_strands > 1:
            for block in blocks:
                self._search(block, sink, np.full(len(block.variants), np.inf), with_marls=True)
        self.cut_short |= sink.field.cut_short
        self.untried = max(self.untried, sink.field.missing - sink.least)
        return [self.column(want, one) for one in sink.ranked()], sink.full or sink.bar == np.inf

    def _search(self, block: Block, sink: _Sink, bounds: Floats, with_marls: bool) -> None:
        if not (bounds > sink.bar).any():
            return
        thin = Thin(block) if with_marls else None
        bounds = thin.bounds(sink.bar, bounds) if thin else closer_bounds(block, sink.bar, bounds)
        for size in np.argsort(-bounds, kind="stable"):
            if bounds[size] <= sink.bar:
                return
            Descent(block, np.array([size]), sink, thin).run()

    def column(self, want: int, found: Found) -> Column:
        """As the programme takes it."""
        takes = takes_of(found)
        metres = np.bincount(takes.pool, takes.metres, minlength=len(self.stock.free_m)).astype(float)
        return Column(want, found, self.aim.value(found, metres))
