"""The best lots for every accessory: an exact search of all variants at once, under one bar.

Each accessory at each gauge is a job. A job is bounded quickly, then more closely, then its sizes are searched one
by one; the job that promises most always comes first, and the search ends when none can beat the bar.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from heapq import heappop, heappush

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block, most_of_all
from matcher.matching.ranking.descent import Descent
from matcher.matching.ranking.found import Best, Field, Found
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]

# The steps of a job: a quick bound, a closer one, then the search itself.
QUICK, CLOSER, SEARCH = 0, 1, 2


def search(
    searcher: Searcher, variants: Sequence[Variant], least: float, each: int = 1, any_will_do: bool = False
) -> list[Found]:
    """The true best `each` assignments over all variants of one accessory, best first.

    Parameters
    ----------
    least : the reading that roles which touch must reach, see `contrast`.
    any_will_do : stop at the first assignment found; it only tells that there is one.
    """
    return list(search_all(searcher, {"": variants}, {"": least}, each, None, any_will_do).found)


@dataclass(frozen=True)
class Outcome:
    """What a search of several accessories gave.

    found : best first, ties by name; only the first `top` are sure to be the best, the others were met on the way.
    open : keys of accessories that could not reach the list and were not looked into further.
    cut_short : there were too many strands to try them all, so that a better one may be missing.
    """

    found: tuple[Found, ...]
    open: frozenset[str]
    cut_short: bool


def search_all(
    searcher: Searcher,
    variants: Mapping[str, Sequence[Variant]],
    least: Mapping[str, float],
    each: int = 1,
    top: int | None = None,
    any_will_do: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Outcome:
    """The true best `each` assignments of every accessory; only the first `top` of all these are sure to be found."""
    field = Field(top)
    jobs: list[tuple[float, int, _Job]] = []
    for key, several in variants.items():
        field.each[key] = Best(each, field, any_will_do)
        by_gauge: dict[tuple[str, float], list[Variant]] = {}
        for variant in several:
            by_gauge.setdefault((variant.party, variant.gauge.stitches_10cm), []).append(variant)
        for (party, _), of_gauge in by_gauge.items():
            lazy = _LazyBlock(searcher.of(party), of_gauge, least[key])
            for with_marls in (False, True) if searcher.most_strands > 1 else (False,):
                most = most_of_all(searcher, of_gauge[0])
                heappush(jobs, (-most, len(jobs), _Job(key, lazy, with_marls, most)))
    open_: set[str] = set()
    number = len(jobs)
    while jobs:
        if progress:
            progress(number - len(jobs), number)
        _, turn, job = heappop(jobs)
        best = field.each[job.key]
        if job.most <= best.bar:
            open_.add(job.key)
            continue
        if job.step == SEARCH and field.bar > -np.inf:
            open_.add(job.key)  # what fails under a bar may still be possible
        job.work(best)
        if job.most > -np.inf:
            # Where any will do, a job that is begun is brought to its end before the next.
            heappush(jobs, (-np.inf if any_will_do else -job.most, turn, job))
    found = [one for best in field.each.values() for one in best.found]
    found.sort(key=lambda one: (-round(one.score, 9), one.variant.accessory.name))
    unmade = frozenset(open_ - {key for key, best in field.each.items() if best.found})
    return Outcome(tuple(found), unmade, field.cut_short)


def search_scope(searcher: Searcher, scope: Scope, progress: Callable[[int, int], None] | None = None) -> Outcome:
    """The true best of all that is in scope, as many as she wants to see of each."""
    wishes = scope.wishes
    return search_all(searcher, scope.variants, scope.least, wishes.each, wishes.top, progress=progress)


def can_be_made(searcher: Searcher, scope: Scope, outcome: Outcome) -> frozenset[str]:
    """Keys of the accessories that can be made, whether they reached the list or not."""
    quick = replace(searcher, thorough=False, _of={})
    late = {key for key in outcome.open if search(quick, scope.variants[key], scope.least[key], any_will_do=True)}
    return frozenset({one.variant.accessory.key for one in outcome.found} | late)


class _LazyBlock:
    """A block that is made when it is first needed."""

    def __init__(self, searcher: Searcher, variants: Sequence[Variant], least: float) -> None:
        self._what = (searcher, variants, least)

    @cached_property
    def block(self) -> Block:
        return Block(*self._what)


class _Job:
    """The variants of one block, single or with marls: bounded ever more closely, then searched one by one."""

    def __init__(self, key: str, lazy: _LazyBlock, with_marls: bool, most: float) -> None:
        self.key, self.lazy, self.with_marls, self.most = key, lazy, with_marls, most
        self.step = 0
        self.bounds: Floats = np.zeros(0)

    def work(self, best: Best) -> None:
        """Do the next step: a closer bound, or the search of the variant that promises most."""
        block = self.lazy.block
        if self.step == QUICK:
            self.bounds = block.quick_bounds_with_marls() if self.with_marls else block.quick_bounds()
        elif self.step == CLOSER:
            closer = block.bounds_with_marls() if self.with_marls else block.bounds(best.bar, self.bounds)
            self.bounds = np.minimum(self.bounds, closer)
        else:
            size = int(self.bounds.argmax())
            Descent(block, size, best, self.with_marls).run()
            self.bounds[size] = -np.inf
        self.step = min(self.step + 1, SEARCH)
        self.most = float(self.bounds.max())
