"""A searcher of some of the pools of another, and what it found told in the places of the whole."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import ColourTable
from matcher.matching.ranking.choices import ranges
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.search import Outcome
from matcher.matching.ranking.searcher import Apart, Flags, Searcher

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Of more pools than this a search that only asks whether there is anything looks first among a few: of so many steps of
# thickness and of lightness the two with most yarn. Whatever is possible there is possible; it changes how long it
# takes, never what is said.
_FEW, _TEX_STEPS, _LIGHTNESSES, _OF_EACH = 1_000, 24, 3, 2


def among(searcher: Searcher, at: Indexes) -> Searcher:
    """The same of the pools at some places (rising). An assignment scores in it what it scores in the whole."""

    def some(flags: Flags | None) -> Flags | None:
        return None if flags is None else flags[at]

    def wanted(places: frozenset[int] | None) -> frozenset[int] | None:
        return None if places is None else frozenset(np.flatnonzero(np.isin(at, list(places))).tolist())

    stock, used = searcher.stock.take(at), None
    if 2 * stock.part.size < len(stock.labs):  # what is asked of colours often takes as long as there are colours
        used, part = np.unique(stock.part, return_inverse=True)
        part = part.reshape(stock.part.shape)
        stock = replace(stock, part=part, labs=stock.labs[used], sds=stock.sds[used])

    def fewer(colours: ColourTable) -> ColourTable:
        return colours if used is None else colours.of(used)

    parties = {
        name: Apart(fewer(one.colours), one.barred[at], one.barred_on_skin[at], wanted(one.wanted))
        for name, one in searcher.parties.items()
    }
    return replace(
        searcher,
        stock=stock,
        colours=fewer(searcher.colours),
        scarcity=searcher.scarcity[at],
        usable_m=searcher.usable_m[at],
        carries=searcher.carries[at],
        wanted=wanted(searcher.wanted),
        parties=parties,
        barred=some(searcher.barred),
        barred_on_skin=some(searcher.barred_on_skin),
        of_stock={},
        of_party={},
    )


def few_of_each(searcher: Searcher) -> Indexes:
    """A few pools of every thickness and lightness, those with most free yarn, rising; none of a small stock."""
    stock = searcher.stock
    if len(stock) <= _FEW:
        return np.zeros(0, dtype=np.intp)
    light = searcher.colours.lightness[0][stock.part[:, 0]]
    steps = _ranks(stock.tex, _TEX_STEPS) * _LIGHTNESSES + _ranks(light, _LIGHTNESSES)
    order = np.lexsort((-stock.free_m, steps))
    _, start, size = np.unique(steps[order], return_index=True, return_counts=True)
    return np.sort(order[ranges(start, np.minimum(size, _OF_EACH))])


def _ranks(figures: Floats, steps: int) -> Indexes:
    """Which of so many equal parts each of the figures (n,) falls into by its rank: array (n,)."""
    ranks = np.empty(len(figures), dtype=np.intp)
    ranks[np.argsort(figures, kind="stable")] = np.arange(len(figures))
    return ranks * steps // len(figures)


def found_in(at: Indexes, found: Found) -> Found:
    """An assignment that was found among some pools, in the places of the stock from which they were taken."""
    threads = tuple(tuple((int(at[pool]), strands) for pool, strands in thread) for thread in found.threads)
    return replace(found, threads=threads, doubled=tuple(int(at[pool]) for pool in found.doubled))


def placed(outcome: Outcome, at: Indexes) -> Outcome:
    """The same of all that was found."""

    def each(several: Iterable[Found]) -> tuple[Found, ...]:
        return tuple(found_in(at, one) for one in several)

    return replace(outcome, chosen=each(outcome.chosen), met=each(outcome.met), small=each(outcome.small))
