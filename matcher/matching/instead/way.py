"""A way to stand in for a yarn: one pool or several, and what it comes to."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from matcher.knitting.fabric import Gauge, gauge_of_tex
from matcher.matching.instead.beside import Asked, Beside
from matcher.matching.instead.rules import Rules
from matcher.matching.pools import pool_of
from matcher.matching.together import thickness_factor
from matcher.materials.estimate import Estimate
from matcher.materials.uncertain import chance_of_all, log_sd, margin
from matcher.materials.yarn import held_together

PARTS = ("look", "gauge", "fibre", "care", "kin", "handling")


@dataclass(frozen=True)
class Way:
    """Pools that stand in together.

    strands: how many of each are held together; joined: knitted one after the other instead, one strand of each.
    free: metres of each pool, of all together where they are joined. need_m: metres of one strand, need_sd: their
    spread on the logarithm. tex: of what is
    knitted, where lots are joined of the one that differs most. sure: the chance that all of it suffices.
    """

    members: tuple[Beside, ...]
    strands: tuple[int, ...]
    joined: bool
    free: tuple[Estimate, ...]
    need_m: float
    need_sd: float
    tex: Estimate
    sure: float
    parts: Mapping[str, float]
    score: float

    @property
    def needed_m(self) -> tuple[float, ...]:
        """Metres needed of each of `free`."""
        return tuple(self.need_m * count for count in ((1,) if self.joined else self.strands))

    @property
    def marl(self) -> bool:
        """Whether strands of several pools are held together."""
        return not self.joined and len(self.members) > 1

    @property
    def worst_seen(self) -> Beside:
        """The pool whose colour is farthest off."""
        return max(self.members, key=lambda one: one.delta_e)

    @property
    def place(self) -> tuple[object, ...]:
        """Where it stands among others: best score first; of equals the fewest strands or joins, then by name."""
        names = tuple(one.name for one in self.members)
        return -round(self.score, 9), sum(self.strands), not self.joined, names, self.strands


class Weigher:
    """What ways come to, for one yarn asked for. free: metres of each lot that may be used [m]."""

    def __init__(self, asked: Asked, free: Mapping[str, Estimate], rules: Rules) -> None:
        self.asked, self.free, self.rules = asked, free, rules
        self.weights = {name: float(getattr(rules.instead, f"weight_{name}")) for name in PARTS}

    def held(self, members: Sequence[Beside], strands: Sequence[int]) -> Way:
        """So many strands of each held together. One strand of one pool is the pool alone."""
        pairs = sorted(zip(members, strands, strict=True), key=lambda one: (-one[1], one[0].name))
        pools, counts = tuple(one for one, _ in pairs), tuple(count for _, count in pairs)
        tex = held_together(one.pool.yarn.tex for one, count in pairs for _ in range(count))
        handling = self.rules.instead.strand_factor ** (sum(counts) - 1)
        handling *= self.rules.together.marl_factor if len(pools) > 1 else 1.0
        same = len(pools) == 1 and counts == (1,) and self.same_yarn(pools[0])
        need_m, sd = self.need(tex, same)
        free = tuple(one.pool.free for one in pools)
        return self._way(pools, counts, False, free, need_m, sd, tex, self.gauge_part(tex.mean), handling)

    def joined(self, members: Sequence[Beside]) -> Way:
        """One after the other."""
        pools = tuple(sorted(members, key=lambda one: one.name))
        lots = [lot for one in pools for lot in one.pool.lots]
        free = pool_of(lots, self.free, self.rules.fabric.tail_m).free
        each = [self.need(one.pool.yarn.tex, self.same_yarn(one)) for one in pools]
        off = min(pools, key=lambda one: self.gauge_part(one.tex)).pool.yarn.tex
        handling = self.rules.instead.join_factor ** (len(pools) - 1)
        # The thinnest takes most metres, and whatever is least known of any is taken for all.
        need_m, sd = max(need for need, _ in each), max(sd for _, sd in each)
        counts = (1,) * len(pools)
        return self._way(pools, counts, True, (free,), need_m, sd, off, self.gauge_part(off.mean), handling)

    def need(self, tex: Estimate, same: bool) -> tuple[float, float]:
        """Metres of one strand that such a thread takes for the same area, and their spread on the logarithm.

        Yarn of an area goes with 1 / loop, and the loop of a usual fabric with the root of tex (Munden 1959). So half
        of the spread of either thickness reaches it; none where it is the same yarn.
        """
        asked = self.asked.yarn.tex
        spread = 0.0 if same else 0.5 * math.hypot(asked.sd / asked.mean, tex.sd / tex.mean)
        return self.asked.need_m * math.sqrt(asked.mean / tex.mean), spread

    def gauge_part(self, tex: float) -> float:
        """1 for the same thickness, 0 from where two yarns cannot live in one fabric."""
        most = math.log(self.rules.together.tex_ratio_blocks)
        return max(0.0, 1.0 - abs(math.log(tex / self.asked.yarn.tex.mean)) / most)

    def suits(self, tex: float) -> bool:
        """Whether such a thread can take the asked yarn's place among others."""
        return bool(thickness_factor(tex, self.asked.yarn.tex.mean, self.rules.together) > 0)

    def seen_alike(self, one: Beside) -> bool:
        """Whether its colour can stand in at all."""
        return self.asked.any_colour or one.delta_e <= self.rules.instead.most_delta_e

    def gauge(self, tex: float) -> Gauge:
        """The usual gauge of a thread."""
        return gauge_of_tex(tex, self.rules.fabric)

    def same_yarn(self, one: Beside) -> bool:
        """Whether whatever is off with the thickness of one is off with the other."""
        return one.one_yarn and one.pool.yarn.tex == self.asked.yarn.tex

    def score(self, parts: Mapping[str, float]) -> float:
        """The parts by the weights of the catalogue, 0 to 1."""
        return sum(parts[name] * weight for name, weight in self.weights.items())

    def _way(
        self,
        pools: tuple[Beside, ...],
        counts: tuple[int, ...],
        joined: bool,
        free: tuple[Estimate, ...],
        need_m: float,
        need_sd: float,
        tex: Estimate,
        gauge: float,
        handling: float,
    ) -> Way:
        parts = {name: min(getattr(one, name) for one in pools) for name in ("look", "fibre", "care", "kin")}
        parts = {name: {**parts, "gauge": gauge, "handling": handling}[name] for name in PARTS}
        have, sd = np.array([one.mean for one in free]), np.array([one.sd for one in free])
        needed = need_m * np.array([1.0] if joined else counts)
        sure = chance_of_all(margin(have, needed), np.full(len(have), need_sd), log_sd(have, sd))
        return Way(pools, counts, joined, free, need_m, need_sd, tex, sure, parts, self.score(parts))
