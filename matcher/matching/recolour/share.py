"""An accessory to match a sweater: its lots shared out among the roles, and what else could be knitted."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from matcher.knitting.fit.cast_ons import Wearing, fits
from matcher.knitting.fit.fitted import Fitted, in_role_order
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.needs import RoleNeed
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import Asked, lightness_of
from matcher.matching.recolour.exchanges import Alternative

# So many smaller motifs and sizes are looked at when a colour is short.
_EACH = 3
_RIB = "rib"  # the role that a rib has when it is knitted in a yarn of its own
Needs = Callable[[Fitted], tuple[RoleNeed, ...]]


@dataclass(frozen=True)
class SharedOut:
    """The pool of each role, None where the garment left none; `by_lightness` are the roles given without a word."""

    pools: Mapping[str, Pool | None]
    by_lightness: tuple[str, ...]


def share_out(roles: Sequence[str], pools: Sequence[Pool], garment: str) -> SharedOut:
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
    return SharedOut(given, tuple(guessed))


def asked_of(fitted: Fitted, needs: Needs) -> Asked:
    """What a fitted accessory asks of the yarns."""
    return Asked(needs(fitted), fitted.edges(), fitted.gauge)


def alternatives_of(wearing: Wearing, motif: Motif, fitted: Fitted, needs: Needs) -> tuple[Alternative, ...]:
    """The same accessory with fewer rows of the motif, smaller, or its rib in another yarn."""
    return (
        *_fewer_rows(wearing, motif, fitted, needs),
        *_smaller(wearing, motif, needs),
        *_other_ribs(fitted, needs),
    )


def _fewer_rows(wearing: Wearing, motif: Motif, fitted: Fitted, needs: Needs) -> list[Alternative]:
    found: list[Alternative] = []
    most = fitted.motif_rows - 1
    while most > 0 and len(found) < _EACH:
        again = [one for one in fits(replace(wearing, most_rows=most), motif) if _same(one, fitted)]
        if not again or not 0 < again[0].motif_rows <= most:
            break
        rows = again[0].motif_rows
        words = f"knit {rows} of the {fitted.motif_rows} rows of the motif"
        found.append(Alternative("rows dropped", words, asked_of(again[0], needs), rows / fitted.motif_rows))
        most = rows - 1
    return found


def _same(one: Fitted, other: Fitted) -> bool:
    return (one.stitches, one.plain_columns) == (other.stitches, other.plain_columns)


def _smaller(wearing: Wearing, motif: Motif, needs: Needs) -> list[Alternative]:
    names = wearing.accessory.sizes
    if wearing.size not in names:
        return []
    found: list[Alternative] = []
    for size in reversed(names[: names.index(wearing.size)]):
        best = fits(replace(wearing, size=size), motif)[0]
        if best.off_by_cm == 0.0 and len(found) < _EACH:
            words = f"knit the size {size} ({best.stitches} stitches)"
            found.append(Alternative("smaller size", words, asked_of(best, needs)))
    return found


def _other_ribs(fitted: Fitted, needs: Needs) -> list[Alternative]:
    """The rib in each of the other roles, and in a yarn besides those of the roles."""
    ribs = {part.role for part in fitted.parts if part.structure == "rib" and part.role is not None}
    if not ribs:
        return []
    others = sorted(set(fitted.roles) - ribs, key=in_role_order)
    found = [
        Alternative("rib in another role", f"knit the rib in {role}", asked_of(_ribbed(fitted, role), needs))
        for role in others
    ]
    if _RIB not in fitted.roles:
        found.append(
            Alternative("rib in another yarn", "knit the rib in another yarn", asked_of(_ribbed(fitted, _RIB), needs))
        )
    return found


def _ribbed(fitted: Fitted, role: str) -> Fitted:
    """The same with its rib in this role."""
    parts = tuple(replace(part, role=role) if part.structure == "rib" else part for part in fitted.parts)
    return replace(fitted, parts=parts)
