"""What pools have, with so many strands of each: all of their worth that hangs on no accessory, worked out once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from matcher.materials.uncertain import margin

Floats = npt.NDArray[np.float64]


class Supply:
    """m pools with so many strands each of a thread.

    The parts `use` and `leftover` are those of `score`, laid out so that many needs are weighed in few passes.

    All arrays (m,). most_use : the part `use` where all of it is used; per_metre : the same for each metre of the need.
    spare : log of the metres that there are for each strand; log_sd : how far off these may be.
    """

    def __init__(self, free_m: Floats, log_sd: Floats, usable_m: Floats, most_use: Floats, count: Floats) -> None:
        self.free_m, self.log_sd, self.usable_m, self.most_use, self.count = free_m, log_sd, usable_m, most_use, count
        self.per_metre: Floats = most_use * count / np.maximum(free_m, 1e-9)
        self._per_usable: Floats = 1.0 / usable_m
        self.spare = margin(free_m, count)
        self._spread: dict[float, Floats] = {}
        self._reach: dict[tuple[float, float], Floats] = {}

    def parts(self, need_m: Floats, use: Floats, leftover: Floats, least_z: float) -> Floats:
        """The parts `use` and `leftover`, so much of each; need_m, use, leftover : (roles, s, 1), the need of a strand.

        As long as there is enough: below a deviate of nothing it may be short in the mean, see `reach`.
        """
        worth = np.asarray((need_m * use) * self.per_metre)
        left = need_m * self.count
        np.subtract(self.free_m, left, out=left)
        useless = left < self.usable_m
        left *= self._per_usable
        if least_z < 0:
            np.minimum(worth, use * self.most_use, out=worth)
            np.maximum(left, 0.0, out=left)
        left *= useless
        left *= leftover
        worth -= left
        worth += leftover
        return worth

    def reach(self, variance: Floats, least_z: float) -> Floats:
        """The longest need of a strand [m] for which it suffices at such a deviate; variance : (roles, s, 1), that of
        the need; the result goes with (roles, s, m)."""

        def found(one: float) -> Floats:
            if (one, least_z) not in self._reach:
                self._reach[one, least_z] = np.exp(self.spare - (least_z - 1e-9) * self._spread_with(one))
            return self._reach[one, least_z]

        return _each(variance, found)

    def spread(self, variance: Floats) -> Floats:
        """Standard deviation of what is to spare, as for `reach`."""
        return _each(variance, self._spread_with)

    def _spread_with(self, variance: float) -> Floats:
        if variance not in self._spread:
            self._spread[variance] = np.sqrt(self.log_sd**2 + variance)
        return self._spread[variance]


def _each(variance: Floats, of: Callable[[float], Floats]) -> Floats:
    """Figures (m,) of each variance (roles, s, 1); nearly always it is the same in all roles and sizes."""
    several = variance.ravel().tolist()
    if len(set(several)) == 1:
        return of(several[0])
    return np.stack([of(one) for one in several]).reshape(*variance.shape[:2], -1)
