"""A quantity with its standard deviation, and the chance that several of them are all enough.

A need is log-normal, as history learns it (knitting/calibration): an error of tension or of the model multiplies. So
yarn suffices where log(on hand / need), its *margin*, is above zero, and all errors are on the logarithm.
"""

from __future__ import annotations

import math
from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from matcher.materials.estimate import Estimate

__all__ = [
    "Estimate",
    "Floats",
    "chance_given_tension",
    "chance_of_all",
    "log_sd",
    "margin",
    "normal_chance",
    "normal_z",
    "tension_grid",
]

Floats = npt.NDArray[np.float64]


_LEAST_M = 1e-9  # a length of nothing has no logarithm
# What is on hand is less a reserve, so it is not log-normal itself. The spread taken for it on the logarithm is the
# one that puts the same length on its unsafe side, at the deviate of the usual 0.95; up to here of the mean.
_UNSAFE_Z, _MOST_LOST = 1.645, 0.99


def log_sd(mean: Floats, sd: Floats) -> Floats:
    """Standard deviation on the logarithm of metres on hand, from their mean and standard deviation [m]."""
    lost = np.minimum(_UNSAFE_Z * sd / np.maximum(mean, _LEAST_M), _MOST_LOST)
    return np.asarray(-np.log1p(-lost) / _UNSAFE_Z)


def margin(have_m: Floats, need_m: Floats) -> Floats:
    """log(on hand / need) of the means [m]: what is to spare, on the logarithm; negative when it is short."""
    return np.asarray(np.log(np.maximum(have_m, _LEAST_M) / np.maximum(need_m, _LEAST_M)))


# The knitter's tension shifts every role of one accessory together. It is one standard normal number z;
# given z, the roles are independent, so the chance of all of them is one integral over z. The trapezium
# rule on an even grid converges faster than any power of the step for a smooth integrand under a normal
# weight; 6.6 standard deviations leave 4e-11 outside.
_REACH, _STEP = 6.6, 0.06
# An error of its own that is far below the shared one makes a step that the grid would miss; so small a part of
# it is taken as this part, which changes a chance by less than 0.001.
_SOFTEST = 0.04


# The table of the normal distribution: so far each way, so many places in one standard deviation.
_FAR, _FINE = 9, 1000


@lru_cache(maxsize=1)
def _normal_table() -> tuple[Floats, Floats]:
    """The chance at each place, and what it grows by up to the next."""
    places = range(-_FAR * _FINE, _FAR * _FINE + 1)
    chance = np.array([0.5 * math.erfc(-place / _FINE / math.sqrt(2)) for place in places])
    return chance, np.append(np.diff(chance), 0.0)


def normal_chance(z: Floats) -> Floats:
    """The standard normal distribution function of an array, within 4e-8.

    A table of the standard library's erfc, joined by straight lines (so that it never falls where z grows):
    scipy's own function is as quick, but importing it takes longer than the whole demo. Its even places are found by
    counting, several times as fast as by looking for them.
    """
    chance, growth = _normal_table()
    at = np.clip((z + _FAR) * _FINE, 0.0, 2.0 * _FAR * _FINE)
    place = at.astype(np.intp)
    return np.asarray(chance[place] + (at - place) * growth[place])


def normal_z(chance: float) -> float:
    """The standard normal deviate that is not exceeded with this chance (0 to 1, both excluded)."""
    return NormalDist().inv_cdf(chance)


@lru_cache(maxsize=1)
def tension_grid() -> tuple[Floats, Floats]:
    """Nodes of the shared tension error and their weights.

    Returns
    -------
    z, weight : arrays of shape (221,), in standard deviations and summing to 1.
    """
    z = np.arange(-_REACH, _REACH + _STEP / 2, _STEP)
    weight = np.exp(-0.5 * z * z)
    return z, weight / weight.sum()


def chance_given_tension(spare: Floats, shared_sd: Floats | float, own_sd: Floats) -> Floats:
    """Chance that each quantity is above zero, for every node of the tension grid.

    Parameters
    ----------
    spare : array (n,), mean of what is to spare on the logarithm, see `margin`; negative when it is short.
    shared_sd : standard deviation that moves with the knitter's tension; number or array (n,).
    own_sd : array (n,), standard deviation of everything else.

    Returns
    -------
    array (n, nodes)
    """
    z, _ = tension_grid()
    shared = np.broadcast_to(np.asarray(shared_sd, dtype=float), spare.shape)
    scale = np.maximum(own_sd, np.maximum(_SOFTEST * np.abs(shared), 1e-9))
    return normal_chance((spare[:, None] - shared[:, None] * z) / scale[:, None])


def chance_of_all(spare: Floats, shared_sd: Floats, own_sd: Floats) -> float:
    """Chance that all quantities are above zero together; arguments as in `chance_given_tension`."""
    _, weight = tension_grid()
    together = np.prod(chance_given_tension(spare, shared_sd, own_sd), axis=0)
    return float(together @ weight)
