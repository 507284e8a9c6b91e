"""Pairs of columns that can't be together, and the cliques that they make: of each only one can be in a set."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt

from matcher.matching.sets.chance import Lengths, chance_of_set
from matcher.matching.sets.column import Column, Takes
from matcher.matching.sets.selection import Rules
from matcher.materials.uncertain import tension_grid

Flags = npt.NDArray[np.bool_]
Floats = npt.NDArray[np.float64]

# A chance must be below what is asked by so much before it is taken to be.
APART = 1e-9


def conflicts(rules: Rules, columns: Sequence[Column], chances: Floats) -> Flags:
    """Which two of the columns (c,) are not sure enough together: array (c, c). chances : (c, nodes), of each."""
    weight = tension_grid()[1]
    apart = (chances * weight) @ chances.T < rules.asked.sure - APART
    users: dict[int, list[int]] = {}
    for place, column in enumerate(columns):
        for pool in column.found.pools:
            users.setdefault(pool, []).append(place)
    pairs = {(a, b) for places in users.values() for at, a in enumerate(places) for b in places[at + 1 :]}
    for a, b in pairs:
        if not apart[a, b] and _together(rules, columns[a].takes, columns[b].takes) < rules.asked.sure - APART:
            apart[a, b] = apart[b, a] = True
    np.fill_diagonal(apart, False)
    return np.asarray(apart)


def _together(rules: Rules, one: Takes, other: Takes) -> float:
    pools, at = np.unique(np.concatenate([one.pool, other.pool]), return_inverse=True)
    some = Lengths(rules.stock.free_m[pools], rules.stock.log_sd[pools])
    first, second = at[: len(one.pool)], at[len(one.pool) :]
    return chance_of_set(
        some,
        (
            Takes(first, one.metres, one.shared_sd, one.own_sd),
            Takes(second, other.metres, other.shared_sd, other.own_sd),
        ),
    )


def cliques(apart: Flags) -> Iterator[list[int]]:
    """Cliques that cover every conflict, large ones first found."""
    left = apart.copy()
    while left.any():
        degree = left.sum(axis=1)
        first = int(degree.argmax())
        members, possible = [first], apart[first].copy()
        wanted = left[first].copy()
        while possible.any():
            # Those whose conflict with the first is not covered yet come first.
            rank = np.where(possible, degree + len(degree) * wanted, -1)
            new = int(rank.argmax())
            members.append(new)
            possible &= apart[new]
            wanted[new] = False
        ones = np.ix_(members, members)
        left[ones] = False
        yield members
