"""Metres of the lots that a piece takes, claimed for it, so that nothing else is offered them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from matcher.actions.keeping.done import lot_row
from matcher.actions.pattern.enough import Given, given_to
from matcher.actions.role_lots import RoleLots
from matcher.errors import BadInput
from matcher.knitting.needs import RoleNeed, main_structure
from matcher.materials.lots import Lot
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Amount
from matcher.reasons.reason import Field, Term, Words, reason
from matcher.store.database.act import Act


def claim(
    act: Act,
    work: int,
    chosen: Sequence[RoleLots],
    plain: Sequence[RoleNeed],
    needs: Sequence[RoleNeed],
    spread: Mapping[str, Estimate],
    anyway: bool,
    otherwise: Words,
) -> tuple[list[dict[str, Any]], list[Given]]:
    """Write the claims down; returns them, and what each role was given.

    plain: needs by the figures alone, which are kept: history must not count twice. spread: metres free of each lot.
    otherwise: what to do where they are too few. Raises BadInput then, unless she wants it `anyway`.
    """
    by_role = {need.role: need for need in needs}
    predicted = {need.role: need for need in plain}
    free = {name: one.mean for name, one in spread.items()}
    claims: list[dict[str, Any]] = []
    roles: list[Given] = []

    def room_of(lot: Lot) -> float:
        """With --anyway the reserve may be drawn on, but never what another work has claimed."""
        return max(free[lot.name], _unclaimed(lot, claims)) if anyway else free[lot.name]

    for given in chosen:
        need, figure = by_role[given.role], predicted[given.role]
        rooms = [
            ([Estimate(room_of(lot), spread[lot.name].sd) for lot in lots], count) for lots, count in given.strands
        ]
        roles += given_to(need, rooms)
        for lot, metres in _portions(given, need.length_m, free):
            room = free[lot.name]
            if metres > room + 1e-9 and not anyway:
                raise _too_little(given.role, lot, metres, room, otherwise)
            taken = min(metres, room_of(lot))
            free[lot.name] = max(0.0, room - taken)
            part = metres / need.length_m if need.length_m else 0.0
            act.insert(
                "claims",
                {
                    "work": work,
                    "role": given.role,
                    "lot": lot_row(act.store, lot.name)["lot"],
                    "metres": taken,
                    "tex": lot.yarn.tex.mean,
                    "structure": main_structure(figure.working),
                    "predicted_m": figure.length_m * part,
                    "predicted_sd_m": figure.sd_m * part,
                    "from_g": lot.mass_g,
                },
            )
            claims.append(
                {
                    "role": given.role,
                    "lot": lot.name,
                    "metres": taken,
                    "sd_m": need.sd_m * part,
                    "free_m": free[lot.name],
                }
            )
    return claims, roles


def _too_little(role: str, lot: Lot, metres: float, room_m: float, otherwise: Words) -> BadInput:
    takes = "{role} takes {amount} of {lot}, and {free} are free"
    wanted, free = (Amount(one, lot.yarn.tex.mean) for one in (metres, room_m))
    what = reason(takes, role=Term(role), amount=wanted, lot=lot.name, free=free)
    return BadInput(what, Field("lots"), otherwise)


def _portions(given: RoleLots, need_m: float, free: Mapping[str, float]) -> list[tuple[Lot, float]]:
    """Metres of each lot: all of it from each strand; there one lot after the other, the last takes the rest."""
    found = []
    for lots, count in given.strands:
        left = need_m * count
        for lot in lots[:-1]:
            taken = min(left, free[lot.name])
            found.append((lot, taken))
            left -= taken
        found.append((lots[-1], left))
    return found


def _unclaimed(lot: Lot, claims: Sequence[Mapping[str, Any]]) -> float:
    claimed: float = sum(one["metres"] for one in claims if one["lot"] == lot.name)
    return max(0.0, lot.unclaimed_m - claimed)
