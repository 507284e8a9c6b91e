"""Who could fill one role of a variant, in the order in which they are tried."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.distinct import distinct
from matcher.matching.ranking.choices import Choices

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# So many of the worthiest are looked through for one whose pools are free. It changes how long a search takes, never
# what it finds.
_FIRSTS = 12


@dataclass(frozen=True)
class RoleList:
    """Who could fill one role of some variants of a block, S sizes: n places in `choices`, (n,) in `order`.

    worth, most : (S, n), what each is worth in each size, -inf where it is nothing there; and what all could add.
    kindred, reads : (n,), what of the worth is hoped for from `kindred`, and the most that its role could read.
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
            worth=self.worth[:, which],
            kindred=self.kindred[which],
            reads=self.reads[which],
            most=self.most[:, which],
        )

    @cached_property
    def tops(self) -> Floats:
        """The worth of the worthiest in each size: array (S,)."""
        return np.asarray(self.worth.max(axis=1, initial=-np.inf))

    @cached_property
    def pools(self) -> int:
        """Of how many pools the candidates are made."""
        return len(distinct(self.choices.strands[self.order].ravel()))

    @cached_property
    def colours(self) -> float:
        """How many colours its threads show on average; 1 without any."""
        return float((self.choices.share[self.order] > 0).sum(axis=1).mean()) if len(self.order) else 1.0

    @cached_property
    def firsts(self) -> tuple[Indexes, Floats]:
        """Pools (S, k, 3) and worth (S, k) of the few candidates that are worth most in each size."""
        best = np.argsort(-self.worth, axis=1, kind="stable")[:, :_FIRSTS]
        return self.choices.strands[self.order[best]], np.take_along_axis(self.worth, best, axis=1)
