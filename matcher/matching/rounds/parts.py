"""The exact list of a stock that is cut into parts, of which no two need ever be in one place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Generic, Protocol, TypeVar

import numpy as np
import numpy.typing as npt

from matcher.matching.joined import joined_stocks
from matcher.matching.pools import Stock
from matcher.matching.ranking.made import can_be_made
from matcher.matching.ranking.near_miss import largest_of
from matcher.matching.ranking.ready import Rules, searcher_of
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import Outcome
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds.bars import Bars
from matcher.matching.rounds.beyond import Beyond, together, told
from matcher.matching.rounds.opening import above, storeys, tops_of
from matcher.matching.rounds.sample import sample_of
from matcher.matching.rounds.search import search_stock

P = TypeVar("P")
R = TypeVar("R")
Indexes = npt.NDArray[np.intp]


class Mapper(Protocol):
    """Whatever asks the same of many parts, here or elsewhere; answers come in the order of the parts."""

    def map(self, function: Callable[[P], R], parts: Sequence[P]) -> Iterable[R]: ...


class InTurn:
    """One part after the other, in this process; of each no more is kept than its answer."""

    def map(self, function: Callable[[P], R], parts: Sequence[P]) -> Iterable[R]:
        return map(function, parts)


@dataclass(frozen=True)
class First:
    """What a part gives in round one: how many pools it has, its sample, what it tells of itself, and its largest."""

    lots: int
    sample: Stock
    tells: Beyond
    largest: Stock


@dataclass(frozen=True)
class Ask(Generic[P]):
    """What every part is asked.

    look : reads a part; whole_garments : what is left of a garment lies in one part. largest : so many pools with most
    yarn are wanted besides, and whether a thing can be made at all; for what is nearly possible.
    """

    look: Callable[[P], Stock]
    scope: Scope
    rules: Rules
    whole_garments: bool = False
    largest: int = 0

    def first(self, part: P) -> First:
        """Round one."""
        stock = self.look(part)
        if not len(stock):
            return First(0, stock, Beyond(), stock)
        searcher = searcher_of(stock, self.scope, self.rules)
        blocks = storeys(searcher, self.scope)
        tells = told(searcher, tops_of(blocks, self.whole_garments))
        sample, largest = stock.take(sample_of(blocks).pools), largest_of(stock, self.largest)
        return First(len(stock), _alone(sample), tells, _alone(largest))

    def second(self, beyond: Beyond, bars: Mapping[str, float], part: P) -> Stock:
        """Round two: the pools of a part that could stand above the bars, beside whatever the others hold."""
        stock = self.look(part)
        if not len(stock):
            return stock
        searcher = searcher_of(beyond.seen_with(stock), self.scope, self.rules)
        pools, _ = above(storeys(searcher, self.scope, beyond), bars, searcher.most_strands > 1)
        return _alone(stock.take(pools))


@dataclass(frozen=True)
class Parted:
    """The list of all parts. stock : the pools that could stand in it, in whose places it is told; searcher : of them.

    lots : how many pools there are; sampled, kept : how many of them each round gave. largest : pools with most yarn of
    all parts; made : keys of what can be made, whether it reached the list or not. Both are empty where not asked for.
    """

    stock: Stock
    searcher: Searcher
    outcome: Outcome
    lots: int
    sampled: int
    kept: int
    largest: Stock
    made: frozenset[str] = frozenset()


def search_parts(ask: Ask[P], parts: Sequence[P], mapper: Mapper) -> Parted:
    """The true list of all parts together, however they were cut. Raises ValueError for no parts."""
    firsts = list(mapper.map(ask.first, parts))
    lots = sum(first.lots for first in firsts)
    full = [first for first in firsts if first.lots] or firsts[:1]
    sample = joined_stocks([first.sample for first in full])
    scope = ask.scope
    bars = Bars(scope, ask.rules.ranking)
    feasible = _feasible(ask, sample)
    bars.lower(feasible)
    beyond = together([first.tells for first in full])

    def above_bars(by_key: Mapping[str, float]) -> Stock:
        kept = list(mapper.map(partial(ask.second, beyond, dict(by_key)), parts)) if lots else []
        return joined_stocks([one for one in kept if len(one)] or [sample])

    certain = False
    while not certain:
        stock = above_bars(bars.by_key)
        searcher = searcher_of(stock, scope, ask.rules)
        outcome = search_stock(searcher, scope)
        certain = bars.settle(outcome) or not lots
    made = {one.variant.accessory.key for one in outcome.met}
    possible = {key for (key, _, _), tops in beyond.tops.items() if key not in made and tops.possible}
    outcome = replace(outcome, open=frozenset(possible))
    largest = largest_of(joined_stocks([first.largest for first in full]), ask.largest)
    if ask.largest:
        made |= {one.variant.accessory.key for one in feasible.met}
        # What is in neither list is looked for among all that could stand in any way to make it.
        late = replace(outcome, met=(), open=frozenset(possible - made))
        if late.open:
            every = above_bars({key: -np.inf if key in late.open else np.inf for key in scope.variants})
            made |= can_be_made(searcher_of(every, scope, ask.rules), scope, late)
    return Parted(stock, searcher, outcome, lots, len(sample), len(stock), largest, frozenset(made))


def _feasible(ask: Ask[P], sample: Stock) -> Outcome:
    """A list that can be made of the sample, of single strands: the higher its scores, the less comes back."""
    return search_stock(replace(searcher_of(sample, ask.scope, ask.rules), most_strands=1), ask.scope)


def _alone(stock: Stock) -> Stock:
    """The same with tables of what stands in it and of nothing else, so that little is sent."""
    colours, part = np.unique(stock.part, return_inverse=True)
    homes, garments = _there(stock.homes, stock.garments)
    yarns, yarn_names = _there(stock.yarns, stock.yarn_names)
    return replace(
        stock,
        part=part.reshape(stock.part.shape),
        labs=stock.labs[colours],
        sds=stock.sds[colours],
        homes=homes,
        garments=garments,
        yarns=yarns,
        yarn_names=yarn_names,
    )


def _there(numbers: Indexes, names: tuple[str, ...]) -> tuple[Indexes, tuple[str, ...]]:
    """Numbers of names that are used, and these; numbers without names stay as they are."""
    if not names:
        return numbers, names
    used, of = np.unique(np.append(numbers, -1), return_inverse=True)
    return of[:-1].reshape(numbers.shape) - 1, tuple(names[at] for at in used[1:].tolist())
