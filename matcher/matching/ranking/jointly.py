"""How much of the chance that all roles have enough each role's yarn allows at most, so that roles can be added up.

Given the knitter's tension g roles are independent, so all suffice with the chance E[P1(g) ... PR(g)]. For parts s of 1
that add up to 1, that is by Hölder's inequality at most the product of E[P(g)^(1/s)]^s over the roles, and so at most
the sum of s E[P(g)^(1/s)]: a figure for each role by itself. Nothing is lost where these figures are alike, so a role
with much of the yarn, whose best thread leaves the least to spare, gets a large part.

E[P(g)^p] rises with the share of her tension in a role's variance: the more is known once g is, the wider P(g) is
spread about the same mean, and its power bends upwards. So the next higher share of a table bounds it.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt

from matcher.materials.uncertain import normal_chance, tension_grid

Floats = npt.NDArray[np.float64]

_LEAST, _MOST, _STEP = -0.1, 5.0, 0.02  # deviates; below the least the table says too much, above the most it says 1
_SHARES = 64
# What knows less of the tension than this many steps below the most that there is, counts as that.
_ROWS = 8
# Between two deviates the chance bends by less than the square of the step times an eighth of its second derivative,
# which is below 1.
_BENDS = _STEP**2 / 8.0 + 1e-7
_TENTHS = 10


def parts_of_chance(weight: Floats) -> tuple[int, ...]:
    """How the chance of all is shared out between roles of such parts of the yarn (roles,), in tenths."""
    tenths = np.maximum(1, np.floor(weight * _TENTHS)).astype(int)
    while tenths.sum() != _TENTHS:
        missing = weight * _TENTHS - tenths
        if tenths.sum() < _TENTHS:
            tenths[missing.argmax()] += 1
        else:
            tenths[np.where(tenths > 1, missing, np.inf).argmin()] -= 1
    return tuple(tenths.tolist())


@lru_cache(maxsize=256)
def _table(tenths: int, row: int) -> Floats:
    """s E[P(g)^(1/s)] of a share of her tension (a row of so many in 1) by the deviate: array (z,)."""
    g, weight = (one[::2] for one in tension_grid())  # half of the nodes: up to here smooth enough for eight places
    z, share, part = np.arange(_LEAST, _MOST + _STEP / 2, _STEP), row / _SHARES, tenths / _TENTHS
    if row == _SHARES:
        chance = normal_chance(z)
    else:
        given = normal_chance((z[:, None] - np.sqrt(share) * g) / np.sqrt(1.0 - share))
        chance = given ** (1.0 / part) @ weight / weight.sum()
    chance[-2:] = 1.0
    return np.asarray(part * np.minimum(chance + _BENDS, 1.0))


def part_of_chance(z: Floats, share: Floats, tenths: int) -> Floats:
    """s E[P(g)^(1/s)] or a little more for deviates of any shape. share : of her tension in the variance of each."""
    row = np.ceil(share * _SHARES).astype(np.intp)
    most = int(row.max(initial=0))
    least = max(most - _ROWS, int(row.min(initial=most)))
    table = np.stack([_table(tenths, one) for one in range(least, most + 1)])
    row = np.maximum(row - least, 0)
    at = np.clip((z - _LEAST) / _STEP, 0.0, table.shape[1] - 1.001)
    place = at.astype(np.intp)
    low = table[row, place]
    return np.asarray(low + (at - place) * (table[row, place + 1] - low))
