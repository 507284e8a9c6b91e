"""How a piece on the needles stands: where she is in its pattern, and whether each colour lasts."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from matcher.actions.desk import Desk
from matcher.actions.keeping.done import opened
from matcher.actions.progress.lasting import Lasts, lasts
from matcher.actions.progress.piece import OnNeedles, needles_of, on_needles, place_words
from matcher.actions.progress.whole_set import SetLasts, set_lasts
from matcher.errors import BadInput
from matcher.reasons.reason import Words


@dataclass(frozen=True)
class Standing:
    """lasts: what each colour still has to give. asked: the chance below which ways out are told. whole: how its set
    stands, where it was begun with others. lots: what is set aside for it, by name in the store."""

    piece: OnNeedles
    lasts: Lasts
    asked: float
    whole: SetLasts | None
    lots: tuple[str, ...]

    @property
    def words(self) -> tuple[Words, ...]:
        """Whether its yarn lasts, and ways out where it may not."""
        return (*self.lasts.words(self.asked), *((self.whole.words,) if self.whole else ()))

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON, as those of `row`."""
        piece = self.piece
        values = {"work": piece.row["id"], "name": piece.name, "steps_done": piece.stage, "steps": len(piece.stages)}
        return {**values, **self.lasts.as_dict(), "set": self.whole.as_dict() if self.whole else None}


def standing(work: str, desk: Desk) -> Standing:
    """Of the work of that name or number. Raises NotFound; BadInput where no pattern comes out of it."""
    catalogue = desk.catalogue
    with opened(desk.store) as store, store.reading():
        piece = on_needles(store, work, catalogue)
        told = lasts(store, piece, piece.stage, catalogue, desk.bin)
        whole = set_lasts(store, piece.row["of_set"], catalogue)
        claims = store.select("SELECT lot FROM claims WHERE work = ? ORDER BY id", piece.row["id"])
    lots = tuple(dict.fromkeys(one["lot"] for one in claims))
    return Standing(piece, told, catalogue.ranking.sure_at_least, whole, lots)


def reached(desk: Desk) -> Mapping[int, Words]:
    """Where she is in each work on the needles, by its number; works whose pattern is not known are left out."""
    found: dict[int, Words] = {}
    if desk.store is None:
        return found
    with opened(desk.store) as store, store.reading():
        for row in store.select("SELECT * FROM works WHERE state = 'begun' ORDER BY id"):
            with suppress(BadInput):
                piece = needles_of(store, row, desk.catalogue)
                found[row["id"]] = place_words(piece.stages, piece.stage)
    return found
