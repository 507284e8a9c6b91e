"""Candidates that could stand beside somebody in every other role; where no bar tells them apart, others cost time.

A thing that cannot be made is told most often by two roles that hold nobody who reads beside anybody of the other, or
by three that all touch: of black and white any two read, and no three.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.bins import LightnessBins
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import Choices
from matcher.matching.ranking.main_strands import triangles
from matcher.matching.ranking.role_list import RoleList
from matcher.matching.ranking.searcher import TABLED
from matcher.matching.ranking.unread import unread

Flags = npt.NDArray[np.bool_]
Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Choices, and those of their places that are meant.
Threads = tuple[Choices, Indexes]

# Of so many pairs of candidates at most the readings are worked out; of each candidate with so few at first, and then
# so many times more. These change how long a search takes, never what it finds.
_READ, _FIRST_FEW, _MORE = 100_000, 1, 4


def standing(block: Block, lists: Sequence[RoleList], by_hue: bool = False) -> list[RoleList]:
    """The same without candidates that could stand beside nobody in some other role; none in any, where one has none.

    Looked at pair by pair where every pair is tabled, and by lightness where roles touch.
    by_hue : those that are few enough by their hues too.
    """
    found, every, left = list(lists), list(combinations(range(len(lists)), 2)), True
    touching = [(a, b) for a, b in every if block.touches(lists[a].role, lists[b].role)]
    bins = block.bins_of([one.choices for one in lists]) if touching else None
    while left and all(len(one.order) for one in found):
        left = False
        for a, b in every:
            one, other = found[a], found[b]
            if not (one.choices is block.base is other.choices and len(block.base) <= TABLED):
                continue
            first, second = _by_pairs(block, one, other)
            if not (first.all() and second.all()):
                found[a], found[b], left = one.only(first), other.only(second), True
        left = left or (bins is not None and _in_twos_and_threes(block, found, touching, bins))
        if by_hue and not left:
            left = _read_beside(block, found)
    return found if all(len(one.order) for one in found) else [one.only(one.order[:0]) for one in found]


@dataclass(frozen=True)
class _Alike:
    """Candidates by what makes them alike. of : for each role (m,) which kind each in its list is. reads : (k, k),
    whether two kinds could read beside each other."""

    of: Sequence[Indexes]
    reads: Flags

    def in_any(self, roles: Sequence[int]) -> list[Flags]:
        """Of two or three roles' candidates which could read beside some of each other: arrays along their lists."""
        there = [np.flatnonzero(np.bincount(self.of[role])) for role in roles]
        beside = [self.reads[np.ix_(one, other)] for one, other in combinations(there, 2)]
        able = triangles(*beside) if len(roles) == 3 else (beside[0].any(axis=1), beside[0].any(axis=0))
        found = np.zeros((len(roles), len(self.reads)), dtype=bool)
        for one, kinds, which in zip(found, there, able, strict=True):
            one[kinds] = which
        return [one[self.of[role]] for one, role in zip(found, roles, strict=True)]


def _in_twos_and_threes(
    block: Block, found: list[RoleList], touching: Sequence[tuple[int, int]], bins: LightnessBins
) -> bool:
    """Leave out those that could read beside nobody of some other role, or of two more that touch each other, in the
    first roles where there are any; whether there were.

    By lightness; and pools by themselves, where lightness alone tells nobody apart, by their colours in any motif: else
    one is found sooner than all are looked at.

    touching : places of roles that touch. bins : of the lists' choices.
    """
    threes = [one for one in combinations(range(len(found)), 3) if set(combinations(one, 2)) <= set(touching)]
    alone = all(one.choices is block.base for one in found)
    hoped, plain = _by_bins(bins, found)
    for roles in (*touching, *threes):
        able = hoped.in_any(roles)
        if all(one.all() for one in able) and alone and not all(one.any() for one in plain.in_any(roles)):
            told = unread(block.searcher, block.least)
            if told is not None:
                of = [told.of[role.choices.strands[role.order, 0]] for role in found]
                able = _Alike(of, told.share <= told.most).in_any(roles)
        if not all(one.all() for one in able):
            for role, which in zip(roles, able, strict=True):
                found[role] = found[role].only(which)
            return True
    return False


def _by_bins(bins: LightnessBins, found: Sequence[RoleList]) -> tuple[_Alike, _Alike]:
    """Candidates of the same two bins of lightness: whether they could read, and whether by lightness alone."""
    number = len(bins.adds)
    both = [of[0, one.order] * number + of[1, one.order] for of, one in zip(bins.of, found, strict=True)]
    every = np.flatnonzero(np.bincount(np.concatenate(both)))
    ends = np.divmod(every, number)
    of = [np.searchsorted(every, one) for one in both]

    def alike(adds: Floats) -> _Alike:
        could = np.isfinite(adds)
        reach = could[ends[0]] | could[ends[1]]
        return _Alike(of, reach[:, ends[0]] | reach[:, ends[1]])

    return alike(bins.adds), alike(bins.plain)


def _read_beside(block: Block, found: list[RoleList]) -> bool:
    """Leave out those that read beside nobody of some other role, in the first two roles where there are any; whether
    there were. The fewest pairs first."""
    every = [
        (len(found[a].order) * len(found[b].order), a, b)
        for a, b in combinations(range(len(found)), 2)
        if block.touches(found[a].role, found[b].role)
    ]
    for pairs, a, b in sorted(every):
        if pairs > _READ:
            return False
        first, second = _by_readings(block, found[a], found[b])
        if not (first.all() and second.all()):
            found[a], found[b] = found[a].only(first), found[b].only(second)
            return True
    return False


def _by_pairs(block: Block, one: RoleList, other: RoleList) -> tuple[Flags, Flags]:
    """Which of two roles' candidates could stand beside some of the other: arrays along their lists."""
    table, at = block.searcher.table(block.base, block.next_to_skin), np.ix_(one.order, other.order)
    able = table.apart[at] & (table.beside[at] > 0)
    if block.touches(one.role, other.role):
        able &= table.hopes[at] >= block.least
    return np.asarray(able.any(axis=1)), np.asarray(able.any(axis=0))


def _by_readings(block: Block, one: RoleList, other: RoleList) -> tuple[Flags, Flags]:
    """The same of few that touch, by how they read."""
    kept = block.hue_kept(one.role, other.role)
    mine, theirs = (one.choices, one.order), (other.choices, other.order)
    first = reads_beside_some(block, mine, theirs, kept)
    return first, reads_beside_some(block, theirs, (one.choices, one.order[first]), kept)


def reads_beside_some(block: Block, one: Threads, other: Threads, kept: float) -> Flags:
    """Which of some threads read beside some of others, in a motif that keeps so much of hue: array along the first.

    Most read beside one of the first few, so these are looked at first, then more for those that are left.
    """
    found = np.zeros(len(one[1]), dtype=bool)
    start, portion = 0, _FIRST_FEW
    while start < len(other[1]) and len(left := np.flatnonzero(~found)):
        some = other[1][start : start + portion]
        start, portion = start + portion, portion * _MORE
        first, second = np.repeat(one[1][left], len(some)), np.tile(some, len(left))
        reads = block.searcher.reads(one[0], first, other[0], second, kept) >= block.least
        found[left] = reads.reshape(len(left), len(some)).any(axis=1)
    return found
