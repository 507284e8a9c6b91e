"""Families: pools of one garment, or of one yarn, and which of them promise most for all roles of a block."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matcher.matching.kindred import Kindred
from matcher.matching.rounds.ceiling import Ceiling
from matcher.matching.rounds.cells import Cells
from matcher.matching.rounds.groups import Sharers, sharers_of
from matcher.matching.rounds.threads import by_pool, numbered
from matcher.matching.variants import least_colours

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


def some_families(kindred: Kindred, most: int) -> Flags:
    """Which pools are of every so many-th garment or yarn, so that there are about as many as asked at most of each."""
    found = np.zeros(len(kindred.yarns), dtype=bool)
    for numbers in (kindred.homes, kindred.yarns):
        named = numbers >= 0
        step = max(1, -(-int(np.count_nonzero(named)) // most))
        found |= (named & (numbers % step == 0)).any(axis=1)
    return found


def best_families(ceiling: Ceiling, cells: Cells, among: Indexes, size: int, number: int) -> Indexes:
    """Pools of the families that promise most for one size of a block, of at most so many garments and so many yarns.

    What a family promises is what its best for each role add, as if each were another pool, and lightness told them
    apart as far as the family goes: a guess where to look, and nothing hangs on it.

    cells : of one pool each. among : those to look at.
    """
    threads = ceiling.threads(cells, among, np.array([size]))
    pools, place = numbered(cells, threads.at)
    strange = (threads.adds.shared - threads.kindred)[:, 0]
    worth = by_pool(strange, threads.count, place, len(pools))
    found = [np.zeros(0, dtype=np.intp)]
    for sharers in sharers_of(pools, ceiling.searcher.stock.kindred):
        promise = _promise(ceiling, sharers, cells.light.ends[:, cells.groups.place[pools]], worth)
        best = np.argsort(-promise, kind="stable")[:number]
        best = best[np.isfinite(promise[best])]
        found.append(pools[sharers.who[np.isin(sharers.of, best)]])
    return np.concatenate(found)


def _promise(ceiling: Ceiling, sharers: Sharers, light: Floats, worth: Floats) -> Floats:
    """What each family could come to: array (g,); -inf of one that has too few.

    light : (2, k), the L* between which what each of k pools reads is bounded. worth : (roles, k).
    """
    searcher, of = ceiling.searcher, sharers.who
    together = np.maximum.reduceat(worth[:, of], sharers.start, axis=1).sum(axis=0)
    enough = np.diff(sharers.start, append=len(of)) >= ceiling.roles
    contrast: Floats | float = ceiling.contrast
    if ceiling.edges:
        dark, bright = light[:, of]
        width = np.maximum.reduceat(bright, sharers.start) - np.minimum.reduceat(dark, sharers.start)
        apart = width / max(1, least_colours(ceiling.roles, ceiling.edges) - 1)
        contrast = np.minimum(contrast, searcher.colours.most_by_lightness(apart))
    return np.where(enough, together + searcher.w_contrast * contrast, -np.inf)
