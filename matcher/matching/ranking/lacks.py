"""How many more metres a near miss would need."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from matcher.matching.least import least_that
from matcher.matching.pools import Stock
from matcher.matching.ranking.found import Found
from matcher.materials.uncertain import chance_of_all, margin
from matcher.reasons.quantities import SHOWN_M, Length
from matcher.reasons.reason import Words, reason


@dataclass(frozen=True)
class Lack:
    """What one role lacks: its name, how many more metres there should be, and the place of the pool taken first."""

    role: str
    metres: float
    pool: int

    @property
    def words(self) -> Words:
        """Such as "37 m short"; never that it is short by none."""
        return reason("just short") if self.metres < SHOWN_M else reason("{m} short", m=Length(self.metres))


def lacks(found: Found, stock: Stock, chance: float) -> list[Lack]:
    """How many more metres each role would need for this one to be as sure as asked.

    Each role that is not sure enough by itself is filled up until it is; where all are but not together, the
    least sure one is named.
    """
    missing = []
    for role, thread in enumerate(found.threads):
        more = sum(_more(stock, found, role, pool, chance, alone=True) for pool, _ in thread)
        if more > 0.05:
            missing.append(Lack(found.variant.filled[role].role, more, thread[0][0]))
    if missing or _chance(stock, found) >= chance:
        return missing
    items = [(role, pool) for role, thread in enumerate(found.threads) for pool, _ in thread]
    role, pool = min(items, key=lambda item: _chance(stock, found, only=item))
    more = _more(stock, found, role, pool, chance, alone=False)
    return [Lack(found.variant.filled[role].role, more, pool)] if np.isfinite(more) else []


def _chance(
    stock: Stock, found: Found, more: tuple[int, float] | None = None, only: tuple[int, int] | None = None
) -> float:
    """Chance that all pools suffice, or the one of a role alone; `more` adds metres to a pool."""
    variant = found.variant
    have, take, spread, shared, own = [], [], [], [], []
    for role, thread in enumerate(found.threads):
        for pool, count in thread:
            if only is not None and only != (role, pool):
                continue
            # More of the same yarn comes with the same doubt about its thickness.
            have.append(stock.free_m[pool] + (more[1] if more is not None and more[0] == pool else 0.0))
            take.append(count * variant.length_m[role])
            spread.append(stock.log_sd[pool])
            shared.append(variant.shared_sd[role])
            own.append(variant.own_sd[role])
    return chance_of_all(margin(np.array(have), np.array(take)), np.array(shared), np.hypot(spread, own))


def _more(stock: Stock, found: Found, role: int, pool: int, chance: float, alone: bool) -> float:
    """Metres to add to a pool of a role until it (or, not alone, the whole) suffices; bisection to 1 cm."""

    def enough(extra: float) -> bool:
        return _chance(stock, found, (pool, extra), (role, pool) if alone else None) >= chance

    return least_that(enough, most=1e6, within=0.01)
