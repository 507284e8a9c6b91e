"""How much more yarn to buy, so that every role suffices as surely as asked."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matcher.knitting.needs import RoleNeed
from matcher.matching.least import least_that
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import chance_of
from matcher.materials.uncertain import Estimate

_FAR_M = 1e5  # more than this is no purchase; the doubt about the yarn then grows as fast as the yarn


@dataclass(frozen=True)
class Purchase:
    """grams to buy of a role's yarn: whole balls where the ball's weight is known (else balls is 0, grams whole)."""

    role: str
    grams: float
    balls: int
    tex: float


@dataclass(frozen=True)
class Shopping:
    """All that is to buy, and the chance that everything suffices then."""

    purchases: tuple[Purchase, ...]
    sure: float


def to_buy(
    needs: Sequence[RoleNeed], chosen: Mapping[str, Pool | None], usual_tex: float, sure_at_least: float
) -> Shopping | None:
    """The least that brings all roles to one level, each alone, so that together they are sure enough.

    usual_tex: tex of a yarn for a role without a pool. None where no amount would do: the spread of the yarn
    itself is too wide. What is bought has the same doubt about its thickness as what is there; a new yarn, that
    of the best known yarn among the others.
    """
    best = min((_doubt(pool) for pool in chosen.values() if pool), default=0.0)
    stocks = [_Stocked(need, chosen.get(need.role), usual_tex, best) for need in needs]
    # Chances that share the tension are at least their product, so this level is enough for all together.
    low, high = sure_at_least, max(sure_at_least ** (1.0 / max(1, len(needs))), sure_at_least)
    if _together(stocks, high) is None:
        return None
    for _ in range(8):  # finer levels change nothing that a scale could weigh
        middle = (low + high) / 2
        sure = _together(stocks, middle)
        low, high = (low, middle) if sure is not None and sure >= sure_at_least else (middle, high)
    more = [stock.more_m(high) for stock in stocks]
    bought = [stock.purchase(metres) for stock, metres in zip(stocks, more, strict=True)]
    after = [stock.after(1000.0 * one.grams / one.tex) for stock, one in zip(stocks, bought, strict=True)]
    return Shopping(tuple(one for one in bought if one.grams > 0), chance_of(after))


@dataclass(frozen=True)
class _Stocked:
    need: RoleNeed
    pool: Pool | None
    usual_tex: float
    usual_doubt: float

    @property
    def tex(self) -> float:
        return self.pool.yarn.tex.mean if self.pool else self.usual_tex

    def after(self, more_m: float) -> tuple[RoleNeed, Estimate]:
        """What it needs, and the metres free when so many are added."""
        free = self.pool.free if self.pool else Estimate(0.0, 0.0)
        doubt = _doubt(self.pool) if self.pool else self.usual_doubt
        return self.need, Estimate(free.mean + more_m, free.sd + doubt * more_m)

    def more_m(self, level: float) -> float:
        """Least metres to add [m], to 5 cm, until it suffices alone at this level; infinite where none do."""
        return least_that(lambda more_m: chance_of([self.after(more_m)]) >= level, _FAR_M, 0.05)

    def purchase(self, more_m: float) -> Purchase:
        grams = more_m * self.tex / 1000.0
        ball_g = next((lot.ball_g for lot in self.pool.lots if lot.ball_g), None) if self.pool else None
        if ball_g is None:
            return Purchase(self.need.role, float(math.ceil(grams)), 0, self.tex)
        balls = math.ceil(grams / ball_g)
        return Purchase(self.need.role, balls * ball_g, balls, self.tex)


def _doubt(pool: Pool) -> float:
    """Standard deviation of its thickness, as a part of it."""
    return pool.yarn.tex.sd / pool.yarn.tex.mean


def _together(stocks: Sequence[_Stocked], level: float) -> float | None:
    """Chance of all when each is filled up to this level; None where one cannot be."""
    more = [stock.more_m(level) for stock in stocks]
    if not all(math.isfinite(one) for one in more):
        return None
    return chance_of([stock.after(metres) for stock, metres in zip(stocks, more, strict=True)])
