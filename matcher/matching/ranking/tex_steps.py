"""Linear densities in steps: within one, all yarns suit the same gauges."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Of so many yarns a grid of so many places pays. They change how long it takes, never what it says.
_MANY, _GRID = 20_000, 1 << 14


class TexSteps:
    """The steps between the ends of some windows of tex, both ends included: each end is a step of its own, and so is
    what lies between two. In the order of tex, `number` of them.
    """

    def __init__(self, windows: Iterable[tuple[float, float]]) -> None:
        self._ends: Floats = np.unique(np.array([end for window in windows for end in window]))
        self.number = 2 * len(self._ends) + 1

    def at(self, tex: Floats) -> Indexes:
        """The step of each of n yarns [tex]: array (n,)."""
        if len(tex) < _MANY or len(self._ends) < 2:
            return self._found(tex)
        # Most places of a fine grid lie within one step as a whole: only yarns in the others are looked for.
        low, wide = self._ends[0], (self._ends[-1] - self._ends[0]) / _GRID
        edges = low + wide * np.arange(-1, _GRID + 2)
        before, behind = self._found(edges[:-1] - wide / 100.0), self._found(edges[1:] + wide / 100.0)
        place = np.clip((tex - low) / wide + 1.0, 0.0, _GRID + 1.0).astype(np.intp)
        found: Indexes = before[place]
        unsure = np.flatnonzero((before != behind)[place] | (tex < edges[0]) | (tex > edges[-1]))
        found[unsure] = self._found(tex[unsure])
        return found

    def _found(self, tex: Floats) -> Indexes:
        return np.asarray(np.searchsorted(self._ends, tex, "left") + np.searchsorted(self._ends, tex, "right"))

    def of(self, window: tuple[float, float]) -> slice:
        """Those that one of the windows holds."""
        low, high = np.searchsorted(self._ends, window)
        return slice(2 * int(low) + 1, 2 * int(high) + 2)
