"""What all searches of one bin share: its pools, how they read and go together, and what is asked."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants, Gauge
from matcher.matching.choices import STRANDS, Choices, alone
from matcher.matching.contrast import Palette, all_but_vanishing
from matcher.matching.pools import Stock
from matcher.materials.rules import RankingRules, TogetherRules
from matcher.materials.uncertain import normal_z

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Up to so many candidates at a gauge, every pair of them is tabled once.
DENSE = 160


@dataclass(frozen=True)
class PairTable:
    """Every pair of m candidates, arrays (m, m): reading, factor of the yarns together, no pool in common."""

    reads: Floats
    beside: Floats
    apart: npt.NDArray[np.bool_]

    def columns(self, order: Indexes) -> PairTable:
        """Only these columns, in this order: arrays (m, len(order))."""
        return PairTable(self.reads[:, order], self.beside[:, order], self.apart[:, order])


@dataclass
class Searcher:
    """One bin, ready to be searched.

    scarcity, usable_m : arrays (n,) over the pools, see `score`.
    chance : the least chance of enough that is accepted. None looks for near misses instead: yarn may be short,
        and how much of each role's need is there takes the place of the parts `sure`, `use` and `leftover`.
    wanted : pools of which at least one must be used; None for any.
    """

    stock: Stock
    palette: Palette
    ranking: RankingRules
    rules: TogetherRules
    constants: FabricConstants
    scarcity: Floats
    usable_m: Floats
    chance: float | None
    most_strands: int = STRANDS
    wanted: frozenset[int] | None = None
    _alone: dict[float, Choices] = field(default_factory=dict)
    _partnered: dict[float, npt.NDArray[np.bool_]] = field(default_factory=dict)
    _tables: dict[tuple[int, bool], PairTable] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.near = self.chance is None
        self.least_z = -np.inf if self.chance is None else normal_z(self.chance)
        self.w_sure = 0.0 if self.near else self.ranking.weight_sure
        self.w_contrast, self.w_together = self.ranking.weight_contrast, self.ranking.weight_together
        self.near_weight = 1.0 - self.w_contrast - self.w_together

    def choices_alone(self, gauge: Gauge, window: tuple[float, float]) -> Choices:
        """Pools that suit the gauge by themselves, however many strands of each."""
        if gauge.stitches_10cm not in self._alone:
            self._alone[gauge.stitches_10cm] = alone(self.stock, *window, self.most_strands, self.rules)
        return self._alone[gauge.stitches_10cm]

    def partnered(self, least: float) -> npt.NDArray[np.bool_]:
        """Which single colours read at `least` against any other colour at all, array (p,)."""
        if least not in self._partnered:
            self._partnered[least] = self.palette.partnered(least)
        return self._partnered[least]

    def own_together(self, choices: Choices, next_to_skin: bool) -> Floats:
        """What threads bring to the part `together` by themselves, array (m,)."""
        if not next_to_skin or not len(choices):
            return choices.together
        on_skin = self.stock.on_skin[self.stock.kind[choices.strands]].min(axis=1)
        return np.minimum(choices.together, on_skin)

    def reads(self, one: Choices, at: int, many: Choices, places: Indexes) -> Floats:
        """How the thread at `at` reads against those at `places`, array (len(places),)."""
        parts, shares = one.part[at], one.share[at]
        others = many.part[places]
        counts = np.flatnonzero(shares > 0)
        rows = [self._against(int(parts[i]), others) for i in counts]
        if len(rows) == 1 and others.shape[1] == 1:
            return rows[0][:, 0]
        weights = many.share[places]
        stacked = np.concatenate(rows, axis=1)
        weight = np.concatenate([weights * shares[i] for i in counts], axis=1)
        return all_but_vanishing(stacked, weight, self.palette.rules.vanish_share)

    def _against(self, part: int, others: Indexes) -> Floats:
        if self.palette.cheaper_by_row(part, others.size):
            return self.palette.row(part)[others]
        return self.palette.readings(part, others.ravel()).reshape(others.shape)

    def beside(self, one: Choices, at: int, many: Choices, places: Indexes) -> Floats:
        """How the thread at `at` goes with those at `places`: factor of the score (len(places),), 0 if it does not."""
        tex = many.tex[places]
        ratio = np.maximum(tex, one.tex[at]) / np.minimum(tex, one.tex[at])
        factor = np.where(ratio <= self.rules.tex_ratio_fits, 1.0, self.rules.warn_factor)
        factor[ratio > self.rules.tex_ratio_blocks] = 0.0
        strands = many.strands[places]
        pairs = np.ones(len(places))
        for mine in set(one.strands[at].tolist()):
            for column in range(STRANDS):
                pairs = np.minimum(pairs, self.stock.beside[self.stock.kind[mine], self.stock.kind[strands[:, column]]])
        return np.asarray(factor * pairs)

    def apart(self, one: Choices, at: int, many: Choices, places: Indexes) -> npt.NDArray[np.bool_]:
        """Whether the thread at `at` and those at `places` have no pool in common."""
        strands = many.strands[places]
        free = np.ones(len(places), dtype=bool)
        for pool in set(one.strands[at].tolist()):
            free &= (strands != pool).all(axis=1)
        return free

    def table(self, base: Choices, next_to_skin: bool) -> PairTable:
        """Every pair of the candidates at one gauge (at most `DENSE`), worked out once."""
        key = (id(base), next_to_skin)
        if key not in self._tables:
            every = np.arange(len(base))
            own = self.own_together(base, next_to_skin)
            beside = np.stack([self.beside(base, at, base, every) for at in every])
            beside = np.where(beside > 0, np.minimum(np.minimum(beside, own), own[:, None]), -np.inf)
            self._tables[key] = PairTable(
                np.stack([self.reads(base, at, base, every) for at in every]),
                beside,
                np.stack([self.apart(base, at, base, every) for at in every]),
            )
        return self._tables[key]
