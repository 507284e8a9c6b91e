"""Where an accessory stands, why, and what would let it in: as a person and a program get it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.ranking.trials import Way
from matcher.knitting.accessory import Accessory
from matcher.matching.why.because import Because
from matcher.reasons.reason import Words
from matcher.reasons.style import Units

Verdict = Literal["in the list", "not first", "not possible"]
LISTED: Verdict = "in the list"
BELOW: Verdict = "not first"
IMPOSSIBLE: Verdict = "not possible"


@dataclass(frozen=True)
class Answer:
    """Where an accessory stands. lot, size : "" where none was asked for.

    verdict : "in the list" (place says where), "not first" (it can be made, but others stand in the list),
    "not possible" (the search finds no way). suggestion : what stands in the list, or would; None where it is not
    possible. beside : what it is compared with: the first of the list, or the next where it is the first itself; the
    last where it is not in the list. least_change : ways in, each by itself.
    """

    accessory: Accessory
    lot: str
    size: str
    sure_at_least: float
    verdict: Verdict
    because: tuple[Because, ...]
    least_change: tuple[Way, ...] = ()
    place: int | None = None
    length: int = 0
    suggestion: Suggestion | None = None
    beside: Suggestion | None = None
    notes: tuple[Words, ...] = ()

    def as_dict(self, units: Units = "metric") -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say in these units. Figures are metric."""
        return {
            "accessory": self.accessory.name,
            "key": self.accessory.key,
            "lot": self.lot or None,
            "size": self.size or None,
            "sure_at_least": self.sure_at_least,
            "units": units,
            "verdict": self.verdict,
            "place": self.place,
            "length": self.length,
            "made_of": None if self.suggestion is None else _in_short(self.suggestion),
            "beside": None if self.beside is None else _in_short(self.beside),
            "because": [one.as_dict() for one in self.because],
            "least_change": [way.as_dict() for way in self.least_change],
            "notes": list(self.notes),
        }


def _in_short(one: Suggestion) -> dict[str, Any]:
    return {
        "rank": one.rank or None,
        "accessory": one.accessory,
        "size": one.size,
        "score": round(one.score, 6),
        "sure": round(one.sure, 6),
        "lots": [lot.name for role in one.roles for lot in role.lots],
    }
