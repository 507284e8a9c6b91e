"""The leftovers of a garment given to the roles of its motif."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matcher.knitting.fit.fitted import in_role_order
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import lightness_of


@dataclass(frozen=True)
class Leftovers:
    """The pool of each role, None where the garment left none; `by_lightness` are the roles given without a word."""

    pools: Mapping[str, Pool | None]
    by_lightness: tuple[str, ...]


def share_out(roles: Sequence[str], pools: Sequence[Pool], garment: str) -> Leftovers:
    """Give a garment's leftovers to the roles of its motif.

    A pool that has the role in the garment has it here; of several the one with most free. Pools of the garment
    with none of these roles fill what is left: main with the most metres, then the contrasts with what differs
    most from main in lightness. No pool is given twice.
    """
    own = [pool for pool in pools if any(lot.garment == garment for lot in pool.lots)]
    roles_of = {id(pool): {lot.role for lot in pool.lots if lot.garment == garment} for pool in own}
    given: dict[str, Pool | None] = {}
    for role in sorted(roles, key=in_role_order):
        named = [pool for pool in own if role in roles_of[id(pool)] and pool not in given.values()]
        given[role] = min(named, key=lambda pool: (-pool.free.mean, pool.name), default=None)
    loose = [pool for pool in own if not roles_of[id(pool)] & set(roles)]
    guessed = []
    for role, pool in given.items():
        if pool is not None or not loose:
            continue
        main = given.get("main")
        if role == "main" or main is None:
            found = min(loose, key=lambda one: (-one.free.mean, one.name))
        else:
            ground = lightness_of(main.colour)
            found = min(loose, key=lambda one: (-abs(lightness_of(one.colour) - ground), one.name))
        given[role] = found
        loose.remove(found)
        guessed.append(role)
    return Leftovers(given, tuple(guessed))
