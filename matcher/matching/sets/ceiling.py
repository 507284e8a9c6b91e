"""What no set can be worth where metres are the aim: known at once, from the lengths of the pools alone.

Let a set use x metres of a pool of L. When her tension is off by z >= 0 standard deviations, at least x exp(s z) are
needed, s being the least that any need stretches with it. With y = x / L exp(s z - own^2 / 2) the pool has enough with
a chance of at most Phi(t), where -ln y = sd t; sd is the error of the length alone where t is above 0, and where it is
below, that with all errors that the needs could have. So all of it suffices with a chance of at most exp(-R), R being
the sum of -log Phi(t) over the pools.

What the y come to, each weighed by what all of its pool is worth, is what the set is worth times exp(s z - own^2 / 2).
So R is no less than the least risk at which so much can be used at all, one function of one number for every tension.
Its dual is a bound from below for any multiplier, pool by pool (`_least_risk`). A worth at which the mean of exp(-R)
over her tensions is less than the chance asked is out of reach.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matcher.matching.sets.chance import SOFTEST
from matcher.matching.sets.risk import Risk
from matcher.matching.sets.selection import Rules
from matcher.materials.uncertain import normal_chance, tension_grid

Floats = npt.NDArray[np.float64]

# Past this tension no more is claimed than at it. How finely deviates and multipliers are looked at: the finer, the
# closer the bound and the longer it takes; it holds with any.
_LAST = 2.6
_DEVIATES = np.arange(-4.0, 5.0, 0.01)
_MULTIPLIERS = np.geomspace(1e-4, 1e2, 90)
_CLOSE = 1e-6


def most_of_metres(rules: Rules, risk: Risk, accessories: int) -> float:
    """What no set can be worth where metres are the aim, as if every metre could be used; without any columns.

    accessories : how many there are.
    """
    stock, aim, sure = rules.stock, rules.aim, rules.asked.sure
    pools = np.flatnonzero(stock.free_m * aim.metre > 0)
    taste = aim.taste * rules.asked.of_one * max(1, accessories)
    if not len(pools):
        return taste
    worth = (stock.free_m * aim.metre)[pools]
    by_itself = risk.most_m[:, pools] / np.exp(risk.least_shared_sd * np.maximum(risk.nodes, 0.0))[:, None]
    share = by_itself.min(axis=0) / stock.free_m[pools]
    z, weight = tension_grid()
    stretched = np.exp(risk.least_shared_sd * np.minimum(z, _LAST) - 0.5 * risk.most_own_sd**2)
    after = z >= 0
    multipliers, least = _least_risk(stock.log_sd[pools], risk, worth, share * stretched[-1])

    def chance(used: float) -> float:
        needed = used * stretched[after]
        at_least = np.maximum(0.0, (least + multipliers * needed[:, None]).max(axis=1))
        return float(weight[~after].sum() + weight[after] @ np.exp(-at_least))

    low, high = 0.0, float((worth * share).sum())
    while high - low > _CLOSE * high:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if chance(middle) >= sure else (low, middle)
    return high + taste


def _least_risk(log_sd: Floats, risk: Risk, worth: Floats, most: Floats) -> tuple[Floats, Floats]:
    """Multipliers (k,), and with each what the risks of all pools less the multiplier times what is used of them can't
    be below: array (k,).

    most : (n,), no more of each pool can be asked, as a part of its length.
    """
    with_needs = np.maximum(np.hypot(log_sd, risk.most_own_sd), SOFTEST)
    part = np.exp(-np.where(_DEVIATES > 0, log_sd[:, None], with_needs[:, None]) * _DEVIATES)
    # From one deviate to the next there is no less risk than at the next and no more use than at the one.
    use = worth[:, None] * np.minimum(np.column_stack([np.full(len(part), np.inf), part]), most[:, None])
    risks = np.append(-np.log(normal_chance(_DEVIATES)), 0.0)
    multipliers = _MULTIPLIERS / float(worth.mean())
    least = [float((risks - one * use).min(axis=1).sum()) for one in multipliers]
    return multipliers, np.array(least)
