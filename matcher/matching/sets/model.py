"""The arrays of a programme: columns, what is missing, the risk of each pool, and what is left of it.

Variables: each column, 0 or 1; what is missing of each want and of each lot that must be used, which costs more than
anything could be worth; the risk of each pool at each node (`risk`); and what is left of each pool, where the aim asks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.prices import Prices, stretch
from matcher.matching.sets.capacity import Capacity
from matcher.matching.sets.column import Column
from matcher.matching.sets.risk import Risk
from matcher.matching.sets.rows import Rows
from matcher.matching.sets.selection import MISSING, Rules
from matcher.materials.uncertain import normal_chance

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Relaxed:
    """The linear programme, solved: no set of these columns is worth more than `value`.

    prices : of the pools. of_want, of_key : what a column of a want and of an accessory must be worth before it counts.
    """

    value: float
    prices: Prices
    of_want: Floats
    of_key: Mapping[str, float]

    def priced(self, column: Column) -> float:
        """What a column is worth, less what its yarn costs."""
        return column.less(self.prices)


class Model:
    """The arrays; what is to be least is `cost`.

    capacity : limits on each pool by itself in place of the lines that hold for every set. cuts : what is forbidden.
    """

    def __init__(
        self,
        rules: Rules,
        risk: Risk,
        columns: Sequence[Column],
        capacity: Capacity | None = None,
        cuts: Sequence[tuple[dict[int, float], float]] = (),
    ) -> None:
        self.columns, self.risk = columns, risk
        self.stock, self.asked, self.aim = rules.stock, rules.asked, rules.aim
        self.number = len(columns)
        several = [one.takes for one in columns]
        lengths = [len(one.pool) for one in several]
        self.of = np.repeat(np.arange(self.number), lengths)

        def flat(name: str) -> Floats:
            return np.concatenate([getattr(one, name) for one in several], dtype=float) if several else np.zeros(0)

        self.metres, self.shared, self.own = (flat(name) for name in ("metres", "shared_sd", "own_sd"))
        self.pools, self.at = np.unique(flat("pool").astype(np.intp), return_inverse=True)
        self.rows, self.variables = Rows(), 0
        self.costs: list[Floats] = []
        self.lower: list[Floats] = []
        self.upper: list[Floats] = []
        self.integral: list[Indexes] = []
        self._new(-np.array([one.value for one in columns]), 1.0, True)
        # One that is always 0, so that there is a programme where nothing can be made and nothing is wanted too.
        self._row(self._new(np.zeros(1), 0.0), np.ones(1), 0.0)
        self.at_metre: list[tuple[slice, Indexes, Floats]] = []
        self.at_node: list[tuple[slice, int, Indexes, Floats]] = []
        self.at_each: list[tuple[slice, frozenset[int]]] = []
        self._wants()
        self._keys()
        self._must()
        self.nodes = self.risk.nodes if capacity is None else np.array([capacity.tension])
        self._limits() if capacity is None else self._capacities(capacity)
        if self.aim.short.any():
            self._rests()
        if self.aim.finished.any():
            self._finished()
        for cut, at_most in cuts:
            self._row(np.array(list(cut)), np.array(list(cut.values())), at_most)
        self.cost, self.whole = np.concatenate(self.costs), np.concatenate(self.integral)
        self.bounds = np.concatenate(self.lower), np.concatenate(self.upper)
        self.matrix, self.limits = self.rows.matrix(self.variables), np.concatenate(self.rows.limits)

    def _new(self, cost: Floats, upper: float | Floats, whole: bool = False) -> Indexes:
        """Variables from 0 to `upper` that cost so much; their places."""
        start, self.variables = self.variables, self.variables + len(cost)
        self.costs.append(cost)
        self.lower.append(np.zeros(len(cost)))
        self.upper.append(np.broadcast_to(np.asarray(upper, dtype=float), len(cost)))
        self.integral.append(np.full(len(cost), int(whole)))
        return np.arange(start, self.variables)

    def _row(self, places: Indexes, values: npt.ArrayLike, limit: float) -> slice:
        return self.rows.add(np.zeros(len(places), dtype=np.intp), places, np.asarray(values, float), np.array([limit]))

    def _of_pools(self, values: Floats, others: Indexes, other_values: Floats, limits: Floats) -> slice:
        """A row for each pool: `values` (t,) of what the columns take, and one further variable for each."""
        every = np.arange(len(self.pools))
        return self.rows.add(
            np.concatenate([self.at, every]),
            np.concatenate([self.of, others]),
            np.concatenate([values, np.broadcast_to(other_values, len(every))]),
            limits,
        )

    def _wants(self) -> None:
        numbers = self.asked.numbers
        fixed = [want for want, number in enumerate(numbers) if number is not None]
        miss = self._new(np.full(len(fixed), MISSING), np.array([float(numbers[want] or 0) for want in fixed]))
        wants = np.array([one.want for one in self.columns], dtype=np.intp)
        self.want_rows: dict[int, tuple[slice, slice]] = {}
        for place, want in zip(miss, fixed, strict=True):
            columns, number = np.flatnonzero(wants == want), float(numbers[want] or 0)
            at_most = self._row(columns, np.ones(len(columns)), number)
            with_missing = np.append(columns, place)
            self.want_rows[want] = at_most, self._row(with_missing, -np.ones(len(with_missing)), -number)

    def _keys(self) -> None:
        by_key: dict[str, list[int]] = {}
        for place, column in enumerate(self.columns):
            by_key.setdefault(column.key, []).append(place)
        self.key_rows = {
            key: self._row(np.array(places), np.ones(len(places)), self.asked.of_one) for key, places in by_key.items()
        }

    def _must(self) -> None:
        miss = self._new(np.full(len(self.asked.must), MISSING), 1.0)
        for place, pools in zip(miss, self.asked.must, strict=True):
            uses = np.unique(self.of[np.isin(self.pools[self.at], list(pools))])
            with_missing = np.append(uses, place)
            rows = self._row(with_missing, -np.ones(len(with_missing)), -1.0)
            self.at_each.append((rows, pools))

    def _limits(self) -> None:
        """What no set of the chance asked can pass: see `risk`."""
        risk, pools, every = self.risk, self.pools, np.arange(len(self.pools))
        for node, tension in enumerate(risk.nodes):
            needed = self.metres * stretch(float(tension), self.shared, self.own)
            rows = self.rows.add(self.at, self.of, needed, risk.most_m[node, pools])
            self.at_node.append((rows, node, every, np.ones(len(every))))
            risks = self._new(np.zeros(len(pools)), float(risk.most_risk[:, node].max()))
            for offset, slope in zip(risk.offset, risk.slope, strict=True):
                steep = slope[pools]
                rows = self._of_pools(needed * steep[self.at], risks, -np.ones(1), -offset[pools])
                self.at_node.append((rows, node, every, steep))
            # Things that share no pool have no less risk together than each has; those that do have more.
            alone = self._alone(float(tension))
            for group, most in zip(risk.groups[:, pools], risk.most_risk[:, node], strict=True):
                self._row(risks[group], np.ones(int(group.sum())), float(most))
                of_columns = np.bincount(self.of, np.where(group[self.at], alone, 0.0), minlength=self.number)
                self._row(np.arange(self.number), of_columns, float(most))

    def _alone(self, tension: float) -> Floats:
        """The risk of each strand of each column at a tension, as if nothing else took of its pool: array (t,)."""
        pools = self.pools[self.at]
        spare = np.log(self.stock.free_m[pools] / self.metres) - self.shared * tension
        return -np.log(np.maximum(normal_chance(spare / np.hypot(self.stock.log_sd[pools], self.own)), 1e-300))

    def _capacities(self, capacity: Capacity) -> None:
        """Each pool by itself."""
        needed = self.metres * stretch(capacity.tension, self.shared, self.own)
        every = np.arange(len(self.pools))
        rows = self.rows.add(self.at, self.of, needed, capacity.most_m[self.pools])
        self.at_node.append((rows, 0, every, np.ones(len(every))))

    def hold(self, held: Sequence[int]) -> None:
        """Columns that are chosen in any case, whatever the rows of the pools say of them alone."""
        self.bounds[0][list(held)] = 1.0
        for rows, _, _, _ in self.at_node if held else ():
            self.limits[rows] = np.maximum(self.limits[rows], self.matrix[rows] @ self.bounds[0])

    def _rests(self) -> None:
        """Rests below a useful length count against a set, by as much as there is of them."""
        pools, every = self.pools, np.arange(len(self.pools))
        free, usable = self.stock.free_m[pools], self.asked.usable_m[pools]
        below = self._new(np.zeros(len(pools)), 1.0, True)
        short = self._new(self.aim.short[pools], np.inf)
        large = free >= usable
        reach = np.where(large, usable, 0.0)
        rows = self._of_pools(self.metres, below, -reach, free - np.where(large, usable, 0.0))
        self.at_metre.append((rows, every, np.ones(len(every))))
        # Below it the rest counts; above, it doesn't.
        part = 1.0 / usable
        both = np.concatenate([below, short])
        rows = self.rows.add(
            np.concatenate([self.at, every, every]),
            np.concatenate([self.of, both]),
            np.concatenate([-self.metres * part[self.at], np.where(large, free * part, 0.0), -np.ones(len(every))]),
            np.zeros(len(every)),
        )
        self.at_metre.append((rows, every, -part))
        # Of a pool that had less from the beginning, only where something is taken of it.
        for place in np.flatnonzero(~large):
            takes = np.flatnonzero(self.at == place)
            for column in np.unique(self.of[takes]):
                values = -self.metres[takes] * part[place] + np.where(
                    self.of[takes] == column, free[place] * part[place], 0.0
                )
                self._row(np.append(self.of[takes], short[place]), np.append(values, -1.0), 0.0)

    def _finished(self) -> None:
        """A pool counts as finished when no more than so much of it is left."""
        pools, every = self.pools, np.arange(len(self.pools))
        done = self._new(-self.aim.finished[pools], 1.0, True)
        least = self.stock.free_m[pools] - self.aim.rest_m[pools]
        rows = self._of_pools(-self.metres, done, least, np.zeros(len(every)))
        self.at_metre.append((rows, every, -np.ones(len(every))))

    def told(self, value: float, duals: Floats) -> Relaxed:
        """The prices that follow from the duals of the rows."""
        number = len(self.stock.free_m)
        # Of a pool of which nothing is taken yet no row tells what it would count to finish it: its part a metre.
        least = self.stock.free_m - self.aim.rest_m
        metre, each = -self.aim.finished / np.where(least > 0, least, np.inf), np.zeros(number)
        metre[self.pools] = 0.0
        metre_at = np.zeros((len(self.nodes), number))
        for rows, at, values in self.at_metre:
            metre[self.pools[at]] += duals[rows] * values
        for rows, node, at, values in self.at_node:
            metre_at[node, self.pools[at]] += duals[rows] * values
        for rows, pools in self.at_each:
            each[list(pools)] -= duals[rows][0]
        of_want = np.zeros(len(self.asked.numbers))
        for want, (at_most, at_least) in self.want_rows.items():
            of_want[want] = duals[at_most][0] - duals[at_least][0]
        of_key = {key: float(duals[row][0]) for key, row in self.key_rows.items()}
        return Relaxed(value, Prices(metre, self.nodes, metre_at, each), of_want, of_key)
