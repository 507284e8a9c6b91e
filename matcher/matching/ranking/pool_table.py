"""Every pair of pools, where these are few: threads are to each other what the least of their strands are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Stock
from matcher.matching.ranking.choices import Choices

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass(frozen=True)
class PoolTable:
    """Every pair of n pools, arrays (n, n): how they go together by their fibres, 0 if they do not or are the same; and
    how far they belong together."""

    beside: Floats
    kindred: Floats

    def between(self, one: Choices, at: Indexes, many: Choices, places: Indexes) -> tuple[Floats, Floats]:
        """The same of threads, each at `at` and that at `places`: two arrays (m,); thickness apart."""
        taken, of = np.unique(at, return_inverse=True)
        strands = many.strands[places, : many.pools]
        beside, kindred = (
            self._of_taken(table, one, taken)[of[:, None], strands].min(axis=1) for table in (self.beside, self.kindred)
        )
        return beside, np.minimum(kindred, np.minimum(one.kindred[at], many.kindred[places]))

    def company(self, several: list[tuple[Choices, Indexes]]) -> Floats:
        """How far each pool belongs with beginnings that took a thread in each of several roles (b,), added up: array
        (b, n); -inf where it could not be beside one of them."""
        whole: Floats | float = 0.0
        for choices, at in several:
            taken, of = np.unique(at, return_inverse=True)
            kindred = np.minimum(self._of_taken(self.kindred, choices, taken), choices.kindred[taken, None])
            kindred[self._of_taken(self.beside, choices, taken) <= 0] = -np.inf
            whole = whole + kindred[of]
        return np.asarray(whole)

    def _of_taken(self, table: Floats, choices: Choices, taken: Indexes) -> Floats:
        """The least figure of the strands of threads (t,) beside each pool: array (t, n)."""
        return np.asarray(table[choices.strands[taken, : choices.pools]].min(axis=1))


def every_pool(stock: Stock) -> PoolTable:
    """The table of a stock."""
    pools = np.arange(len(stock))
    beside = stock.beside[stock.kind[:, None], stock.kind]
    np.fill_diagonal(beside, 0.0)
    return PoolTable(beside, stock.kindred.of(pools[:, None], pools))
