"""The programme that chooses columns: linear, for prices and bounds; mixed-integer, for the set itself.

Solved by HiGHS, through scipy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from matcher.matching.sets.capacity import Capacity
from matcher.matching.sets.chance import log_chances
from matcher.matching.sets.column import Column
from matcher.matching.sets.model import Model, Relaxed
from matcher.matching.sets.risk import Risk
from matcher.matching.sets.rows import aside
from matcher.matching.sets.selection import Rules

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Solved:
    """The mixed-integer programme, solved as far as time allowed: places of the columns chosen, and the most that any
    choice could be worth, what is missing deducted."""

    chosen: tuple[int, ...]
    bound: float
    finished: bool


class Programme:
    """The columns so far, and all that holds for them."""

    def __init__(self, rules: Rules, risk: Risk, stopped: Callable[[], bool] = lambda: False) -> None:
        self.rules, self.risk, self._stopped = rules, risk, stopped
        self.columns: list[Column] = []
        self.place: dict[tuple[object, ...], int] = {}  # of each, by its mark
        self._chances: list[Floats] = []
        self.cuts: list[tuple[dict[int, float], float]] = []

    def add(self, columns: Iterable[Column]) -> int:
        """Take in those that are not there yet; how many were."""
        before = len(self.columns)
        for column in columns:
            if column.mark not in self.place:
                self.place[column.mark] = len(self.columns)
                self.columns.append(column)
        return len(self.columns) - before

    @property
    def chances(self) -> list[Floats]:
        """`log_chances` of each."""
        for column in self.columns[len(self._chances) :]:
            self._chances.append(log_chances(self.rules.stock, column.takes))
        return self._chances

    def of(self, columns: Iterable[Column], cuts: bool = True) -> Programme:
        """One with these columns alone. cuts : with what is forbidden of them."""
        other = Programme(self.rules, self.risk, self._stopped)
        other.add(columns)
        for cut, at_most in self.cuts if cuts else ():
            marks = {self.columns[place].mark: value for place, value in cut.items()}
            there = {other.place[mark]: value for mark, value in marks.items() if mark in other.place}
            other.forbid(there, at_most)
        return other

    def forbid(self, values: Mapping[int, float], at_most: float) -> None:
        """The columns chosen can't add up to more than this, each by its value."""
        self.cuts.append((dict(values), at_most))

    def relaxed(self, capacity: Capacity | None = None) -> Relaxed:
        """Solve it with parts of columns allowed, whatever is forbidden: that has no price, for a new column.
        capacity : see `solve`."""
        model = Model(self.rules, self.risk, self.columns, capacity)
        found = _linear(model)
        return model.told(-float(found.fun), -np.asarray(found.ineqlin.marginals))

    def losses(self) -> tuple[float, Floats]:
        """What no choice of these columns can be worth more than, with all that is forbidden; and by how much less with
        each of them, array (columns,)."""
        found = _linear(Model(self.rules, self.risk, self.columns, None, self.cuts))
        return -float(found.fun), np.maximum(np.asarray(found.lower.marginals)[: len(self.columns)], 0.0)

    def solve(
        self, seconds: float, capacity: Capacity | None = None, held: Sequence[int] = (), gap: float = 0.0
    ) -> Solved:
        """Solve it with whole columns. capacity : limits on each pool by itself in place of those that surely hold;
        what is found then is no bound. held : places of columns that are chosen in any case. gap : a part of the whole
        that may be let go. Raises KeyboardInterrupt where she has seen enough before the solver ends."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        model = Model(self.rules, self.risk, self.columns, capacity, self.cuts)
        model.hold(held)
        # Where something is missing no part of the whole is small enough to be let go: it makes it so large.
        found = aside(
            lambda: milp(
                model.cost,
                constraints=LinearConstraint(model.matrix, ub=model.limits),
                bounds=Bounds(*model.bounds),
                integrality=model.whole,
                options={"time_limit": max(0.05, seconds), "mip_rel_gap": gap},
            ),
            self._stopped,
        )
        bound = -float(found.mip_dual_bound) if found.mip_dual_bound is not None else np.inf
        if found.x is None:
            return Solved((), bound, False)
        chosen = np.flatnonzero(found.x[: len(self.columns)] > 0.5)
        return Solved(tuple(chosen.tolist()), bound, found.status == 0)


def _linear(model: Model) -> Any:
    """A model solved with parts of columns allowed, as scipy gives it."""
    from scipy.optimize import linprog

    bounds = np.column_stack(model.bounds)
    found = linprog(model.cost, A_ub=model.matrix, b_ub=model.limits, bounds=bounds, method="highs")
    if found.status != 0:
        raise RuntimeError(f"the linear programme was not solved: {found.message}")
    return found
