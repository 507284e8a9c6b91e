"""Her standing wishes, as the rooms below take them: which accessories are never wanted, which lots must not meet."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from matcher.actions.whom.tastes import accessories_called, lots_of_fibre
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.materials.wishes import StandingWishes, wishes_of
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.database.store import open_store


def wishes_in(store: Path | None) -> StandingWishes:
    """What she wishes, as the store keeps it; nothing without a store. Raises as `open_store`."""
    if store is None:
        return StandingWishes()
    with open_store(store) as opened:
        return wishes_of({row["wish"]: row["wanted"] for row in opened.rows("wishes")})


def never_wanted(wishes: StandingWishes, catalogue: Catalogue) -> frozenset[str]:
    """Keys of the accessories that she never wants."""
    return frozenset(key for word in wishes.never for key in accessories_called(word, catalogue))


def apart(
    wishes: StandingWishes, lots: Iterable[Lot], catalogue: Catalogue
) -> tuple[tuple[frozenset[str], frozenset[str]], ...]:
    """Names of the lots that must not meet, by pairs of yarns."""
    every = tuple(lots)
    return tuple(
        (frozenset(lots_called(one, every, catalogue)), frozenset(lots_called(other, every, catalogue)))
        for one, other in wishes.apart
    )


def lots_called(word: str, lots: Iterable[Lot], catalogue: Catalogue) -> set[str]:
    """Names of the lots that a word means: a lot's name, its yarn's, a fibre in it, or one of several fibres."""
    folded = fold(word)
    every = tuple(lots)
    named = {lot.name for lot in every if folded in (fold(lot.name), fold(lot.yarn.name))}
    return named | (lots_of_fibre(word, every, catalogue) or set())
