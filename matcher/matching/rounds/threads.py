"""What threads add to the roles of a block at most, and how high that lets an assignment reach."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.rounds.cells import Cells

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Adds:
    """What cells add to the roles of a block at most, arrays (roles, sizes, m), -inf where none of them will do.

    worth : use, leftover and the share of kindred, as in `blocks.Merit`; traded : with the chance. shared : with what a
    role brings to the chance of all, see `jointly`. looks : what contrast and together come to at most.
    """

    worth: Floats
    traded: Floats
    shared: Floats
    looks: Floats

    @property
    def each(self) -> tuple[Floats, ...]:
        """All four."""
        return self.worth, self.traded, self.shared, self.looks


@dataclass(frozen=True)
class Threads:
    """Threads of one pool of a cell, so many strands of it: of m such and some sizes of a block what they add.

    at, count : (m,). sizes : (sizes,), places among those of the block. kindred : (m,), the most that each could be to
    all other roles, and that is in what they add.
    """

    cells: Cells
    at: Indexes
    count: Floats
    sizes: Indexes
    kindred: Floats
    adds: Adds

    def kept(self, keep: Flags) -> Threads:
        """Those that could still be in a role of a size: keep (roles, sizes, m). What can't be in one adds nothing."""
        rows, sizes = np.flatnonzero(keep.any(axis=(0, 1))), np.flatnonzero(keep.any(axis=(0, 2)))
        here = np.ix_(np.arange(len(keep)), sizes, rows)
        some, looks = keep[here], self.adds.looks[here]
        worth, traded, shared = (np.where(some, one[here], -np.inf) for one in self.adds.each[:3])
        adds = Adds(worth, traded, shared, looks)
        return Threads(self.cells, self.at[rows], self.count[rows], self.sizes[sizes], self.kindred[rows], adds)


@dataclass(frozen=True)
class Heights:
    """How high a block reaches. most : (sizes,), the most of any assignment.

    at : (k,) cells; of : (k, roles, sizes), the most of an assignment with one of that cell in that role.
    """

    most: Floats
    at: Indexes
    of: Floats


def numbered(cells: Cells, at: Indexes) -> tuple[Indexes, Indexes]:
    """The pools of such cells of one pool each, and which of them each is; cells that lie near each other."""
    if not len(at):
        return at, at
    low = int(at.min())
    there = np.zeros(int(at.max()) - low + 1, dtype=bool)
    there[at - low] = True
    return cells.groups.order[low + np.flatnonzero(there)], (np.cumsum(there) - 1)[at - low]


def by_pool(values: Floats, count: Floats, place: Indexes, number: int) -> Floats:
    """Of values (..., m) of threads the highest of each of so many pools, however many strands of it."""
    best = np.full((*values.shape[:-1], number), -np.inf)
    for strands in np.unique(count):
        at = np.flatnonzero(count == strands)
        best[..., place[at]] = np.maximum(best[..., place[at]], values[..., at])
    return best


def top_of(adds: Floats) -> Floats:
    """The most of all cells: (roles, sizes) of (roles, sizes, m)."""
    return np.asarray(adds.max(axis=2, initial=-np.inf))


def sum_of_others(tops: Floats, *roles: int) -> Floats:
    """What all roles but these are worth at most: array (sizes,), or (sizes, m) of what each leaves of them."""
    left = [top for role, top in enumerate(tops) if role not in roles]
    return np.asarray(sum(left, np.zeros(tops.shape[1:])))
