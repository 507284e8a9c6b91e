"""The best lots for every accessory: an exact search of all variants at once, under one bar.

Each accessory at each gauge is a job. A job is bounded quickly, then more closely, then its sizes are searched one
by one; the job that promises most always comes first, and the search ends when none can beat the bar.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from matcher.knitting.accessory import SMALL
from matcher.knitting.fabric import tex_range
from matcher.matching.ranking.blocks import Block, most_of_all
from matcher.matching.ranking.closer import closer_bound
from matcher.matching.ranking.descent import Descent
from matcher.matching.ranking.found import Best, Field, Found
from matcher.matching.ranking.main_strands import could_ever_stand
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.thin import Thin
from matcher.matching.ranking.varied import VariedField, Variety
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]


def search(
    searcher: Searcher,
    variants: Sequence[Variant],
    least: float,
    each: int = 1,
    any_will_do: bool = False,
    marls: bool = True,
) -> list[Found]:
    """The true best `each` assignments over all variants of one accessory, best first.

    Parameters
    ----------
    least : the reading that roles which touch must reach, see `contrast`.
    any_will_do : stop at the first assignment found; it only tells that there is one.
    marls : whether strands of different pools are held together, where the searcher allows it.
    """
    return list(search_all(searcher, {"": variants}, {"": least}, Field(), each, any_will_do, marls=marls).chosen)


@dataclass(frozen=True)
class Outcome:
    """What a search of several accessories gave.

    chosen : the list, in its order. small : a list of small things apart from it. met : all that was met on the way.
    open : keys of accessories that could not reach the list and were not looked into further.
    untold : keys of those that were not, since there were too many strands to try them all, and of which none was met.
    cut_short : there were too many strands to try them all, so that a better one may be missing. missing : the most
    that one could score, -inf where all were tried.
    """

    chosen: tuple[Found, ...]
    met: tuple[Found, ...]
    open: frozenset[str]
    cut_short: bool
    small: tuple[Found, ...] = ()
    missing: float = -np.inf
    untold: frozenset[str] = frozenset()


def search_all(
    searcher: Searcher,
    variants: Mapping[str, Sequence[Variant]],
    least: Mapping[str, float],
    field: Field,
    each: int = 1,
    any_will_do: bool = False,
    progress: Callable[[int, int], None] | None = None,
    marls: bool = True,
    floors: Mapping[str, float] = MappingProxyType({}),
) -> Outcome:
    """The true list of a field: the best `each` assignments of every accessory, chosen as the field says.

    floors : of some accessories, what is of no interest: only better ones are looked for.
    """
    marled = marls and searcher.most_strands > 1
    lazies: dict[str, list[_LazyBlock]] = {}
    for key, several in variants.items():
        kept = field.kept(each, len(several[0].filled)) if several else each
        field.each[key] = Best(
            kept, several[0].accessory.kind if several else "", field, any_will_do, floors.get(key, -np.inf)
        )
        by_gauge: dict[tuple[str, float], list[Variant]] = {}
        # Where any will do, what can't be made of any yarn is told before its gauges are looked at one by one.
        none = any_will_do and several and not could_ever_stand(searcher, several, least[key])
        for variant in () if none else several:
            by_gauge.setdefault((variant.party, variant.gauge.stitches_10cm), []).append(variant)
        lazies[key] = [
            _LazyBlock(searcher.of(party), of_gauge, least[key]) for (party, _), of_gauge in by_gauge.items()
        ]
        if any_will_do:  # where most lots are long enough, one is found soonest
            lazies[key].sort(key=lambda lazy: -lazy.able)
    run = _Run(field, lazies, progress)
    # Few roles first, marls last: they are quick, and the bar that they set spares the others much.
    roles = {key: len(several[0].filled) for key, several in variants.items() if several}
    for number in sorted(set(roles.values())):
        run.search({key for key in roles if roles[key] == number}, (False,))
        while short := field.short():
            run.search(short, (False,))
    if marled:
        run.search(set(roles), (True,))
    while doubtful := field.short() or field.doubtful():
        run.search(doubtful, (False, True) if marled else (False,))
    unmade = {key: best for key, best in field.each.items() if not best.found}
    return Outcome(
        tuple(field.chosen()),
        tuple(field.met()),
        frozenset(run.open & unmade.keys()),
        field.cut_short,
        missing=field.missing,
        untold=frozenset(key for key, best in unmade.items() if best.cut_short),
    )


class _Run:
    """The jobs of a field; `open` are the accessories that some bar kept from being looked into to the end."""

    def __init__(
        self,
        field: Field,
        lazies: Mapping[str, Sequence[_LazyBlock]],
        progress: Callable[[int, int], None] | None,
    ) -> None:
        self.field, self.lazies, self.progress = field, lazies, progress
        self.open: set[str] = set()
        self.done, self.number = 0, 2 * sum(map(len, lazies.values()))

    def search(self, keys: Set[str], marls: Sequence[bool]) -> None:
        """Search some accessories from the beginning, under the bars that there are, with marls or without."""
        jobs: list[tuple[float, int, _Job]] = []
        for key in self.lazies:
            for lazy in self.lazies[key] if key in keys else ():
                most = most_of_all(lazy.searcher, lazy.variants[0])
                for with_marls in marls:
                    heappush(jobs, (-most, len(jobs), _Job(key, lazy, with_marls, most)))
        before, number = self.done, len(jobs)
        while jobs:
            if self.progress:
                self.progress(min(self.done, self.number), self.number)
            _, turn, job = heappop(jobs)
            best = self.field.each[job.key]
            if job.most <= best.bar:
                self.open.add(job.key)
                continue
            if job.searches and self.field.bar_of(best.kind) > -np.inf:
                self.open.add(job.key)  # what fails under a bar may still be possible
            job.work(best)
            if job.most > -np.inf:
                # Where any will do, a job that is begun is brought to its end before the next.
                heappush(jobs, (-np.inf if best.any_will_do else -job.most, turn, job))
            self.done = before + number - len(jobs)


def search_scope(
    searcher: Searcher,
    scope: Scope,
    progress: Callable[[int, int], None] | None = None,
    floors: Mapping[str, float] = MappingProxyType({}),
) -> Outcome:
    """The true list of all that is in scope, as many as she wants to see of each. floors : as for `search_all`."""
    wishes, ranking = scope.wishes, searcher.ranking
    if not wishes.varied:
        return search_all(
            searcher, scope.variants, scope.least, Field(wishes.top), wishes.each, progress=progress, floors=floors
        )
    apart = {
        key: several
        for key, several in scope.variants.items()
        if several[0].accessory.small and SMALL not in wishes.kinds
    }
    large = {key: several for key, several in scope.variants.items() if key not in apart}
    rule = Variety(wishes.top, wishes.each, None if wishes.kinds else int(ranking.of_a_kind))
    field = VariedField(rule=rule)
    main = search_all(searcher, large, scope.least, field, wishes.each, progress=progress, floors=floors)
    if not apart:
        return main
    taken = frozenset(one.pools for one in main.chosen)
    beside = VariedField(rule=Variety(int(ranking.small_things), wishes.each, None, taken), looked=field.looked)
    small = search_all(searcher, apart, scope.least, beside, wishes.each, progress=progress, floors=floors)
    met = tuple(sorted((*main.met, *small.met), key=lambda one: one.place))
    cut_short, missing = main.cut_short or small.cut_short, max(main.missing, small.missing)
    untold = main.untold | small.untold
    return Outcome(main.chosen, met, main.open | small.open, cut_short, small.chosen, missing, untold)


class _LazyBlock:
    """A block that is made when it is first needed.

    searched : by marls or none, and size, the highest bar under which it was searched to the end.
    """

    def __init__(self, searcher: Searcher, variants: Sequence[Variant], least: float) -> None:
        self.searcher, self.variants, self.least = searcher, variants, least
        self.searched: dict[tuple[bool, int], float] = {}

    @cached_property
    def block(self) -> Block:
        return Block(self.searcher, self.variants, self.least)

    @property
    def able(self) -> int:
        """How many pools have enough for the role that fewest can fill, in the size that takes least."""
        least = min(self.variants, key=lambda one: float(one.length_m.max(initial=0.0)))
        stock, tex = self.searcher.stock, tex_range(least.gauge, self.searcher.constants)
        suits = stock.free_m[(stock.tex >= tex[0]) & (stock.tex <= tex[1])]
        return int((suits >= least.length_m.max(initial=0.0)).sum())


class _Job:
    """The variants of one block, single or with marls: all bounded quickly, then each more closely, then searched."""

    def __init__(self, key: str, lazy: _LazyBlock, with_marls: bool, most: float) -> None:
        self.key, self.lazy, self.with_marls, self.most = key, lazy, with_marls, most
        self.bounds: Floats = np.zeros(0)
        self.close: set[int] = set()

    @cached_property
    def thin(self) -> Thin | None:
        """Only where pools are held together."""
        return Thin(self.lazy.block) if self.with_marls else None

    @property
    def searches(self) -> bool:
        """Whether its next step is a search."""
        return int(self.bounds.argmax()) in self.close if len(self.bounds) else False

    def work(self, best: Best) -> None:
        """Do the next step for the variant that promises most: a closer bound, or its search."""
        block = self.lazy.block
        if not len(self.bounds):
            self.bounds = self.thin.quick_bounds() if self.thin else block.rough_bounds()
        elif (size := int(self.bounds.argmax())) not in self.close and self._is_closer(best, size):
            self._look_closer(best, size)
        else:
            # With marls the lists are long, and each size has its own.
            sizes = [size] if self.thin else np.flatnonzero(self.bounds > best.bar).tolist()
            sizes = [one for one in sizes if self._is_new(best, one)]
            for one in sizes:
                if one not in self.close and self._is_closer(best, one):
                    self._look_closer(best, one)
            sizes = [one for one in sizes if self.bounds[one] > best.bar]
            if sizes:
                best.highest = best.bar
                Descent(block, np.array(sizes), best, self.thin).run()
                for one in sizes:
                    self.lazy.searched[self.with_marls, one] = best.highest
            self.bounds[[size, *sizes]] = -np.inf
        self.most = float(self.bounds.max())

    def _is_new(self, best: Best, size: int) -> bool:
        """Whether a search of a size could find anything: what beat a bar was found under it, so that there is nothing
        under one no lower, nor than what was let go of."""
        return best.bar < max(self.lazy.searched.get((self.with_marls, size), np.inf), best.lost)

    def _is_closer(self, best: Best, size: int) -> bool:
        """Whether a closer bound on a size could spare anything: where any will do, there is no bar to fall under."""
        return self._is_new(best, size) and (bool(self.thin) or not best.any_will_do)

    def _look_closer(self, best: Best, size: int) -> None:
        block = self.lazy.block
        closer = self.thin.bound(size, best.bar) if self.thin else closer_bound(block, size, best.bar)
        self.bounds[size] = min(float(self.bounds[size]), closer)
        self.close.add(size)
