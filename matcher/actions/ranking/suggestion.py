"""A suggestion as a person and a program get it: roles, lots, metres, contrasts, warnings, reasons."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import Shelf
from matcher.actions.roles import (
    FOR_BABIES,
    Contrast,
    RoleYarn,
    cautions_of,
    role_yarn,
    worst_together,
    yarn_warnings,
)
from matcher.knitting.accessory import contrast_pairs, longest_float
from matcher.knitting.needs import RoleNeed
from matcher.matching.contrast import judge, vanishing_words
from matcher.matching.pools import Pool, Stock
from matcher.matching.ranking.found import Found, Thread
from matcher.matching.together import RuleVerdict, care_of
from matcher.materials.colours.colour import Colour
from matcher.store.catalogue.catalogue import Catalogue

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Suggestion:
    """One accessory in one size, with a thread for each role; `found` keeps the working."""

    rank: int
    found: Found
    roles: tuple[RoleYarn, ...]
    contrasts: tuple[Contrast, ...]
    together: tuple[RuleVerdict, ...]
    care: str
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    reasons: tuple[str, ...]

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
    def score(self) -> float:
        return self.found.score

    @property
    def parts(self) -> dict[str, float]:
        return self.found.parts

    @property
    def sure(self) -> float:
        return self.found.sure

    @property
    def for_baby(self) -> bool:
        return self.size in FOR_BABIES

    @property
    def strands(self) -> int:
        """The most strands held together in any role."""
        return max((role.strands for role in self.roles if not role.brought), default=1)

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        gauge = self.found.variant.gauge
        return {
            "rank": self.rank,
            "accessory": self.accessory,
            "key": self.found.variant.accessory.key,
            "kind": self.kind,
            "size": self.size,
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
    lacks: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {**self.suggestion.as_dict(), "lacks": list(self.lacks)}


@dataclass(frozen=True)
class Unused:
    """A lot that fits nothing in scope, and why."""

    lot: str
    why: str


@dataclass(frozen=True)
class Suggestions:
    """All that `suggest` found."""

    sure_at_least: float
    units: str
    suggestions: tuple[Suggestion, ...]
    near_misses: tuple[Lacking, ...]
    unused: tuple[Unused, ...]
    source: str = ""
    notes: tuple[str, ...] = ()

    def __iter__(self) -> Iterator[Suggestion]:
        return iter(self.suggestions)

    def __len__(self) -> int:
        return len(self.suggestions)

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "sure_at_least": self.sure_at_least,
            "units": self.units,
            "suggestions": [one.as_dict() for one in self.suggestions],
            "near_misses": [one.as_dict() for one in self.near_misses],
            "unused": [{"lot": one.lot, "why": one.why} for one in self.unused],
            "notes": list(self.notes),
        }

    def frame(self) -> pd.DataFrame:
        """One row for each role of each suggestion, as a pandas frame."""
        import pandas as pd

        rows = []
        for one in self.suggestions:
            head = {"rank": one.rank, "accessory": one.accessory, "size": one.size, "score": one.found.score}
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


class Teller:
    """Turns what the search found into suggestions, with reasons in words."""

    def __init__(self, catalogue: Catalogue, shelf: Shelf, stock: Stock, units: str, asked: str | None) -> None:
        self.catalogue, self.shelf, self.stock, self.units, self.asked = catalogue, shelf, stock, units, asked

    def suggestion(self, rank: int, found: Found) -> Suggestion:
        """The suggestion with all that is said about it."""
        threads = dict(zip((need.role for need in found.variant.filled), found.threads, strict=True))
        plans = tuple(self._role(need, threads.get(need.role)) for need in found.variant.needs)
        contrasts = self._contrasts(found, {plan.role: plan.colour for plan in plans if plan.colour})
        pools = [self.stock.pools[pool] for thread in found.threads for pool, _ in thread]
        together = self._together(found)
        return Suggestion(
            rank,
            found,
            plans,
            contrasts,
            together,
            str(care_of(pool.yarn for pool in pools)),
            self._warnings(found, plans, pools, contrasts, together),
            self._cautions(found, pools),
            self._reasons(found, contrasts),
        )

    def _role(self, need: RoleNeed, thread: Thread | None) -> RoleYarn:
        if thread is None:
            return role_yarn(need, (), self.shelf.groups, brought=True)
        return role_yarn(need, [(self.stock.pools[pool], count) for pool, count in thread], self.shelf.groups)

    def _contrasts(self, found: Found, colours: dict[str, Colour]) -> tuple[Contrast, ...]:
        pairs = contrast_pairs(found.variant.accessory, self.catalogue.motifs)
        least = self.asked or found.variant.accessory.least_contrast or "quiet"
        return tuple(
            Contrast((a, b), judge(colours[a], colours[b], self.catalogue.vision, self.catalogue.contrast, least))
            for a, b in pairs
            if a in colours and b in colours
        )

    def _together(self, found: Found) -> tuple[RuleVerdict, ...]:
        threads = [[(self.stock.pools[pool], count) for pool, count in thread] for thread in found.threads]
        return worst_together(threads, found.variant.accessory.next_to_skin, self.catalogue.together)

    def _warnings(
        self,
        found: Found,
        plans: tuple[RoleYarn, ...],
        pools: list[Pool],
        contrasts: tuple[Contrast, ...],
        together: tuple[RuleVerdict, ...],
    ) -> tuple[str, ...]:
        words = [str(one.reason) for one in together if one.verdict == "warns"]
        words += map(str, yarn_warnings(pools))
        floats = longest_float(found.variant.accessory, self.catalogue.motifs)
        if floats > self.catalogue.fabric.long_float:
            words.append(f"the longest float passes {floats} stitches: catch it inside")
        if any(plan.brought for plan in plans):
            words.append("the main colour is yours to bring: try it with `matcher contrast` beside these first")
        words += [
            f"{one.roles[0]} and {one.roles[1]}: {vanishing_words(one.judged.vanishing)}"
            for one in contrasts
            if one.judged.vanishing >= 0.05
        ]
        return tuple(dict.fromkeys(words))

    def _cautions(self, found: Found, pools: list[Pool]) -> tuple[str, ...]:
        return cautions_of(found.variant.accessory, found.variant.size, pools, self.catalogue)

    def _reasons(self, found: Found, contrasts: tuple[Contrast, ...]) -> tuple[str, ...]:
        parts = found.parts
        words = []
        if contrasts:
            least = min(contrasts, key=lambda one: one.judged.reading).judged
            clear = least.verdict == "clear"
            only = f"its colours are {least.verdict} ({least.lightness})"
            words.append("its colours read clearly" if clear else only)
        if parts["use"] >= 0.5:
            words.append("little else could use this yarn so well")
        elif parts["use"] >= 0.25:
            words.append("it uses up a good part of these lots")
        if parts["leftover"] >= 0.99:
            words.append("what is left over stays useful")
        elif parts["leftover"] < 0.5:
            words.append("it leaves a rest too short for much")
        if parts["together"] < 1:
            words.append("the yarns differ a little in kind")
        if not words:
            words.append("there is enough of it")
        return tuple(words)
