"""A quantity with its standard deviation, and the chance that several of them are all enough."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Estimate:
    """A mean and its standard deviation, both in the unit that the field holding it names."""

    mean: float
    sd: float

    def __add__(self, other: Estimate) -> Estimate:
        """Sum of two independent quantities."""
        return Estimate(self.mean + other.mean, math.hypot(self.sd, other.sd))

    def times(self, factor: float) -> Estimate:
        """The quantity scaled by an exact number."""
        return Estimate(self.mean * factor, self.sd * abs(factor))


# The knitter's tension shifts every role of one accessory together. It is one standard normal number z;
# given z, the roles are independent, so the chance of all of them is one integral over z. The trapezium
# rule on an even grid converges faster than any power of the step for a smooth integrand under a normal
# weight; 6 standard deviations leave 2e-9 outside.
_REACH, _STEP = 6.0, 0.15


@lru_cache(maxsize=1)
def tension_grid() -> tuple[Floats, Floats]:
    """Nodes of the shared tension error and their weights.

    Returns
    -------
    z, weight : arrays of shape (81,), in standard deviations and summing to 1.
    """
    z = np.arange(-_REACH, _REACH + _STEP / 2, _STEP)
    weight = np.exp(-0.5 * z * z)
    return z, weight / weight.sum()


def chance_given_tension(spare: Floats, shared_sd: Floats | float, own_sd: Floats) -> Floats:
    """Chance that each quantity is above zero, for every node of the tension grid.

    Parameters
    ----------
    spare : array (n,), mean of what is left over [m]; negative when it is short.
    shared_sd : standard deviation that moves with the knitter's tension [m]; number or array (n,).
    own_sd : array (n,), standard deviation of everything else [m].

    Returns
    -------
    array (n, nodes)
    """
    from scipy.special import ndtr

    z, _ = tension_grid()
    shared = np.broadcast_to(np.asarray(shared_sd, dtype=float), spare.shape)
    scale = np.maximum(own_sd, 1e-9)
    chance: Floats = ndtr((spare[:, None] - shared[:, None] * z) / scale[:, None])
    return chance


def chance_of_all(spare: Floats, shared_sd: Floats, own_sd: Floats) -> float:
    """Chance that all quantities are above zero together; arguments as in `chance_given_tension`."""
    _, weight = tension_grid()
    together = np.prod(chance_given_tension(spare, shared_sd, own_sd), axis=0)
    return float(together @ weight)
