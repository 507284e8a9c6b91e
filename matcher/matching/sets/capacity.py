"""What may be taken of each pool by itself, so that a set in which many are used so far is about as sure as asked.

No line that holds for every set ensures the chance asked; limits on every pool do, and make a programme that is soon
solved. They leave out sets that use some pools less and others more, so nothing is proved by them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.prices import stretch
from matcher.matching.sets.column import Column
from matcher.matching.sets.selection import Rules
from matcher.materials.uncertain import normal_chance, normal_z, tension_grid

Floats = npt.NDArray[np.float64]

# So many deviates from which, and up to which, a pool of usual worth may be from running out.
_LEAST, _MOST, _NEARLY = -1.0, 6.0, 1e-3
_LEAST_SD, _NEVER = 0.01, 1e-300


@dataclass(frozen=True)
class Capacity:
    """most_m : (n,), so many metres may be needed of each pool when her tension is off by `tension` deviates."""

    tension: float
    most_m: Floats

    def needed(self, column: Column) -> Floats:
        """What a column needs then, strand by strand: array (t,)."""
        takes = column.takes
        return takes.metres * stretch(self.tension, takes.shared_sd, takes.own_sd)

    def times(self, logarithm: float) -> Capacity:
        """So many times as much of each, by its logarithm."""
        return replace(self, most_m=self.most_m * np.exp(logarithm))


def capacity_of(rules: Rules, shared_sd: float, own_sd: float) -> Capacity:
    """Limits at which a set that reaches all of them is as sure as asked.

    shared_sd, own_sd : of the needs, on the logarithm.
    """
    stock, sure = rules.stock, rules.asked.sure
    sd = np.maximum(np.hypot(stock.log_sd, own_sd), _LEAST_SD)
    z, weight = tension_grid()
    stretched = shared_sd * (z - normal_z(sure))
    worth = rules.aim.metre * stock.free_m
    low, high = _LEAST, _MOST
    while high - low > _NEARLY:
        middle = 0.5 * (low + high)
        spare = borne_by(middle, worth)[:, None] - stretched / sd[:, None]
        chance = np.exp(np.log(np.maximum(normal_chance(spare), _NEVER)).sum(axis=0)) @ weight
        low, high = (middle, high) if chance < sure else (low, middle)
    return Capacity(normal_z(sure), stock.free_m * np.exp(-borne_by(high, worth) * sd))


def borne_by(deviates: float, worth: Floats) -> Floats:
    """How risk is best shared out among pools: so many deviates for one of usual worth, array (n,).

    A little more risk anywhere should bring as much: the risk of a pool grows by phi(t) / Phi(t) for each deviate, so
    that is made to rise with what the pool is worth. worth : (n,), of all that is free of each; nothing for all alike.
    """
    mean = float(worth.mean()) if len(worth) else 0.0
    if mean <= 0:
        return np.full(len(worth), deviates)
    grid = np.linspace(-1.0, 6.0, 1401)
    steep = np.exp(-0.5 * grid**2) / np.sqrt(2.0 * np.pi) / normal_chance(grid)
    usual = float(np.interp(deviates, grid, steep))
    return np.asarray(np.interp(-np.log(usual * np.maximum(worth / mean, 1e-3)), -np.log(steep), grid))
