"""What was tried for a sweater as columns for the planner; and why one of the three isn't in the set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from matcher.actions.sets.matched import KINDS, Matching
from matcher.actions.sets.sharings import Tried, Way, shared_anew
from matcher.knitting.needs import RoleNeed
from matcher.matching.pools import Pool
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import STRANDS, threads
from matcher.matching.ranking.evaluate import evaluate
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.sets.aims import Aim
from matcher.matching.sets.chance import Standing, chance_of_set
from matcher.matching.sets.column import Column, takes_of
from matcher.matching.sets.wants import Want
from matcher.materials.rules import RecolourRules
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Chance, Length, Measure
from matcher.reasons.reason import Term, Words, counted, listed, reason

# A choice: from so many yarns, the longest of the bin, a way is sought where the sweater's own do not do.
_OTHERS, _WAYS = 24, 20


@dataclass(frozen=True)
class Matched:
    """What was tried for a sweater; the last of the wants are for it, one for each kind."""

    matching: Matching
    searcher: Searcher
    wants: Sequence[Want]
    rules: RecolourRules
    sure: float
    _blocks: dict[tuple[object, ...], Block] = field(default_factory=dict)

    def columns(self, aim: Aim) -> Mapping[int, Sequence[Column]]:
        """By the place of its want, every way that is as sure as asked.

        As far as its stitches have another colour than in the sweater it counts less, by the weight that light and dark
        as they were have among the ways to recolour a thing.
        """
        return {place: tuple(self._columns(place, kind, aim)) for place, kind in enumerate(KINDS, self._first)}

    def _columns(self, place: int, kind: str, aim: Aim) -> Iterator[Column]:
        rules = self.rules
        whole = rules.weight_order + rules.weight_least + rules.weight_mean + rules.weight_sure
        for one in self._tried(place, kind):
            for way in one.ways:
                if way.sure < self.sure:
                    continue
                found = self._found(one, way, place)
                takes = takes_of(found)
                metres = np.bincount(takes.pool, takes.metres, minlength=len(self._pools)).astype(float)
                less = aim.taste * rules.weight_order / whole * (1.0 - way.alike)
                yield Column(place, found, aim.value(found, metres) - less)

    @property
    def _pools(self) -> Sequence[Pool]:
        return self.searcher.stock.pools

    @property
    def _first(self) -> int:
        return len(self.wants) - len(KINDS)

    def holds(self, place: int) -> bool:
        """Whether the want of a place is one of these."""
        return place >= self._first

    def _tried(self, place: int, kind: str) -> Iterator[Tried]:
        """With the variants as the wants have them: for a party."""
        variants = {key: iter(several) for key, several in self.wants[place].variants.items()}
        for one in self.matching.tried[kind]:
            yield replace(one, variant=next(variants[one.variant.accessory.key]))

    def _found(self, one: Tried, way: Way, place: int) -> Found:
        variant, key = one.variant, one.variant.accessory.key
        if (place, key, variant.mark) not in self._blocks:
            least = self.wants[place].least[key]
            self._blocks[place, key, variant.mark] = Block(self.searcher.of(variant.party), (variant,), least)
        block = self._blocks[place, key, variant.mark]
        at = {pool.name: number for number, pool in enumerate(self._pools)}
        pools = np.array([[at[pool.name]] * STRANDS for pool in way.pools], dtype=np.intp)
        once = np.array([[1.0, *[0.0] * (STRANDS - 1)]] * len(pools))
        return evaluate(block, 0, threads(self.searcher.stock, pools, once, self.searcher.rules))

    def why_not(self, place: int, others: Sequence[Column]) -> Words:
        """Why the thing of a want isn't there, with the figure, and the nearest that can be beside the others."""
        kind = KINDS[place - self._first]
        tried = list(self._tried(place, kind))
        if not tried:
            return self._no_fit(kind)
        ways = [(one, way) for one in tried for way in one.ways]
        able = [one for one in ways if one[1].sure >= self.sure]
        if able:
            why = self._beside(place, able, others)
        else:
            why = self._short(*max(ways, key=lambda one: one[1].sure)) if ways else self._no_way(tried)
        nearest = self._nearest(place, tried, others)
        return why if nearest is None else listed((why, nearest), between="; ")

    def _no_fit(self, kind: str) -> Words:
        outside = self.matching.outside[kind]
        if not outside:
            return reason("the catalogue has nothing of the kind in that size that a motif could run round")
        best = min(outside, key=lambda one: one.fitting.chosen.off_by_cm)
        why = reason(
            "at the gauge of {garment} no repeat comes out on it: the nearest, the {accessory}, is {off} outside the "
            "ease it is meant to have",
            garment=self.matching.garment.name,
            accessory=Term(best.variant.accessory.name),
            off=Measure(best.fitting.chosen.off_by_cm),
        )
        helps = [one.words for one in best.fitting.remedies]
        return (
            listed((why, reason("what would help: {ways}", ways=listed(helps, "or"))), between="; ") if helps else why
        )

    def _no_way(self, tried: Sequence[Tried]) -> Words:
        """The sweater left too few colours, or none that is long enough, or such as don't go together."""
        roles, garment = len(tried[0].variant.needs), self.matching.garment.name
        pot = list(filter(tried[0].settled.suits, self.matching.pot))
        if len(pot) < roles:
            return reason(
                "it takes {roles} colours, and of {garment} {left}",
                roles=roles,
                garment=garment,
                left=counted(len(pot), "only {n} may be used", "only {n} may be used"),
            )
        least, free = min(float(one.variant.length_m.max()) for one in tried), max(pool.free.mean for pool in pot)
        if free >= least:
            return reason("the yarns of {garment} are too unlike for one fabric at its gauge", garment=garment)
        return reason(
            "one colour of it takes {need} at least, and of {garment} no more than {free} of one yarn are free",
            need=Length(least),
            garment=garment,
            free=Length(free),
        )

    def _beside(self, place: int, able: Sequence[tuple[Tried, Way]], others: Sequence[Column]) -> Words:
        """What it could be by itself, and what the others leave of the colour that is then shortest."""
        standing = Standing(self.searcher.stock, (other.takes for other in others))

        def with_it(one: tuple[Tried, Way]) -> float:
            return standing.sure_with(takes_of(self._found(*one, place)))

        one, way = max(able, key=with_it)
        if with_it((one, way)) >= self.sure:
            said = "time was up before it was in the set: it could be the {accessory}, {size} ({sure} sure by itself)"
            return reason(said, **_named(one, way))
        left = self._left(others)
        need, pool = max(_given(one, way), key=lambda it: it[0].length_m / max(left[it[1].name], 1e-9))
        return reason(
            "by itself it could be the {accessory}, {size} ({sure} sure): its {role} takes {need} of {lots}, and the "
            "others leave {left}",
            **_named(one, way),
            role=Term(need.role),
            need=Length(need.length_m),
            lots=_lots(pool),
            left=Length(left[pool.name]),
        )

    def _left(self, others: Sequence[Column]) -> dict[str, float]:
        """By name of a pool, the metres of it that these leave."""
        left = self.searcher.stock.free_m.copy()
        for other in others:
            np.subtract.at(left, other.takes.pool, other.takes.metres)
        return {pool.name: max(0.0, float(metres)) for pool, metres in zip(self._pools, left, strict=True)}

    def _short(self, one: Tried, way: Way) -> Words:
        """What the surest of all ways comes to, and what its shortest colour takes."""
        need, pool = max(_given(one, way), key=lambda it: it[0].length_m / it[1].free.mean)
        return reason(
            "surest is the {accessory}, {size} ({sure} sure): its {role} takes {need} of {lots}, and {free} are free",
            **_named(one, way),
            role=Term(need.role),
            need=Length(need.length_m),
            free=Length(pool.free.mean),
            lots=_lots(pool),
        )

    def _nearest(self, place: int, tried: Sequence[Tried], others: Sequence[Column]) -> Words | None:
        """The fit that takes least, with other yarns of the bin in it: as sure as asked for all of the set."""
        rest, pot = self._left(others), {pool.name for pool in self.matching.pot}
        left = [
            replace(pool, free=Estimate(rest[pool.name], pool.free.sd)) for pool in self._pools if rest[pool.name] > 0
        ]
        left = sorted(left, key=lambda pool: (pool.name not in pot, -pool.free.mean, pool.name))[:_OTHERS]
        one = min(tried, key=lambda one: float(one.variant.length_m.sum()))
        for way in shared_anew(one.settled, one.fitting, self.matching.pot, left, _WAYS):
            found = self._found(one, way, place)
            sure = chance_of_set(self.searcher.stock, [*(other.takes for other in others), takes_of(found)])
            if sure >= self.sure:
                lots = listed(
                    reason("{role} {lots}", role=Term(need.role), lots=_lots(pool)) for need, pool in _given(one, way)
                )
                return reason(
                    "with other yarns of the bin it can be the {accessory}, {size} ({lots}; all of it {sure} sure)",
                    **_named(one, replace(way, sure=sure)),
                    lots=lots,
                )
        return None


def _named(one: Tried, way: Way) -> dict[str, Term | Chance]:
    variant = one.variant
    return {"accessory": Term(variant.accessory.name), "size": Term(variant.size), "sure": Chance(way.sure)}


def _given(one: Tried, way: Way) -> list[tuple[RoleNeed, Pool]]:
    return list(zip(one.variant.needs, way.pools, strict=True))


def _lots(pool: Pool) -> Words:
    return listed((lot.name for lot in pool.lots), between=" + ")
