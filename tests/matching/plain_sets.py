"""Sets of things by trying every one there is: a second opinion on the planner, written apart from it.

The columns are those of the plain enumeration, the chance of all at once and what a set counts are worked out here from
their definitions. Only for small bins.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from random import Random

import definitions
import enumeration
import generated
import numpy as np
from hypothesis import strategies as st
from scipy.special import ndtr

from matcher.actions.desk import Desk
from matcher.matching.pools import Stock, pools_of, stock_of
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.sets.aims import aim_of
from matcher.matching.sets.planner import Planner
from matcher.matching.sets.source import Source
from matcher.matching.sets.wants import Asked, Want
from matcher.matching.variants import Knowledge, variants_of
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import Catalogue

TASTE, MISSING = {"use-up": 1e-6, "few": 1e-3, "most": 1e-3}, 1000.0
Floats = np.ndarray
Made = tuple[str, float]  # a size at a gauge (stitches in 10 cm)


class TooMany(Exception):
    """There are more sets than can be tried."""


@dataclass(frozen=True)
class Take:
    """What a thing takes of a pool: median metres, and its errors on the logarithm."""

    pool: int
    metres: float
    shared: float
    own: float


@dataclass(frozen=True)
class Thing:
    """One way to fill a want."""

    want: int
    assignment: enumeration.Assignment
    takes: tuple[Take, ...]

    @property
    def identity(self) -> tuple[object, ...]:
        return self.want, *self.assignment.identity


@dataclass(frozen=True, repr=False)
class Problem:
    """A bin and what a set of it must be.

    wants : of each, by key of accessory the sizes and gauges that will do. numbers : of each want, None for any.
    must : groups of lots of which one must give something. left_alone : lots that give nothing. seed : what it was
    drawn from.
    """

    bin: Bin
    catalogue: Catalogue
    aim: str
    wants: tuple[Mapping[str, frozenset[Made]], ...]
    numbers: tuple[int | None, ...]
    of_one: int = 3
    must: tuple[frozenset[str], ...] = ()
    sure: float = 0.9
    held_together: bool = False
    left_alone: frozenset[str] = frozenset()
    seed: str = ""

    def __repr__(self) -> str:
        return f"Problem({self.seed})"

    # As the program has it ------------------------------------------------------------------------------

    @cached_property
    def stock(self) -> Stock:
        shelf, tail_m = Desk(self.bin, self.catalogue).undecided, self.catalogue.measuring.tail_m
        offered = [lot for lot in self.bin.lots if lot.name not in self.left_alone]
        return stock_of(pools_of(offered, shelf.free, tail_m), self.catalogue.together)

    @cached_property
    def names(self) -> list[str]:
        """Of the pools, as the enumeration calls them."""
        return [pool.name for pool in self.plain.pools]

    @cached_property
    def ready(self) -> tuple[Searcher, list[Want]]:
        catalogue = self.catalogue
        known = Knowledge(catalogue.sizes, catalogue.motifs, catalogue.fabric, catalogue.classes)
        every = {key: variants_of(one, known) for key, one in catalogue.accessories.items()}
        scope = scope_of(every, Wishes(sure=self.sure, held_together=self.held_together))
        wants = []
        for want in self.wants:
            kept = {
                key: tuple(one for one in scope.variants[key] if (one.size, one.gauge.stitches_10cm) in made)
                for key, made in want.items()
                if key in scope.variants
            }
            wants.append(Want({key: several for key, several in kept.items() if several}, scope.least))
        return searcher_of(self.stock, scope, catalogue), wants

    @property
    def asked(self) -> Asked:
        groups = [
            frozenset(
                place for place, pool in enumerate(self.stock.pools) if any(lot.name in group for lot in pool.lots)
            )
            for group in self.must
        ]
        return Asked(self.numbers, self.of_one, groups, self.ready[0].usable_m, self.sure)

    def source(self) -> Source:
        return Source(*self.ready, aim_of(self.aim, self.stock, self.catalogue.ranking))

    def planner(self, seconds: float, stop: Callable[[], bool] | None = None) -> Planner:
        searcher, wants = self.ready
        aim = aim_of(self.aim, self.stock, self.catalogue.ranking)
        return Planner(searcher, wants, self.asked, aim, seconds, stop=stop)

    def identity(self, want: int, found: Found) -> tuple[object, ...]:
        strands = tuple(tuple(sorted((self.names[pool], count) for pool, count in one)) for one in found.threads)
        return want, found.variant.accessory.key, found.variant.size, found.variant.gauge.stitches_10cm, strands

    # By definition --------------------------------------------------------------------------------------

    @cached_property
    def plain(self) -> enumeration.Enumeration:
        catalogue = self.catalogue
        if self.aim == "best":
            catalogue = replace(catalogue, ranking=replace(catalogue.ranking, weight_leftover=0.0))
        return enumeration.Enumeration(
            self.bin,
            catalogue,
            chance=self.sure - 1e-7,
            held_together=self.held_together,
            left_alone=self.left_alone,
        )

    @cached_property
    def things(self) -> list[Thing]:
        """Every way to fill every want."""
        return list(self._things())

    def _things(self) -> Iterator[Thing]:
        needs = {
            (key, way.size, way.gauge.stitches_10cm): way.needs for key, ways in self.plain.ways.items() for way in ways
        }
        for one in self.plain.all():
            for want, will_do in enumerate(self.wants):
                if (one.size, one.stitches_10cm) in will_do.get(one.key, ()):
                    takes = tuple(
                        Take(
                            self.names.index(name),
                            count * need.length_m,
                            need.shared_sd_m / need.length_m,
                            need.own_sd_m / need.length_m,
                        )
                        for thread, need in zip(one.strands, needs[one.key, one.size, one.stitches_10cm], strict=True)
                        for name, count in thread
                    )
                    yield Thing(want, one, takes)

    def value(self, thing: Thing) -> float:
        """What a thing counts by itself."""
        score, tex = thing.assignment.score, self.stock.tex
        if self.aim == "best":
            return score
        of_aim = {"most": 1.0, "few": 0.0}
        grams = float((self.stock.free_m * tex).sum())
        used = sum(float(take.metres * tex[take.pool]) for take in thing.takes) / grams
        return TASTE[self.aim] * score + of_aim.get(self.aim, used)

    def rests(self, metres: Floats) -> float:
        """What the rests of the pools count: metres (n,) that are taken of each."""
        counted = 0.0
        for name, pool, taken in zip(self.names, self.plain.pools, metres, strict=True):
            if taken <= 0:
                continue
            free, usable = pool.free.mean, self.plain.usable[name]
            left = max(free - taken, 0.0)
            if self.aim == "best" and left < usable:
                counted -= self.catalogue.ranking.weight_leftover * left / usable
            if self.aim == "few" and left <= (1.0 - self.catalogue.ranking.finished) * free:
                counted += 1.0
        return counted

    def worth(self, things: Sequence[Thing]) -> float:
        metres = np.zeros(len(self.names))
        for take in (take for thing in things for take in thing.takes):
            metres[take.pool] += take.metres
        return sum(map(self.value, things)) + self.rests(metres)

    def missing(self, things: Sequence[Thing]) -> int:
        has = Counter(thing.want for thing in things)
        used = {lot.name for thing in things for take in thing.takes for lot in self.stock.pools[take.pool].lots}
        short = sum(max(0, number - has[want]) for want, number in enumerate(self.numbers) if number is not None)
        return short + sum(not group & used for group in self.must)

    def total(self, things: Sequence[Thing]) -> float:
        return self.worth(things) - MISSING * self.missing(things)

    def allowed(self, things: Sequence[Thing]) -> bool:
        """As to numbers."""
        has, of_key = Counter(one.want for one in things), Counter(one.assignment.key for one in things)
        return (
            all(number is None or has[want] <= number for want, number in enumerate(self.numbers))
            and max(of_key.values(), default=0) <= self.of_one
            and len({one.identity for one in things}) == len(things)
        )

    def chance(self, things: Sequence[Thing]) -> float:
        """Of all at once."""
        lengths = [(pool.free.mean, definitions.on_logarithm(pool.free)) for pool in self.plain.pools]
        return joint(lengths, [take for thing in things for take in thing.takes])

    def best(self, most: int) -> tuple[float, float]:
        """The most that any set comes to: of those that are surely sure enough, and with those on the edge of it.

        Raises TooMany for more sets than `most`.
        """
        certain, edge, tried = -MISSING * 100, -MISSING * 100, 0
        things = self.things
        waiting: list[tuple[int, list[Thing]]] = [(0, [])]
        while waiting:
            first, chosen = waiting.pop()
            tried += 1
            if tried > most:
                raise TooMany
            total, sure = self.total(chosen), self.chance(chosen)
            if sure < self.sure - 1e-7:
                continue  # nor is it with more things
            edge = max(edge, total)
            if sure > self.sure + 1e-7:
                certain = max(certain, total)
            for place in range(first, len(things)):
                more = [*chosen, things[place]]
                if self.allowed(more):
                    waiting.append((place + 1, more))
        return certain, edge

    def greedy(self) -> float:
        """What comes of taking the best thing that can still be added, again and again."""
        chosen: list[Thing] = []
        while True:
            here = self.total(chosen)
            better = [
                (self.total([*chosen, one]), place)
                for place, one in enumerate(self.things)
                if self.allowed([*chosen, one]) and self.chance([*chosen, one]) > self.sure + 1e-7
            ]
            if not better or max(better)[0] <= here:
                return here
            chosen.append(self.things[max(better)[1]])


def joint(lengths: Sequence[tuple[float, float]], takes: Sequence[Take]) -> float:
    """The chance of all: lengths (metres, error on the logarithm) of the pools. Her tension is one number for all; a sum
    of log-normal needs is taken as log-normal with its mean and variance."""
    together = np.ones(len(_Z))
    for pool in {take.pool for take in takes}:
        together *= _of_pool(*lengths[pool], tuple(take for take in takes if take.pool == pool))
    return float(together @ _WEIGHT)


_Z = np.linspace(-6.5, 6.5, 261)
_WEIGHT = np.exp(-0.5 * _Z * _Z) / np.exp(-0.5 * _Z * _Z).sum()


@lru_cache(maxsize=100_000)
def _of_pool(free: float, of_length: float, takes: tuple[Take, ...]) -> Floats:
    """The chance of a pool at each tension, with all that is taken of it; many sets take the same."""
    mean, variance, softest = np.zeros(len(_Z)), np.zeros(len(_Z)), 0.0
    for take in takes:
        needed = _needed(take)
        mean += needed
        variance += needed**2 * math.expm1(take.own**2)
        softest = max(softest, 0.04 * take.shared)
    of_need = np.log1p(variance / mean**2)
    doubt = np.sqrt(of_need + of_length**2)
    return ndtr((math.log(free) - np.log(mean) + of_need / 2) / np.maximum(doubt, softest))


@lru_cache(maxsize=100_000)
def _needed(take: Take) -> Floats:
    """The mean need [m] at each tension."""
    return take.metres * np.exp(take.shared * _Z + take.own**2 / 2)


def problems(aim: str, lots: int = 4, together: bool = False) -> st.SearchStrategy[Problem]:
    """Problems, all of their own."""
    # Whole numbers would be drawn from those that stand in whatever modules are loaded, another lot in each process.
    return st.sampled_from(range(10**9)).map(lambda number: problem(number, aim, lots, together))


def problem(number: int, aim: str, lots: int = 4, together: bool = False, least: int = 3) -> Problem:
    """Lots from which much can be made, few ways to make a few things of them, and wants, some of which can't be."""
    seed = f"{aim} {number}"
    pick = Random(seed)
    bin, entries = generated.rich(pick.randrange(10**9), pick.randint(least, lots), pick.choice([1, 2, 2]), together)
    catalogue = generated.cut(entries)
    whole = Problem(bin, catalogue, aim, (), (), held_together=together)
    ways = {
        key: [(way.size, way.gauge.stitches_10cm) for way in several if way.needs]
        for key, several in whole.plain.ways.items()
    }
    wants = tuple(
        {
            key: frozenset(pick.sample(ways[key], min(len(ways[key]), pick.choice([1, 2, 3, 5]))))
            for key in pick.sample(sorted(ways), pick.randint((len(ways) + 1) // 2, len(ways)))
        }
        for _ in range(pick.choice([1, 1, 2, 3]))
    )
    names = [lot.name for lot in bin.lots]
    return replace(
        whole,
        wants=wants,
        numbers=tuple(pick.choice([None, None, 1, 2]) for _ in wants),
        of_one=pick.choice([1, 2, 3]),
        must=tuple(frozenset(pick.sample(names, 1)) for _ in range(pick.choice([0, 0, 0, 1, 2]))),
        sure=pick.choice([0.5, 0.8, 0.9, 0.95, 0.99]),
        seed=seed,
    )
