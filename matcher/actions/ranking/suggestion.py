"""A suggestion as a person and a program get it: roles, lots, metres, contrasts, warnings, reasons."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.ranking.untried import none_found
from matcher.actions.roles import Contrast, RoleYarn
from matcher.actions.whom.bodies import body_of
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.unused import Unused
from matcher.matching.together import RuleVerdict
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.reasons.style import Units
from matcher.store.catalogue.catalogue import Catalogue

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Suggestion:
    """One accessory in one size, with a thread for each role.

    found : the working. short : the weightiest reason. people : whom it is for.
    """

    rank: int
    found: Found
    roles: tuple[RoleYarn, ...]
    contrasts: tuple[Contrast, ...]
    together: tuple[RuleVerdict, ...]
    care: Words
    warnings: tuple[Words, ...]
    cautions: tuple[Words, ...]
    reasons: tuple[Words, ...]
    short: Words
    for_baby: bool
    people: tuple[str, ...] = ()

    @property
    def accessory(self) -> str:
        return self.found.variant.accessory.name

    @property
    def kind(self) -> str:
        return self.found.variant.accessory.kind

    @property
    def size(self) -> str:
        return self.found.variant.size

    @property
    def called(self) -> Words:
        """The accessory, its size, and whom it is for: "ribbed hat, adult large, for my father"."""
        return reason("{accessory}, {sized}", accessory=Term(self.accessory), sized=self.sized)

    @property
    def sized(self) -> Words:
        """Its size, and whom it is for."""
        said = "{size}, for {people}" if self.people else "{size}"
        size = Term("made to measure" if self.size in map(body_of, self.people) else self.size)
        return reason(said, size=size, people=listed(self.people, "and"))

    @property
    def score(self) -> float:
        return self.found.score

    @property
    def parts(self) -> dict[str, float]:
        return self.found.parts

    @property
    def sure(self) -> float:
        return self.found.sure

    @property
    def strands(self) -> int:
        """The most strands held together in any role."""
        return max((role.strands for role in self.roles if not role.brought), default=1)

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        gauge = self.found.variant.gauge
        return {
            "rank": self.rank,
            "accessory": self.accessory,
            "key": self.found.variant.accessory.key,
            "kind": self.kind,
            "size": self.size,
            "for": list(self.people),
            "score": round(self.found.score, 6),
            "parts": {name: round(value, 6) for name, value in self.found.parts.items()},
            "sure": round(self.found.sure, 6),
            "strands": self.strands,
            "gauge": {"stitches_10cm": round(gauge.stitches_10cm, 2), "rows_10cm": round(gauge.rows_10cm, 2)},
            "roles": [role.as_dict() for role in self.roles],
            "contrasts": [one.as_dict() for one in self.contrasts],
            "care": self.care,
            "warnings": [*self.warnings, *self.cautions],
            "reasons": list(self.reasons),
        }


@dataclass(frozen=True)
class Lacking:
    """A near miss: the suggestion that it would have been, and what it lacks."""

    suggestion: Suggestion
    lacks: tuple[Words, ...]

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {**self.suggestion.as_dict(), "lacks": list(self.lacks)}


@dataclass(frozen=True)
class Suggestions:
    """All that `suggest` found; `small` are small things apart from a varied list. Numbers run on through all of it.

    unused : lots that nothing here takes; kept : those of them of which all that is left is kept. catalogue : the one
    that it was found in, with the bodies of those whom it is for among its sizes. cut_short : not all was tried.
    """

    sure_at_least: float
    suggestions: tuple[Suggestion, ...]
    near_misses: tuple[Lacking, ...]
    unused: tuple[Unused, ...]
    small: tuple[Suggestion, ...] = ()
    kept: frozenset[str] = frozenset()
    source: str = ""
    notes: tuple[Words, ...] = ()
    files: tuple[Path, ...] = ()
    catalogue: Catalogue | None = field(default=None, repr=False, compare=False)
    cut_short: bool = False

    def __iter__(self) -> Iterator[Suggestion]:
        return iter(self.suggestions)

    def __len__(self) -> int:
        return len(self.suggestions)

    @property
    def numbered(self) -> tuple[Suggestion, ...]:
        """Everything that has a number, in its order: near misses come last."""
        return (*self.suggestions, *self.small, *(one.suggestion for one in self.near_misses))

    @property
    def none_found(self) -> Words:
        """What is said where the list is empty."""
        return none_found(bool(self.small), self.cut_short, self.sure_at_least)

    @property
    def fit_nothing(self) -> tuple[Unused, ...]:
        """Unused lots of which something is free, or nothing is left."""
        return tuple(one for one in self.unused if one.lot not in self.kept)

    @property
    def kept_whole(self) -> tuple[Unused, ...]:
        """Unused lots that have work of their own: all of each is kept, for mending or by her."""
        return tuple(one for one in self.unused if one.lot in self.kept)

    def as_dict(self, units: Units = "metric") -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say in these units. Figures are metric."""
        return {
            "sure_at_least": self.sure_at_least,
            "units": units,
            "suggestions": [one.as_dict() for one in self.suggestions],
            "small": [one.as_dict() for one in self.small],
            "near_misses": [one.as_dict() for one in self.near_misses],
            "unused": [{"lot": one.lot, "why": one.why} for one in self.unused],
            "notes": list(self.notes),
            "files": [str(path) for path in self.files],
        }

    def frame(self) -> pd.DataFrame:
        """One row for each role of each suggestion, as a pandas frame; small things last."""
        import pandas as pd

        rows = []
        for small, one in [*((False, one) for one in self.suggestions), *((True, one) for one in self.small)]:
            head = {
                "rank": one.rank,
                "small": small,
                "accessory": one.accessory,
                "size": one.size,
                "score": one.found.score,
            }
            for role in one.roles:
                rows.append(
                    {
                        **head,
                        "sure": one.found.sure,
                        **role.as_dict(),
                        "lots": " ".join(lot.name for lot in role.lots),
                    }
                )
        return pd.DataFrame(rows)
