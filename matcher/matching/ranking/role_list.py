"""Who could fill one role of a variant, in the order in which they are tried."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.choices import Choices

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# So many of the worthiest are looked through for one whose pools are free. It changes how long a search takes, never
# what it finds.
_FIRSTS = 12


@dataclass(frozen=True)
class RoleList:
    """Who could fill one role: places in `choices`, those first that could add most to the score.

    Along with `order` go the worth of each, what of it is hoped for from `kindred`, the most its role could read, and
    `most`: what all could add.
    """

    role: int
    choices: Choices
    own: Floats
    order: Indexes
    worth: Floats
    kindred: Floats
    reads: Floats
    most: Floats

    def only(self, which: npt.NDArray[np.bool_] | Indexes) -> RoleList:
        """The same with some of the candidates, or with all in another order."""
        return replace(
            self,
            order=self.order[which],
            worth=self.worth[which],
            kindred=self.kindred[which],
            reads=self.reads[which],
            most=self.most[which],
        )

    @cached_property
    def top(self) -> float:
        """The worth of the worthiest."""
        return float(self.worth.max(initial=-np.inf))

    @cached_property
    def firsts(self) -> list[tuple[frozenset[int], float]]:
        """Pools and worth of the few candidates that are worth most."""
        best = np.argsort(-self.worth, kind="stable")[:_FIRSTS]
        strands = self.choices.strands[self.order[best]]
        return [(frozenset(pools.tolist()), float(self.worth[at])) for pools, at in zip(strands, best, strict=True)]
