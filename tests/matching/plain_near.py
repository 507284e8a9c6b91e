"""Every near miss there is, one after the other: a second opinion on which is nearest and on what it lacks.

Written from the catalogue and its notes. A near miss is an assignment of single lots, of those with most free yarn, of
which each has more than a fifth (`near_miss_least`) of about what would be sure to do (`near_miss_need` of the mean
need). How near it is: by the weights of a score, how its colours read and how its yarns go together; and by what is
left of these weights, how much of that length is there, role by role as each takes its part of the yarn, and no more
than all of it. Colours must read as is asked; where none do, quiet ones are taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import definitions
from definitions import LEAST_READING, Need, Together
from enumeration import Enumeration


@dataclass(frozen=True)
class Miss:
    """One assignment that may lack something. identity: as an assignment's; contrast: 0 to 1, None where none touch."""

    nearness: float
    name: str
    key: str
    size: str
    identity: tuple[object, ...]
    sure: float
    contrast: float | None
    asked: float
    needs: tuple[Need, ...]
    pools: tuple[Together, ...]


@dataclass(frozen=True)
class Short:
    """What a role lacks [m] until it is as sure as asked."""

    role: str
    metres: float


class NearMisses(Enumeration):
    """All near misses of a bin, under one wish."""

    def nearest(self, made: set[str], keys: set[str]) -> dict[str, list[Miss]]:
        """Of each accessory that cannot be made, all that come near, the nearest first; none where nothing does."""
        found = {}
        for key in keys - made:
            asked = LEAST_READING[self.least_contrast or self.catalogue.accessories[key].least_contrast or "quiet"]
            misses = list(self._misses(key, asked, asked)) or list(self._misses(key, LEAST_READING["quiet"], asked))
            found[key] = sorted(misses, key=lambda one: -one.nearness)
        return {key: misses for key, misses in found.items() if misses}

    def _misses(self, key: str, least: float, asked: float) -> Iterator[Miss]:
        ranking = self.catalogue.ranking
        pools = sorted(self.pools, key=lambda pool: -pool.free.mean)
        most = {pool.name for pool in pools[: int(ranking.near_miss_pools)]} | (
            self.wanted if len(self.wanted) < len(self.pools) else set()
        )
        single = [one for one in self.threads if len(one.items) == 1 and one.items[0][1] == 1 and one.names[0] in most]
        for way in self.ways[key]:
            if not way.needs or (self.sizes and way.size not in self.sizes):
                continue
            choices = [
                [
                    one
                    for one in single
                    if self._suits(one.tex, way.gauge)
                    and one.items[0][0].free.mean > ranking.near_miss_least * ranking.near_miss_need * need.length_m
                ]
                for need in way.needs
            ]
            whole = sum(need.length_m for need in way.needs)
            for threads in product(*choices):
                names = [one.names[0] for one in threads]
                if len(set(names)) < len(names) or not self.wanted & set(names):
                    continue
                readings = self._readings(way, threads)
                together = self._together(threads, way.accessory.next_to_skin)
                if any(reading < least for reading in readings) or together == 0:
                    continue
                there = 0.0
                for one, need in zip(threads, way.needs, strict=True):
                    wanted_m = ranking.near_miss_need * need.length_m
                    there += need.length_m / whole * min(1.0, one.items[0][0].free.mean / wanted_m)
                contrast = min(readings) if readings else ranking.one_colour_contrast
                nearness = (
                    ranking.weight_contrast * contrast
                    + ranking.weight_together * together
                    + (1.0 - ranking.weight_contrast - ranking.weight_together) * there
                )
                yield Miss(
                    nearness,
                    way.accessory.name,
                    key,
                    way.size,
                    (key, way.size, way.gauge.stitches_10cm, tuple(((name, 1),) for name in names)),
                    self._sure(threads, way.needs),
                    min(readings) if readings else None,
                    asked,
                    way.needs,
                    tuple(one.items[0][0] for one in threads),
                )

    def short(self, miss: Miss) -> list[Short]:
        """What its roles lack: each that is not sure enough by itself; else the least sure one, where all are sure
        enough by themselves and not together."""
        alone = [self.chance_with(miss, {}, [role]) for role in range(len(miss.needs))]
        found = [
            Short(miss.needs[role].role, self._until(miss, role, [role]))
            for role, sure in enumerate(alone)
            if sure < self.chance
        ]
        every = list(range(len(miss.needs)))
        if not found and self.chance_with(miss, {}, every) < self.chance:
            least = min(every, key=lambda role: alone[role])
            if self.chance_with(miss, {least: 1e7}, every) >= self.chance:
                found = [Short(miss.needs[least].role, self._until(miss, least, every))]
        return found

    def chance_with(self, miss: Miss, more: dict[int, float], roles: list[int]) -> float:
        """The chance that some roles have enough with so many metres more, of which no more is known than of the rest."""
        spare, shared, own = [], [], []
        for role in roles:
            need, free = miss.needs[role], miss.pools[role].free
            spare.append(math.log((free.mean + more.get(role, 0.0)) / need.length_m))
            shared.append(need.shared_sd_m / need.length_m)
            own.append(math.hypot(definitions.on_logarithm(free), need.own_sd_m / need.length_m))
        return definitions.sure(spare, shared, own)

    def _until(self, miss: Miss, role: int, roles: list[int]) -> float:
        low, high = 0.0, 1e7
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (
                (low, middle) if self.chance_with(miss, {role: middle}, roles) >= self.chance else (middle, high)
            )
        return high
