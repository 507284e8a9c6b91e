"""A set as a person and a program get it: its things, what each lot gives to which, and how sure all are at once."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.ranking.suggestion import Suggestion
from matcher.materials.lots import Lot
from matcher.reasons.reason import Words
from matcher.reasons.style import Units
from matcher.store.recipes import Recipe

if TYPE_CHECKING:
    import pandas as pd

    from matcher.store.catalogue.catalogue import Catalogue


@dataclass(frozen=True)
class LotUse:
    """What a lot gives to a set. Lengths in metres; reserve_m : held back for mending, or by her decision.

    used : (number of the thing, metres) for each that takes of it. left_m : what is free of it afterwards.
    """

    lot: Lot
    on_hand_m: float
    reserve_m: float
    claimed_m: float
    used: tuple[tuple[int, float], ...]
    left_m: float

    @property
    def used_m(self) -> float:
        return sum(metres for _, metres in self.used)


@dataclass(frozen=True)
class NotPossible:
    """Something that she wants and that the set can't hold, and why, with the nearest that can be.

    place : of the want among all, from 0; None for a lot that must be used.
    """

    want: Words
    why: Words
    place: int | None = None


@dataclass(frozen=True)
class PlannedSet:
    """Things that can all be knitted from one bin. Their `rank` is their number in the set.

    lots : every lot that gives something, in the order of their names. sure : the chance that the yarn for all of them
    suffices, her tension shared. objective, bound : see `Sets.aim`; bound : no set can do better, infinite where that
    is not known. proved : it is the best there is. recipes : what each thing is made from, so that it can be begun as
    planned; none for a set that isn't to be begun. of_fits : some things match a sweater; bound and proved hold for the
    fits and the ways to share its colours out that were tried.
    """

    things: tuple[Suggestion, ...]
    lots: tuple[LotUse, ...]
    sure: float
    objective: float
    bound: float
    proved: bool
    recipes: tuple[Recipe, ...] = ()
    of_fits: bool = False

    def __iter__(self) -> Iterator[Suggestion]:
        return iter(self.things)

    def __len__(self) -> int:
        return len(self.things)

    @property
    def gap(self) -> float:
        """How much better another set could be at most, as a part of the bound, 0 to 1; 1 where it is not known."""
        if math.isinf(self.bound):
            return 1.0
        return max(0.0, self.bound - self.objective) / self.bound if self.bound > 0 else 0.0

    @property
    def _recipes(self) -> list[dict[str, Any]]:
        if not self.recipes:
            return [{}] * len(self.things)
        return [{"recipe": one.as_dict()} for one in self.recipes]

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {
            "accessories": [
                {**one.as_dict(), "person": ", ".join(one.people), **recipe}
                for one, recipe in zip(self.things, self._recipes, strict=True)
            ],
            "lots": [
                {
                    "lot": one.lot.name,
                    "on_hand_m": round(one.on_hand_m, 2),
                    "reserve_m": round(one.reserve_m, 2),
                    "claimed_m": round(one.claimed_m, 2),
                    "used": [{"accessory": number, "metres": round(metres, 2)} for number, metres in one.used],
                    "left_m": round(one.left_m, 2),
                }
                for one in self.lots
            ],
            "sure": round(self.sure, 6),
            "objective": round(self.objective, 6),
            "bound": None if math.isinf(self.bound) else round(self.bound, 6),
            "gap": round(self.gap, 6),
            "proved": self.proved,
        }


@dataclass(frozen=True)
class Sets:
    """All that `set` found: the best set, others that really differ, and what of her wants can't be.

    aim : what the objective counts, one of `AIMS` (`matching.sets.aims`): "best" counts the score of each thing and
    what is left of lots, "use-up" the part of the free yarn's weight that is used, "few" the lots of which nothing
    useful is left, "most" the things. sure_at_least : what was asked. source : where the bin is kept, "" for a bin in
    memory. catalogue : what its things are drawn by, with the bodies of those whom they are for.
    """

    aim: str
    sure_at_least: float
    best: PlannedSet
    alternatives: tuple[PlannedSet, ...] = ()
    not_possible: tuple[NotPossible, ...] = ()
    source: str = ""
    notes: tuple[Words, ...] = ()
    files: tuple[Path, ...] = ()
    catalogue: Catalogue | None = field(default=None, repr=False, compare=False)

    @property
    def every(self) -> tuple[PlannedSet, ...]:
        """The best one and the others."""
        return (self.best, *self.alternatives)

    def as_dict(self, units: Units = "metric") -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say in these units. Figures are metric."""
        return {
            "aim": self.aim,
            "sure_at_least": self.sure_at_least,
            "units": units,
            **self.best.as_dict(),
            "not_possible": [{"want": one.want, "why": one.why} for one in self.not_possible],
            "alternatives": [one.as_dict() for one in self.alternatives],
            "notes": list(self.notes),
            "files": [str(path) for path in self.files],
        }

    def frame(self) -> pd.DataFrame:
        """One row for each lot and each thing that takes of it, of the best set, as a pandas frame."""
        import pandas as pd

        things = {one.rank: one for one in self.best}
        rows = [
            {
                "lot": one.lot.name,
                "place": one.lot.place,
                "on_hand_m": one.on_hand_m,
                "reserve_m": one.reserve_m,
                "claimed_m": one.claimed_m,
                "number": number,
                "accessory": things[number].accessory,
                "size": things[number].size,
                "person": ", ".join(things[number].people),
                "metres": metres,
                "grams": metres * one.lot.yarn.tex.mean / 1000.0,
                "left_m": one.left_m,
            }
            for one in self.best.lots
            for number, metres in one.used
        ]
        return pd.DataFrame(rows)
