"""A suggestion as a person and a program get it: roles, lots, metres, contrasts, warnings, reasons."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from matcher.actions.context import Shelf
from matcher.knitting.accessory import contrast_pairs, longest_float
from matcher.knitting.needs import RoleNeed
from matcher.knitting.reserve import ReserveGroup
from matcher.matching.contrast import Judgement, judge
from matcher.matching.found import Found, Thread
from matcher.matching.pools import Pool, Stock
from matcher.matching.together import RuleVerdict, beside, care_of, handling_of, on_skin, thickness
from matcher.materials.colour import Colour, marled
from matcher.materials.lots import Lot
from matcher.store.catalogue import Catalogue

if TYPE_CHECKING:
    import pandas as pd

# Floats over more stitches than this are caught inside, as hand-knitters usually do (common practice).
_LONG_FLOAT = 5
_FOR_BABIES = ("baby", "newborn", "toddler")


@dataclass(frozen=True)
class RolePlan:
    """One role of a suggestion. Lengths in metres, masses in grams; `brought` yarn is not from the lots."""

    role: str
    lots: tuple[Lot, ...]
    strands: int
    need: RoleNeed
    need_m: float
    need_sd_m: float
    on_hand_m: float
    on_hand_sd_m: float
    reserve_m: float
    left_m: float
    need_g: float
    colour: Colour | None
    brought: bool = False
    reserves: tuple[ReserveGroup, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "role": self.role,
            "lots": [lot.name for lot in self.lots],
            "need_m": round(self.need_m, 2),
            "need_sd_m": round(self.need_sd_m, 2),
            "on_hand_m": round(self.on_hand_m, 2),
            "reserve_m": round(self.reserve_m, 2),
            "left_m": round(self.left_m, 2),
            "need_g": round(self.need_g, 2),
            "strands": self.strands,
            "brought": self.brought,
            "on_hand_sd_m": round(self.on_hand_sd_m, 2),
        }


@dataclass(frozen=True)
class Contrast:
    """Two roles that touch, and how they read."""

    roles: tuple[str, str]
    judged: Judgement

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "roles": list(self.roles),
            "delta_e": round(self.judged.delta_e, 2),
            "delta_l": round(self.judged.delta_l, 2),
            "least_seen": self.judged.least_seen,
            "verdict": self.judged.verdict,
            "reason": self.judged.reason,
        }


@dataclass(frozen=True)
class Suggestion:
    """One accessory in one size, with a thread for each role; `found` keeps the working."""

    rank: int
    found: Found
    roles: tuple[RolePlan, ...]
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
        return self.size in _FOR_BABIES

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

    def __init__(self, catalogue: Catalogue, shelf: Shelf, stock: Stock, units: str) -> None:
        self.catalogue, self.shelf, self.stock, self.units = catalogue, shelf, stock, units

    def suggestion(self, rank: int, found: Found) -> Suggestion:
        """The suggestion with all that is said about it."""
        threads = dict(zip((need.role for need in found.variant.filled), found.threads, strict=True))
        plans = tuple(self._role(need, threads.get(need.role)) for need in found.variant.needs)
        contrasts = self._contrasts(found, {plan.role: plan.colour for plan in plans if plan.colour})
        pools = [self.stock.pools[pool] for thread in found.threads for pool, _ in thread]
        together = self._together(found, pools)
        return Suggestion(
            rank,
            found,
            plans,
            contrasts,
            together,
            care_of([pool.yarn for pool in pools]),
            self._warnings(found, plans, pools, contrasts, together),
            self._cautions(found, pools),
            self._reasons(found, contrasts),
        )

    def _role(self, need: RoleNeed, thread: Thread | None) -> RolePlan:
        if thread is None:
            return RolePlan(need.role, (), 1, need, need.length_m, need.sd_m, 0.0, 0.0, 0.0, 0.0, 0.0, None, True)
        pools = [(self.stock.pools[pool], count) for pool, count in thread]
        strands = sum(count for _, count in pools)
        tex = sum(pool.yarn.tex.mean * count for pool, count in pools)
        # What is free already has the reserve and the tails of joins taken off.
        free = sum(pool.free.mean for pool, _ in pools)
        return RolePlan(
            need.role,
            tuple(lot for pool, _ in pools for lot in pool.lots),
            strands,
            need,
            need.length_m * strands,
            need.sd_m * strands,
            sum(pool.on_hand.mean for pool, _ in pools),
            sum(pool.on_hand.sd for pool, _ in pools),
            sum(pool.reserve_m for pool, _ in pools),
            free - need.length_m * strands,
            need.length_m * tex / 1000.0,
            marled([(pool.colour, pool.yarn.tex.mean * count) for pool, count in pools])
            if len(pools) > 1
            else pools[0][0].colour,
            reserves=tuple(
                group
                for group in self.shelf.groups
                if group.reserve_m > 0 and any(lot.name in group.held for pool, _ in pools for lot in pool.lots)
            ),
        )

    def _contrasts(self, found: Found, colours: dict[str, Colour]) -> tuple[Contrast, ...]:
        pairs = contrast_pairs(found.variant.accessory, self.catalogue.motifs)
        return tuple(
            Contrast((a, b), judge(colours[a], colours[b], self.catalogue.vision, self.catalogue.contrast))
            for a, b in pairs
            if a in colours and b in colours
        )

    def _together(self, found: Found, pools: list[Pool]) -> tuple[RuleVerdict, ...]:
        rules = self.catalogue.together
        tex = [sum(self.stock.tex[pool] * count for pool, count in thread) for thread in found.threads]
        verdicts = [thickness(a, b, rules) for place, a in enumerate(tex) for b in tex[:place]]
        handlings = [handling_of(pool.yarn, rules) for pool in pools]
        for place, one in enumerate(handlings):
            verdicts.append(on_skin(one, found.variant.accessory.next_to_skin))
            for other in handlings[:place]:
                verdicts += beside(one, other)
        worst = {"blocks": 0, "warns": 1, "fits": 2}
        by_rule: dict[str, RuleVerdict] = {}
        for verdict in sorted(verdicts, key=lambda one: worst[one.verdict]):
            by_rule.setdefault(verdict.rule, verdict)
        return tuple(by_rule.values())

    def _warnings(
        self,
        found: Found,
        plans: tuple[RolePlan, ...],
        pools: list[Pool],
        contrasts: tuple[Contrast, ...],
        together: tuple[RuleVerdict, ...],
    ) -> tuple[str, ...]:
        words = [one.reason for one in together if one.verdict == "warns"]
        for pool in pools:
            if len(pool.lots) > 1 and not pool.dye_lot:
                names = ", ".join(lot.name for lot in pool.lots)
                words.append(f"{names} count together but no dye lot is written down: compare them in daylight")
            if pool.yarn.tex_from == "class":
                words.append(
                    f"{pool.name}: its thickness is only known from the class; weigh a measured length to be surer"
                )
        by_colour: dict[tuple[str, Colour], set[str]] = {}
        for pool in pools:
            by_colour.setdefault((pool.yarn.name.casefold(), pool.colour), set()).add(pool.dye_lot)
        if any(len(lots) > 1 for lots in by_colour.values()):
            words.append("two dye lots of one colour are used in different roles: compare them in daylight")
        floats = longest_float(found.variant.accessory, self.catalogue.motifs)
        if floats > _LONG_FLOAT:
            words.append(f"the longest float passes {floats} stitches: catch it inside")
        if any(plan.brought for plan in plans):
            words.append("the main colour is yours to bring: try it with `matcher contrast` beside these first")
        words += [
            f"{one.roles[0]} and {one.roles[1]}: {one.judged.vanishing * 10:.0f} of 10 stitch neighbours do not read"
            for one in contrasts
            if one.judged.vanishing >= 0.05
        ]
        return tuple(dict.fromkeys(words))

    def _cautions(self, found: Found, pools: list[Pool]) -> tuple[str, ...]:
        accessory = found.variant.accessory
        keys = list(accessory.cautions)
        if found.variant.size in _FOR_BABIES or self.catalogue.sizes.wearer(found.variant.size) == "baby":
            keys.insert(0, "baby")
        keys.append("label")
        if any(pool.yarn.blend.animal or not pool.yarn.blend.known for pool in pools):
            keys += ["wool", "moth"]
        return tuple(self.catalogue.cautions[key] for key in dict.fromkeys(keys))

    def _reasons(self, found: Found, contrasts: tuple[Contrast, ...]) -> tuple[str, ...]:
        parts = found.parts
        words = []
        if contrasts:
            least = min(contrasts, key=lambda one: one.judged.reading).judged
            clear = least.verdict == "clear"
            only = f"its colours are {least.verdict} (lightness {least.delta_l:.0f} apart)"
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
