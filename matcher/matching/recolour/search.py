"""The true best ways to share pools out among roles, without trying them all.

Roles are filled one after the other. What a beginning can still come to is bounded from above, and a beginning
that cannot come among the best is left: order and mean reading add up over pairs of roles, so each role still to
be filled adds at most the best that any pool offers against those chosen; the least reading and the yarns'
going together only fall; and the chance, kept for each node of the shared tension, is multiplied by the most that
any pool offers at that node.
"""

from __future__ import annotations

import bisect
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.found import SLACK
from matcher.matching.recolour.colouring import LIGHTER, Asked, PoolTable
from matcher.materials.uncertain import tension_grid

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Bools = npt.NDArray[np.bool_]
Progress = Callable[[int, int], None]  # beginnings done, of how many

_HALF = 0.5e-9  # scores are compared to nine places
_NONE = -9.0  # below any value of a pool; where no pool is free, `together` is 0 and rules it out
_FEW, _MANY, _BEAM = 16, 256, 64


@dataclass(frozen=True)
class Aim:
    """What a sharing-out is valued by: weights of its figures (each 0 to 1), and what it must reach.

    order: share of sides in the wanted order of lightness; least, mean: reading of the two roles that read
    least, and of all that touch by the sides they share; sure: the chance that everything suffices.
    warnings_lower: the whole is multiplied by the least factor that two of its yarns have beside each other.
    """

    order: float
    least: float
    mean: float
    sure: float
    warnings_lower: bool = True
    least_sure: float = 0.0
    whole_order: bool = False


@dataclass(frozen=True)
class _Begun:
    """Beginnings: b ways to fill the first k roles, and their figures so far."""

    chosen: Indexes  # (b, k)
    chance: Floats  # (b, nodes), times the weights of the nodes
    mean: Floats  # (b,) readings by sides, of pairs that are complete
    lost: Floats  # (b,) share of sides in the wrong order
    least: Floats  # (b,)
    together: Floats  # (b,)

    def rows(self, at: Indexes | slice) -> _Begun:
        return _Begun(self.chosen[at], self.chance[at], self.mean[at], self.lost[at], self.least[at], self.together[at])


@dataclass
class RoleSearch:
    """One search: `able[r]` are the places of the pools that may fill role r, in the order of the needs."""

    asked: Asked
    table: PoolTable
    wanted: Sequence[str] | None
    able: Sequence[Indexes]
    aim: Aim
    top: int
    found: list[tuple[float, tuple[int, ...]]] = field(default_factory=list)  # (-score to nine places, places)
    progress: Progress | None = None

    @cached_property
    def _sides(self) -> Floats:
        """Each pair's part of all sides (roles, roles)."""
        roles = self.asked.roles
        sides = np.array([[float(self.asked.edges.get(frozenset((a, b)), 0)) for b in roles] for a in roles])
        np.fill_diagonal(sides, 0.0)
        total = np.triu(sides).sum()
        return sides / total if total else sides

    @cached_property
    def _ordered(self) -> tuple[Floats, Floats]:
        """Part of the order that hangs on each pair, and +1 where the second role is to be lighter, else -1."""
        wanted = list(self.wanted or ())
        rank = np.array([wanted.index(role) if role in wanted else -1 for role in self.asked.roles])
        part = np.where((rank[:, None] >= 0) & (rank >= 0), self._sides, 0.0)
        total = np.triu(part).sum()
        return (part / total if total else part), np.sign(rank - rank[:, None]).astype(float)

    @cached_property
    def _chances(self) -> list[Floats]:
        """Chance of each able pool in each role, by nodes of the tension: arrays (m, nodes)."""
        stock, found = self.table.stock, []
        for need, able in zip(self.asked.needs, self.able, strict=True):
            found.append(stock.chances(able, need.length_m, need.shared_sd, need.own_sd))
        return found

    @cached_property
    def _at_most(self) -> list[Floats]:
        """Chance that all roles after each one have at most, by nodes."""
        most = [np.ones(len(tension_grid()[0]))]
        for chances in reversed(self._chances[1:]):
            most.append(most[-1] * chances.max(axis=0))
        return most[::-1]

    def best(self) -> list[tuple[int, ...]]:
        """Places of the pools, one a role: the first `top` by score to nine places, equals in the order of places."""
        if not self.asked.needs or any(len(able) == 0 for able in self.able):
            return []
        sides = 1.0 if self._sides.any() else 0.0
        start = _Begun(
            np.zeros((1, 0), dtype=np.intp),
            tension_grid()[1][None, :],
            np.array([1.0 - sides]),
            np.zeros(1),
            np.ones(1),
            np.ones(1),
        )
        self._step(start, beam=True)  # a good bar first, from few beginnings
        self._step(start, beam=False)
        return [places for _, places in self.found]

    def _step(self, begun: _Begun, beam: bool) -> None:
        bound, grown, parents, picks = self._grown(begun)
        chosen = np.column_stack([begun.chosen[parents], picks])
        keep = np.flatnonzero(self._alive(bound, chosen))
        order = np.lexsort([*chosen[keep].T[::-1], -np.round(bound[keep], 9)])
        keep = keep[order]
        role = begun.chosen.shape[1]
        if role == len(self.able) - 1:
            for one in keep.tolist():
                self._offer(float(bound[one]), tuple(chosen[one].tolist()))
            return
        start, size = 0, _BEAM if beam else _FEW
        while start < len(keep):
            at = keep[start : start + size]
            at = at[self._alive(bound[at], chosen[at])]
            if len(at):
                own = np.searchsorted(self.able[role], picks[at])
                chance = begun.chance[parents[at]] * self._chances[role][own]
                self._step(replace(grown.rows(at), chosen=chosen[at], chance=chance), beam)
            if beam:
                return
            start, size = start + size, _MANY
            if self.progress is not None and role == 0:
                self.progress(min(start, len(keep)), len(keep))

    def _grown(self, begun: _Begun) -> tuple[Floats, _Begun, Indexes, Indexes]:
        """All ways to fill the next role, the most that each could come to, its beginning and its pool.

        `chosen` and `chance` of the result are left empty: they are made only for those that go on.
        """
        role, aim = begun.chosen.shape[1], self.aim
        following = range(role + 1, len(self.able))
        mean, lost, least, together, free = self._against(begun, role)
        sure = (begun.chance * self._at_most[role]) @ self._chances[role].T
        all_mean, all_lost = begun.mean[:, None] + mean, begun.lost[:, None] + lost
        all_least = np.minimum(begun.least[:, None], least)
        all_together = np.minimum(begun.together[:, None], together)
        most_least, most_together = all_least, all_together
        # Pairs that this role begins, or of which nothing is chosen: nothing is known against them yet.
        open_pairs = self._sides[role:, role + 1 :]
        gain = np.full((len(begun.chosen), 1), aim.mean * np.triu(open_pairs).sum())
        for later in following:
            its_mean, its_lost, its_least, its_together, its_free = self._against(begun, later)
            value = np.where(its_free, aim.mean * its_mean - aim.order * its_lost, _NONE)
            gain += value.max(axis=1, keepdims=True)
            most_least = np.minimum(most_least, np.where(its_free, its_least, 0.0).max(axis=1, keepdims=True))
            most_together = np.minimum(most_together, np.where(its_free, its_together, 0.0).max(axis=1, keepdims=True))
        bound = aim.order * (1.0 - all_lost) + aim.mean * all_mean + gain + aim.least * most_least + aim.sure * sure
        if aim.warnings_lower:
            bound = bound * most_together
        good = free & (most_together > 0) & (sure >= aim.least_sure - SLACK)
        if aim.whole_order:
            good &= all_lost < SLACK
        bound = np.where(good, bound, -np.inf)
        parents, columns = np.divmod(np.arange(bound.size), bound.shape[1])
        grown = _Begun(
            np.zeros((bound.size, 0), dtype=np.intp),
            np.zeros((bound.size, 0)),
            all_mean.ravel(),
            all_lost.ravel(),
            all_least.ravel(),
            all_together.ravel(),
        )
        return bound.ravel(), grown, parents, self.able[role][columns]

    def _against(self, begun: _Begun, role: int) -> tuple[Floats, Floats, Floats, Floats, Bools]:
        """What each able pool of a role brings beside those chosen, arrays (b, m), and whether it is still free."""
        able, table = self.able[role], self.table
        shape = (len(begun.chosen), len(able))
        mean, lost, least, together = np.zeros(shape), np.zeros(shape), np.ones(shape), np.ones(shape)
        free = np.ones(shape, dtype=bool)
        part, sign = self._ordered
        for earlier, places in enumerate(begun.chosen.T):
            together = np.minimum(together, table.beside(places)[:, able])
            free &= able != places[:, None]
            sides = self._sides[earlier, role]
            if sides > 0:
                reads = table.reads(places)[:, able]
                mean += sides * reads
                least = np.minimum(least, reads)
            if part[earlier, role] > 0:
                lighter = sign[earlier, role] * (table.lightness[able] - table.lightness[places][:, None])
                lost += part[earlier, role] * (lighter <= LIGHTER)
        free &= together > 0
        return mean, lost, least, together, free

    def _alive(self, bound: Floats, chosen: Indexes) -> Bools:
        """Which beginnings could still come among the best."""
        alive = bound > -np.inf
        if len(self.found) < self.top:
            return np.asarray(alive)
        score, last = -self.found[-1][0], self.found[-1][1]
        above = bound > score + _HALF - SLACK
        # Of equal scores the first by name wins, so a beginning that comes later by name can only lose.
        later = np.zeros(len(bound), dtype=bool)
        same = np.ones(len(bound), dtype=bool)
        for column, place in zip(chosen.T, last, strict=False):
            later |= same & (column > place)
            same &= column == place
        return np.asarray(alive & (above | ((bound >= score - _HALF - SLACK) & ~later)))

    def _offer(self, score: float, places: tuple[int, ...]) -> None:
        new = (-round(score, 9), places)
        if new not in self.found and (len(self.found) < self.top or new < self.found[-1]):
            bisect.insort(self.found, new)
            del self.found[self.top :]
