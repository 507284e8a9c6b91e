"""What yarn costs an assignment, where several things are planned from one bin and want the same lots.

A price is a dual of the programme of sets: so much of the score as a metre more of a pool would bring elsewhere. Taken
off what a role's thread adds, it leaves every bound of the search as true as it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Prices:
    """Prices of n pools, in parts of the score; below nothing where using a pool is worth something by itself.

    metre : (n,), of a metre of the mean need. nodes : (k,), tensions in standard deviations; metre_at : (k, n), of a
    metre that is needed at such a tension. each : (n,), of being in a thread at all. room_m : (n,), no thread may need
    more metres at the last of the tensions; None for any.
    """

    metre: Floats
    nodes: Floats
    metre_at: Floats
    each: Floats
    room_m: Floats | None = None

    def of_metres(self, pools: Indexes, need_m: Floats, shared_sd: Floats, own_sd: Floats) -> Floats:
        """What the metres of needs cost; need_m, shared_sd, own_sd broadcast against pools (m,)."""
        whole = self.metre[pools]
        for node, price in zip(self.nodes, self.metre_at, strict=True):
            if price.any():
                whole = whole + price[pools] * stretch(float(node), shared_sd, own_sd)
        if self.room_m is None:
            return np.asarray(need_m * whole)
        most = self.room_m[pools] / stretch(float(self.nodes[-1]), shared_sd, own_sd)
        return np.where(need_m > most, np.inf, need_m * whole)


def stretch(node: float, shared_sd: Floats | float, own_sd: Floats | float) -> Floats:
    """How many times the usual is needed on average when her tension is off by so many standard deviations."""
    return np.asarray(np.exp(np.asarray(shared_sd) * node + 0.5 * np.asarray(own_sd) ** 2))


def free_of_charge(pools: int, nodes: Sequence[float] = ()) -> Prices:
    """Prices of nothing."""
    return Prices(np.zeros(pools), np.array(nodes), np.zeros((len(nodes), pools)), np.zeros(pools))
