"""The yarns that a role could be knitted in, for somebody who tries one after the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from matcher.actions.partner.fitting import Fitting
from matcher.actions.partner.settle import Settled
from matcher.actions.partner.sharing import Shared
from matcher.knitting.needs import RoleNeed
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import lightness_of, sure_of
from matcher.matching.recolour.recolouring import longest, suited


@dataclass(frozen=True)
class Choice:
    """One yarn for a role. sure: the chance that it suffices for this role alone; role: the one it is in now, "" for
    none; own: whether it is left over from the garment itself."""

    pool: Pool
    sure: float
    role: str
    own: bool


@dataclass(frozen=True)
class Offered:
    """The yarns that suit the gauge and have the metres of one role, those of the garment first, then from light to
    dark; with the one that it is in now, whatever that is. `more` others would do as well."""

    role: str
    choices: tuple[Choice, ...]
    more: int


def offered(settled: Settled, fitting: Fitting, shared: Shared, most: int) -> tuple[Offered, ...]:
    """At most so many yarns of each role: those of the garment, then the longest."""
    suits = suited(settled.pools, fitting.asked, settled.catalogue.fabric)
    suits = longest(suits, settled.garment.name, len(suits))
    return tuple(_of_role(settled, shared, need, suits, most) for need in fitting.asked.needs)


def _of_role(settled: Settled, shared: Shared, need: RoleNeed, suits: list[Pool], most: int) -> Offered:
    garment, given = settled.garment.name, shared.pools[need.role]
    able = [pool for pool in suits if pool.free.mean >= need.length_m]
    shown = able[:most]
    if given is not None and not any(pool is given for pool in shown):
        shown = [given, *shown[: most - 1]]

    def choices() -> Iterator[Choice]:
        for pool in shown:
            role = next((role for role, one in shared.pools.items() if one is pool), "")
            own = any(lot.garment == garment for lot in pool.lots)
            yield Choice(pool, sure_of((need,), (pool,)), role, own)

    order = sorted(choices(), key=lambda one: (not one.own, -lightness_of(one.pool.colour), one.pool.name))
    return Offered(need.role, tuple(order), len(able) - sum(any(pool is one for one in able) for pool in shown))
