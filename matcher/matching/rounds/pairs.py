"""The most that assignments with each two pools could score: the chance of two roles is worked out for every pair."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.found import SLACK
from matcher.matching.rounds.ceiling import NEARLY, Ceiling
from matcher.matching.rounds.threads import Threads, sum_of_others, top_of
from matcher.materials.uncertain import chance_given_tension, margin, tension_grid

Floats = npt.NDArray[np.float64]

# Between so few pools it does not pay, and between more pools or cells there are too many pairs. They change how long a
# search takes, never what it finds.
_FEW, _MANY = 60, 5_000
_ROWS = 256
# Of more pools than this, chances are multiplied in single precision, twice as fast. Each of some 220 steps is off by
# 6e-8 at most, all of them to one side by so much.
_SINGLY, _SINGLE = 1_500, 2e-5


def of_pairs(ceiling: Ceiling, threads: Threads) -> Floats | None:
    """As `Heights.of` of cells or pools in a stock that is whole, but (roles, sizes, m); None where it does not pay.

    Given her tension two roles suffice independently, so the chance of both is one product over the nodes of it; and
    the chance of all is no more than that of two.
    """
    few = _FEW if threads.cells.groups.single else 0
    if ceiling.roles != 2 or ceiling.beyond is not None or not few < len(threads.at) <= _MANY:
        return None
    if threads.kindred.any():  # of which every pair would be counted as if they belonged together
        return None
    adds, tops = threads.adds, top_of(threads.adds.worth)
    of = np.where(np.isfinite(adds.worth), np.inf, -np.inf)
    for size in range(len(threads.sizes)):
        rows = [np.flatnonzero(np.isfinite(worth)) for worth in adds.worth[:, size]]
        chances = [_given_tension(ceiling, threads, role, size, at) for role, at in enumerate(rows)]
        for a, b in combinations(range(ceiling.roles), 2):
            off = NEARLY if chances[a].dtype == np.float64 else NEARLY + _SINGLE
            rest = sum_of_others(tops, a, b)[size] + ceiling.searcher.w_sure * off + SLACK
            worth, other = (adds.worth[one, size, rows[one]] for one in (a, b))
            for role, best in zip((a, b), _best(worth, other, chances[a], chances[b]), strict=True):
                most = best + adds.looks[role, size, rows[role]] + rest
                of[role, size, rows[role]] = np.minimum(of[role, size, rows[role]], most)
    return of


def _given_tension(ceiling: Ceiling, threads: Threads, role: int, size: int, rows: npt.NDArray[np.intp]) -> Floats:
    """The chance of each in a role given her tension, by the root of what it counts in the score: (rows, nodes)."""
    at, place = threads.at[rows], threads.sizes[size]
    length, shared, private = (float(one[role, place, 0]) for one in (ceiling.length, ceiling.shared, ceiling.private))
    spare = margin(threads.cells.most_m[at], length * threads.count[rows])
    chance = chance_given_tension(spare, shared, np.hypot(threads.cells.log_sd[at], private))
    precision = np.float32 if len(threads.at) > _SINGLY else np.float64
    return np.asarray(chance * np.sqrt(ceiling.searcher.w_sure * tension_grid()[1]), dtype=precision)


def _best(worth: Floats, other: Floats, chance: Floats, others: Floats) -> tuple[Floats, Floats]:
    """Of each of two roles' pools the most that it comes to with one of the other's."""
    best, best_other = np.full(len(worth), -np.inf), np.full(len(other), -np.inf)
    for low in range(0, len(worth) if len(other) else 0, _ROWS):
        some = slice(low, low + _ROWS)
        both = chance[some] @ others.T + other + worth[some, None]
        best[some] = both.max(axis=1)
        np.maximum(best_other, both.max(axis=0), out=best_other)
    return best, best_other
