"""What works on the needles have claimed of a lot, and that it never is more than the lot weighs."""

from __future__ import annotations

from typing import Any

from matcher.store.database.act import Act
from matcher.store.database.rows import Rows


def claims_of(store: Rows, lot: str) -> list[dict[str, Any]]:
    """What works on the needles have claimed of a lot."""
    return store.select(
        "SELECT claims.*, works.name AS work_name FROM claims JOIN works ON works.id = claims.work "
        "WHERE claims.lot = ? ORDER BY claims.id",
        lot,
    )


def fit_claims(act: Act, lot: str, mass_g: float) -> tuple[str, ...]:
    """Cut what is claimed of a lot down to what it weighs; returns the works that then claim all of it.

    A lot that weighs more than when it was claimed was weighed wrongly then, or yarn was put to it: what a work
    takes is counted from the new weight.
    """
    claims = claims_of(act.store, lot)
    for one in claims:
        act.update("claims", one["id"], {"from_g": max(one["from_g"], mass_g)})
    claimed_g = sum(one["metres"] * one["tex"] for one in claims) / 1000.0
    if claimed_g <= mass_g:
        return ()
    for one in claims:
        act.update("claims", one["id"], {"metres": one["metres"] * mass_g / claimed_g})
    return tuple(dict.fromkeys(one["work_name"] for one in claims))
