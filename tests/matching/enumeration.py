"""Every assignment there is, one after the other: a second opinion on the search, written apart from it.

Nothing is pruned and nothing is bounded: each accessory in each size at each gauge, each thread for each role,
checked and scored from the definitions. Only for small bins.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, combinations_with_replacement, product

import definitions
from definitions import LEAST_READING, Need, Together

from matcher.knitting.accessory import Accessory
from matcher.knitting.calibration import Calibration
from matcher.knitting.fabric import Gauge, gauges_of_class
from matcher.knitting.mending.reserve import reserves, surplus
from matcher.matching.ranking.scope import Party
from matcher.materials.colours.colour import Colour, marled
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import Catalogue

Strands = tuple[tuple[str, int], ...]  # the first lots of pools with their strands, in order of the names


@dataclass(frozen=True)
class Assignment:
    """One way to make an accessory, with its score."""

    score: float
    name: str
    key: str
    size: str
    stitches_10cm: float
    strands: tuple[Strands, ...]
    sure: float
    kind: str

    @property
    def lots(self) -> frozenset[str]:
        """The first lots of all pools that it takes something of."""
        return frozenset(name for thread in self.strands for name, _ in thread)

    @property
    def identity(self) -> tuple[object, ...]:
        return self.key, self.size, self.stitches_10cm, self.strands


@dataclass(frozen=True)
class _Thread:
    items: tuple[tuple[Together, int], ...]
    names: tuple[str, ...]
    tex: float
    colour: Colour


@dataclass(frozen=True)
class _Way:
    accessory: Accessory
    size: str
    gauge: Gauge
    needs: tuple[Need, ...]


def free_pools(bin: Bin, catalogue: Catalogue, left_alone: Container[str] = ()) -> list[Together]:
    """Lots that count together and have something free, but for those that are left alone."""
    free = surplus(bin, reserves(bin, catalogue.repairs, catalogue.fabric, catalogue.sizes))
    lots = [lot for lot in bin.lots if lot.name not in left_alone]
    return [pool for pool in definitions.together(lots, free, catalogue.measuring.tail_m) if pool.free.mean > 0]


class Enumeration:
    """All assignments of a bin, under one wish."""

    def __init__(
        self,
        bin: Bin,
        catalogue: Catalogue,
        *,
        chance: float | None = None,
        least_contrast: str | None = None,
        held_together: bool = True,
        lots: Sequence[str] = (),
        garment: str | None = None,
        colourwork: bool = False,
        sizes: Sequence[str] = (),
        party: Party | None = None,
        history: Calibration | None = None,
        left_alone: Container[str] = (),
    ) -> None:
        self.catalogue, self.sizes, self.least_contrast, self.history = catalogue, sizes, least_contrast, history
        self.party = party
        self.colourwork = colourwork
        self.chance = catalogue.ranking.sure_at_least if chance is None else chance
        self.pools = free_pools(bin, catalogue, left_alone)
        wished = bool(lots) or garment is not None
        self.wanted = {
            pool.name
            for pool in self.pools
            if not wished
            or any(lot.name in lots or (garment is not None and lot.garment == garment) for lot in pool.lots)
        }
        self.threads = list(self._threads(3 if held_together else 1))
        self._judged: dict[tuple[Colour, Colour, float], float] = {}
        self._touch: dict[str, list[tuple[str, str]]] = {}
        self._kept_by: dict[tuple[str, float, str, str], float] = {}
        self._beside = {
            (a.name, b.name): definitions.beside(a.yarn, b.yarn, catalogue.together)
            for a, b in product(self.pools, repeat=2)
        }
        for (one, other), _ in list(self._beside.items()):
            if self._must_not_meet(one, other):
                self._beside[one, other] = 0.0
        self.ways = {key: list(self._ways(accessory)) for key, accessory in catalogue.accessories.items()}
        self._usefulness()

    @staticmethod
    def ranked(assignments: Iterable[Assignment], each: int, top: int) -> list[Assignment]:
        """The best `each` of every accessory, best first; ties by name."""
        by_key: dict[str, list[Assignment]] = {}
        for one in assignments:
            by_key.setdefault(one.key, []).append(one)
        kept = [one for several in by_key.values() for one in sorted(several, key=lambda one: -one.score)[:each]]
        return sorted(kept, key=lambda one: (-round(one.score, 9), one.name))[:top]

    @staticmethod
    def allowed_next(
        assignments: Iterable[Assignment],
        before: Sequence[Assignment],
        each: int,
        of_a_kind: int | None,
        taken: Iterable[frozenset[str]] = (),
    ) -> list[Assignment]:
        """All that may stand in the next place of a varied list, given who stands before."""
        lots = {one.lots for one in before} | set(taken)
        this_ten = before[len(before) // 10 * 10 :]
        return [
            one
            for one in assignments
            if sum(other.key == one.key for other in before) < each
            and one.lots not in lots
            and (of_a_kind is None or sum(other.kind == one.kind for other in this_ten) < of_a_kind)
        ]

    def all(self) -> Iterator[Assignment]:
        """Every assignment that is allowed."""
        for ways in self.ways.values():
            for way in ways:
                if self.colourwork and len(way.accessory.roles) < 2:
                    continue
                if way.needs and (not self.sizes or way.size in self.sizes) and self._is_for(way):
                    yield from self._of(way)

    def _is_for(self, way: _Way) -> bool:
        """Whether a size of an accessory is for those whom it is asked for."""
        return self.party is None or way.size in self.party.sizes.get(way.accessory.key, ())

    def _must_not_meet(self, one: str, other: str) -> bool:
        """Whether she wished that two yarns never meet."""
        lots = {pool.name: {lot.name for lot in pool.lots} for pool in self.pools}
        return one != other and any(
            (lots[one] & these and lots[other] & those) or (lots[one] & those and lots[other] & these)
            for these, those in self.catalogue.together.never_meet
        )

    def _barred(self, thread: _Thread, way: _Way) -> bool:
        """Whether those whom it is for must not have, or do not want, any of its lots."""
        if self.party is None:
            return False
        never = self.party.unwanted | (self.party.off_skin if way.accessory.next_to_skin else frozenset())
        return any(lot.name in never for pool, _ in thread.items for lot in pool.lots)

    def _ways(self, accessory: Accessory) -> Iterator[_Way]:
        catalogue = self.catalogue
        for size, number in product(accessory.sizes, accessory.classes):
            for gauge in gauges_of_class(number, catalogue.fabric, catalogue.classes, accessory.firmness):
                needs = definitions.needs(accessory, size, gauge, catalogue, self.history)
                yield _Way(accessory, size, gauge, tuple(needs))

    def _suits(self, tex: float, gauge: Gauge) -> bool:
        return definitions.suits(tex, gauge, self.catalogue)

    def _threads(self, most: int) -> Iterator[_Thread]:
        for strands in range(1, most + 1):
            for chosen in combinations_with_replacement(self.pools, strands):
                items = tuple((pool, chosen.count(pool)) for pool in dict.fromkeys(chosen))
                tex = sum(pool.yarn.tex.mean * count for pool, count in items)
                if len(items) == 1:
                    colour = items[0][0].colour
                else:
                    colour = marled([(pool.colour, pool.yarn.tex.mean * count) for pool, count in items])
                yield _Thread(items, tuple(pool.name for pool, _ in items), tex, colour)

    def _readings(self, way: _Way, threads: Sequence[_Thread]) -> list[float]:
        """How the threads of roles that touch read against each other."""
        filled = [need.role for need in way.needs]
        of = dict(zip(filled, threads, strict=True))
        return [
            self._reading(of[a].colour, of[b].colour, self._kept(way, a, b))
            for a, b in self._touching(way.accessory)
            if a in of and b in of
        ]

    def _touching(self, accessory: Accessory) -> list[tuple[str, str]]:
        """Told once of each accessory."""
        if accessory.key not in self._touch:
            self._touch[accessory.key] = definitions.touching(accessory, self.catalogue)
        return self._touch[accessory.key]

    def _of(self, way: _Way) -> Iterator[Assignment]:
        fitting = [
            thread for thread in self.threads if self._suits(thread.tex, way.gauge) and not self._barred(thread, way)
        ]
        choices = [
            [
                thread
                for thread in fitting
                if all(count * need.length_m <= pool.free.mean for pool, count in thread.items)
            ]
            for need in way.needs
        ]
        least = LEAST_READING[self.least_contrast or way.accessory.least_contrast or "quiet"]
        for threads in product(*choices):
            names = [name for thread in threads for name in thread.names]
            if len(set(names)) < len(names) or not self.wanted & set(names):
                continue
            readings = self._readings(way, threads)
            if any(reading < least for reading in readings):
                continue
            together = self._together(threads, way.accessory.next_to_skin)
            if together == 0:
                continue
            sure = self._sure(threads, way.needs)
            if sure < self.chance:
                continue
            contrast = min(readings) if readings else self.catalogue.ranking.one_colour_contrast
            yield self._scored(way, threads, sure, contrast, together)

    def _kept(self, way: _Way, a: str, b: str) -> float:
        key = (way.accessory.key, way.gauge.stitches_10cm, a, b)
        if key not in self._kept_by:
            self._kept_by[key] = definitions.kept_across_a_table(way.accessory, way.gauge, a, b, self.catalogue)
        return self._kept_by[key]

    def _reading(self, a: Colour, b: Colour, kept: float) -> float:
        if (a, b, kept) not in self._judged:
            self._judged[a, b, kept] = self._judged[b, a, kept] = definitions.reading(a, b, self.catalogue, kept)
        return self._judged[a, b, kept]

    def _together(self, threads: Sequence[_Thread], skin: bool) -> float:
        rules = self.catalogue.together
        found = [1.0]
        for thread in threads:
            found += [rules.marl_factor * self._beside[pair] for pair in combinations(thread.names, 2)]
            if skin:
                found += [definitions.on_skin(pool.yarn, rules) for pool, _ in thread.items]
        for one, other in combinations(threads, 2):
            least = min(self._beside[pair] for pair in product(one.names, other.names))
            found.append(definitions.thickness(one.tex, other.tex, rules) * least)
        return min(found)

    def _sure(self, threads: Sequence[_Thread], needs: Sequence[Need]) -> float:
        spare, shared, own = [], [], []
        for thread, need in zip(threads, needs, strict=True):
            for pool, count in thread.items:
                spare.append(math.log(pool.free.mean / (count * need.length_m)))
                shared.append(need.shared_sd_m / need.length_m)
                own.append(math.hypot(definitions.on_logarithm(pool.free), need.own_sd_m / need.length_m))
        return definitions.sure(spare, shared, own)

    def _scored(
        self, way: _Way, threads: Sequence[_Thread], sure: float, contrast: float, together: float
    ) -> Assignment:
        ranking = self.catalogue.ranking
        whole = sum(need.length_m for need in way.needs)
        use = leftover = 0.0
        for thread, need in zip(threads, way.needs, strict=True):
            strands = sum(count for _, count in thread.items)
            for pool, count in thread.items:
                part = need.length_m / whole * count / strands
                taken, free, usable = count * need.length_m, pool.free.mean, self.usable[pool.name]
                wasted = count > 1 and pool.name in self.carrying
                used = min(1.0, taken / free) * (ranking.doubled_use if wasted else 1.0)
                use += part * used * (1.0 + self.scarcity[pool.name]) / 2.0
                left = free - taken
                leftover += part * (1.0 if left >= usable else 1.0 - left / usable)
        score = (
            ranking.weight_sure * sure
            + ranking.weight_contrast * contrast
            + ranking.weight_together * together
            + ranking.weight_use * use
            + ranking.weight_leftover * leftover
            + ranking.weight_kindred * self._kindred(threads)
        )
        strands_of = tuple(tuple(sorted((pool.name, count) for pool, count in thread.items)) for thread in threads)
        accessory = way.accessory
        return Assignment(
            score,
            accessory.name,
            accessory.key,
            way.size,
            way.gauge.stitches_10cm,
            strands_of,
            sure,
            accessory.kind,
        )

    def _kindred(self, threads: Sequence[_Thread]) -> float:
        """Every two roles as their two least related pools; a single role as its own strands."""
        ranking = self.catalogue.ranking
        if len(threads) == 1:
            related = [self._related(a, b) for a, b in combinations([pool for pool, _ in threads[0].items], 2)]
            if not related:
                return ranking.one_lot_kindred
            return min(related) / (1 + ranking.strange_pairs)
        pairs = []
        for one, other in combinations(threads, 2):
            pools = [pool for pool, _ in (*one.items, *other.items)]
            pairs.append(min(self._related(a, b) for a, b in combinations(pools, 2)))
        return sum(pairs) / (len(pairs) + ranking.strange_pairs)

    def _related(self, a: Together, b: Together) -> float:
        if {lot.garment for lot in a.lots if lot.garment} & {lot.garment for lot in b.lots if lot.garment}:
            return 1.0
        name = a.yarn.name.strip().casefold()
        return self.catalogue.together.one_yarn_kindred if name and name == b.yarn.name.strip().casefold() else 0.0

    def _usefulness(self) -> None:
        """How many accessories each pool could serve by itself, and the least length that anything takes of it."""
        self.carrying = set[str]()
        uses = {pool.name: set[str]() for pool in self.pools}
        usable = dict.fromkeys(uses, math.inf)
        anywhere = math.inf
        for key, ways in self.ways.items():
            for way in ways:
                shortest = min((need.length_m for need in way.needs), default=math.inf)
                anywhere = min(anywhere, shortest)
                for pool in self.pools:
                    if self._suits(pool.yarn.tex.mean, way.gauge):
                        usable[pool.name] = min(usable[pool.name], shortest)
                        if pool.free.mean >= shortest:
                            uses[pool.name].add(key)
                            entry = way.accessory
                            if len(entry.roles) > 1 and entry.kind != "small":
                                self.carrying.add(pool.name)
        others = max(1, len(self.catalogue.accessories) - 1)
        self.usable = {name: anywhere if math.isinf(length) else length for name, length in usable.items()}
        self.scarcity = {name: 1.0 - min(1.0, max(0.0, (len(keys) - 1) / others)) for name, keys in uses.items()}
