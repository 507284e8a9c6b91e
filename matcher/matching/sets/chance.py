"""How sure it is that the yarn for several things suffices, when they share lots and one knitter's tension.

For each node of the tension (`materials.uncertain.tension_grid`) pools are independent of each other. What a pool must
give is a sum of log-normal needs, each with an error of its own; it is taken as log-normal with the mean and the
variance of the sum (Fenton 1960, "The sum of log-normal probability distributions in scatter transmission systems",
IRE Transactions on Communications Systems 8, 57-67), which is exact for a single need. So a set of one thing is as sure
as the suggestion is, and the more things, the less sure.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Stock
from matcher.matching.sets.column import Takes, all_of
from matcher.materials.uncertain import normal_chance, tension_grid

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

MOST_DOUBT = 0.5
"""Of a length, on the logarithm: up to here a pool's risk, -log Phi(t), is convex in what it must give as far as there
is hope: where t + phi(t) / Phi(t) is above it, for a chance from 0.13."""
# Neither a chance of nothing nor a length of nothing has a logarithm.
_NEVER, _NOTHING_M = 1e-300, 1e-9
# How far, and how closely, it is looked for what there is to spare, on the logarithm.
_MOST_TO_SPARE, _NEARLY = 1.0, 1e-4
# As in `chance_given_tension`: an error of its own far below the shared one makes a step that the grid would miss.
SOFTEST = 0.04


@dataclass(frozen=True)
class Lengths:
    """What is free of some pools [m], arrays (n,), and its standard deviation on the logarithm."""

    free_m: Floats
    log_sd: Floats


def chance_of_set(stock: Stock | Lengths, several: Iterable[Takes]) -> float:
    """The chance, 0 to 1, that every pool has what all of them take of it."""
    return Standing(stock, several).sure


def log_chances(stock: Stock | Lengths, takes: Takes) -> Floats:
    """Of one thing by itself: the logarithm of a chance that its own is never above, at each node of the tension grid,
    array (nodes,). Things are never surer together than the product of these.

    It is its chance as far as the pools go whose length is known well enough. Where little is known of a length, all
    that take of the pool stand or fall together, and so may be surer than the product of their chances.
    """
    pools, of = np.unique(takes.pool, return_inverse=True)
    some = Lengths(stock.free_m[pools], stock.log_sd[pools])
    return Standing(some, [replace(takes, pool=of.astype(np.intp))]).log_where(some.log_sd <= MOST_DOUBT)


class Standing:
    """A set as it stands, so that one thing more or less is soon reckoned.

    Arrays (n, nodes): for each pool and node of the tension grid the mean and the variance [m] of what it must give,
    and the logarithm of the chance that it can.
    """

    def __init__(self, stock: Stock | Lengths, several: Iterable[Takes] = ()) -> None:
        z, self._weight = tension_grid()
        self.stock, self._z = stock, z
        shape = len(stock.free_m), len(z)
        self._mean, self._variance, self._log = np.zeros(shape), np.zeros(shape), np.zeros(shape)
        self._softest = np.zeros(shape[0])
        self.log: Floats = np.zeros(shape[1])
        """The logarithm of the chance of all at each node of the tension grid."""
        if several := list(several):
            self.add(all_of(several))

    def log_where(self, pools: Flags) -> Floats:
        """The same as far as some pools go, flags (n,)."""
        return np.asarray(self._log[pools].sum(axis=0))

    @property
    def sure(self) -> float:
        """The chance that all of it suffices."""
        return self._chance(self.log)

    def sure_with(self, takes: Takes) -> float:
        """The same with one thing more."""
        pools, _, _, _, log = self._with(takes)
        return self._chance(self.log - self._log[pools].sum(axis=0) + log.sum(axis=0))

    def sure_without(self, takes: Takes) -> float:
        """The same without one of its things, within rounding."""
        pools, _, _, _, log = self._with(takes, -1.0)
        return self._chance(self.log - self._log[pools].sum(axis=0) + log.sum(axis=0))

    def to_spare(self, sure: float) -> float:
        """How many times as much everything could take, on the logarithm, and be so sure; negative where it isn't."""
        used = np.flatnonzero(self._mean[:, 0] > 0)
        low, high = -_MOST_TO_SPARE, _MOST_TO_SPARE
        while len(used) and high - low > _NEARLY:
            middle = 0.5 * (low + high)
            log = self._logs(used, self._mean[used], self._variance[used], self._softest[used], middle)
            low, high = (middle, high) if self._chance(log.sum(axis=0)) >= sure else (low, middle)
        return low

    def add(self, takes: Takes) -> None:
        """One thing more."""
        pools, mean, variance, softest, log = self._with(takes)
        self._mean[pools], self._variance[pools], self._log[pools] = mean, variance, log
        self._softest[pools] = softest
        self.log = np.asarray(self._log.sum(axis=0))

    def _chance(self, log: Floats) -> float:
        return float(np.exp(log) @ self._weight)

    def _with(self, takes: Takes, times: float = 1.0) -> tuple[Indexes, Floats, Floats, Floats, Floats]:
        """The pools of one thing more (or less: -1 times), and what then stands in their rows."""
        order, starts, pools = takes.in_order
        shared, own = takes.shared_sd[order, None], takes.own_sd[order, None] ** 2
        each = takes.metres[order, None] * np.exp(shared * self._z + 0.5 * own)
        mean = self._mean[pools] + times * np.add.reduceat(each, starts)
        variance = self._variance[pools] + times * np.add.reduceat(each**2 * np.expm1(own), starts)
        mean, variance = np.maximum(mean, _NOTHING_M), np.maximum(variance, 0.0)
        softest = np.maximum(self._softest[pools], SOFTEST * np.maximum.reduceat(shared[:, 0], starts))
        return pools, mean, variance, softest, self._logs(pools, mean, variance, softest)

    def _logs(self, pools: Indexes, mean: Floats, variance: Floats, softest: Floats, more: float = 0.0) -> Floats:
        """The logarithm of the chance that each pool can give so much, or so many times more on the logarithm."""
        spread = np.log1p(variance / mean**2)
        spare = np.log(self.stock.free_m[pools, None] / mean) + 0.5 * spread - more
        scale = np.sqrt(self.stock.log_sd[pools, None] ** 2 + spread)
        chance = normal_chance(spare / np.maximum(scale, np.maximum(softest[:, None], 1e-9)))
        return np.asarray(np.log(np.maximum(chance, _NEVER)))
