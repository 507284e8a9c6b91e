"""Linear densities in steps: within one, all yarns suit the same gauges."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


class TexSteps:
    """The steps between the ends of some windows of tex, both ends included: each end is a step of its own, and so is
    what lies between two. In the order of tex, `number` of them.
    """

    def __init__(self, windows: Iterable[tuple[float, float]]) -> None:
        self._ends: Floats = np.unique(np.array([end for window in windows for end in window]))
        self.number = 2 * len(self._ends) + 1

    def at(self, tex: Floats) -> Indexes:
        """The step of each of n yarns [tex]: array (n,)."""
        return np.asarray(np.searchsorted(self._ends, tex, "left") + np.searchsorted(self._ends, tex, "right"))

    def of(self, window: tuple[float, float]) -> slice:
        """Those that one of the windows holds."""
        low, high = np.searchsorted(self._ends, window)
        return slice(2 * int(low) + 1, 2 * int(high) + 2)
