"""What the roles of a block come to at most, over all pools of a stock."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Tops:
    """Arrays (roles, sizes), -inf where nothing fills a role: of threads of one pool their worth, that with chance and
    looks, that with what they share of the chance of all, and the same beside a stranger to them; of strands of several
    pools their worth, and with chance and looks."""

    worth: Floats
    whole: Floats
    shared: Floats
    beside: Floats
    strand_worth: Floats
    strand_whole: Floats

    def or_more(self, other: Tops) -> Tops:
        """Those of two stocks together."""
        return Tops(*(np.maximum(a, b) for a, b in zip(self._each, other._each, strict=True)))

    @property
    def possible(self) -> bool:
        """Whether in some size something fills every role."""
        return bool(np.isfinite(np.maximum(self.worth, self.strand_worth)).all(axis=0).any())

    @property
    def _each(self) -> tuple[Floats, ...]:
        return self.worth, self.whole, self.shared, self.beside, self.strand_worth, self.strand_whole
