"""What a chance of all at once asks of each pool, in straight lines that no set of that chance can cross.

Let J(z) be the chance of all when her tension is off by z standard deviations: a product over the pools of Phi(t), each
with a t that falls by at least some c for each unit of z. So past any node z0

    J(z) <= Phi(Phi^-1(J(z0)) - c (z - z0)),

as if one pool alone had all the risk: h(r) = psi(psi^-1(r) - d), with psi = -log Phi, is concave, since t + phi(t) /
Phi(t) grows with t; so the h of a sum of risks is at most the sum of their h. Before z0, J is at most 1. What is asked
of all, the mean of J, so asks a least J(z0), and the risks -log P of the pools at z0 add up to at most -log of that.
The risk of a pool is convex in what it gives at that tension (`MOST_DOUBT`; J(z0) is above 0.3 for any chance from one
half): tangents lie below it. A pool whose length is a guess falls slowly; so the same is asked once more of the
well-known pools alone, whose chance is no less than that of all.

A pool by itself must suffice with the chance asked too. The logarithm of what it must give is convex in z; a tangent at
z0 with the slope that is kindest makes it a normal quantity, and so the need at z0 is at most its length times
exp(-sd sqrt(deviate^2 - z0^2)), for any z0 below the deviate of the chance.

What is uncertain in the needs by themselves only adds to a pool's risk and is left out, apart from the shift that it
may bring; so the lines hold for any sum of needs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Stock
from matcher.matching.sets.chance import MOST_DOUBT
from matcher.materials.uncertain import normal_chance, normal_z, tension_grid

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

# How far below the tension that is just covered the nodes lie, and the chances at which tangents touch. More of them
# make the bound closer and the programme larger; none makes it false.
_BELOW = (0.7, 0.35, 0.2, 0.06)
_TOUCHING = (0.9999, 0.998, 0.98, 0.9, 0.7)
_LEAST_SD = 0.01
# Up to this standard deviation on the logarithm a pool counts as well known.
_WELL_KNOWN = 0.1


@dataclass(frozen=True)
class Risk:
    """Limits for a stock at a chance.

    nodes : (k,), tensions. most_m : (k, n), more metres than that a pool must not need to give at such a tension.
    groups : (g, n), which pools are in each. most_risk : (g, k), what the risks of a group may add up to.
    offset, slope : (t, n), tangents: the risk of a pool that must give u metres at any tension is never below
    offset + slope * u. least_shared_sd, most_own_sd : of all needs, on the logarithm.
    """

    nodes: Floats
    most_m: Floats
    groups: Flags
    most_risk: Floats
    offset: Floats
    slope: Floats
    least_shared_sd: float
    most_own_sd: float


def risk_of(stock: Stock, sure: float, least_shared_sd: float, most_own_sd: float) -> Risk:
    """The limits. least_shared_sd, most_own_sd : over all needs that there could be, on the logarithm."""
    normal, z = NormalDist(), normal_z(sure)
    nodes = np.array([z - below for below in _BELOW])
    sd = np.maximum(stock.log_sd, _LEAST_SD)
    groups = np.array([np.ones(len(sd), dtype=bool), sd <= _WELL_KNOWN])
    most = [float(sd[group].max(initial=_LEAST_SD)) for group in groups]
    falls = [least_shared_sd / np.hypot(one, most_own_sd) for one in most]
    least_at = [[_least_at(node, sure, float(fall)) for node in nodes] for fall in falls]
    offset, slope = [], []
    for chance in _TOUCHING:
        t = normal.inv_cdf(chance)
        touches = stock.free_m * np.exp(0.5 * most_own_sd**2 - t * sd)
        steep = np.where(sd <= MOST_DOUBT, normal.pdf(t) / chance / (sd * touches), 0.0)
        slope.append(steep)
        offset.append(np.where(steep > 0, -math.log(chance) - steep * touches, 0.0))
    # No need falls with her tension, so before 0 the kindest slope is none.
    by_itself = np.sqrt(z**2 - np.maximum(nodes, 0.0) ** 2)[:, None] * stock.log_sd
    most_m = stock.free_m * np.exp(0.5 * most_own_sd**2 - by_itself)
    most_risk = -np.log(np.array(least_at))
    return Risk(nodes, most_m, groups, most_risk, np.array(offset), np.array(slope), least_shared_sd, most_own_sd)


def _least_at(node: float, sure: float, fall: float) -> float:
    """The least chance of all at a node, where it falls by so many deviates for each of her tension."""
    z, weight = tension_grid()
    past = z > node
    before = float(weight[~past].sum())
    low, high = -8.0, 8.0
    for _ in range(60):
        t = 0.5 * (low + high)
        most = before + float(weight[past] @ normal_chance(t - fall * (z[past] - node)))
        low, high = (t, high) if most < sure else (low, t)
    return NormalDist().cdf(low)
