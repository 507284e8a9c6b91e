"""Round one: a few pools of a stock with which each accessory scores nearly as high as it can."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, partial

import numpy as np
import numpy.typing as npt

from matcher.matching.distinct import both, distinct
from matcher.matching.pools import Stock
from matcher.matching.ranking.choices import ranges
from matcher.matching.rounds.at_once import at_once
from matcher.matching.rounds.families import best_families, some_families
from matcher.matching.rounds.opening import Storey
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# So many blocks of an accessory, cells of a role, and pools of a role are looked at: at first, and for a closer look.
# They change how long a search takes, never what it finds.
_FIRST, _CLOSER = (4, 6, 8), (4, 12, 48)
# The best for so many roles or more is seldom found pool by pool, since all should belong together: for a closer look
# so many families are taken too, out of those of so many pools. The same holds of these.
_SEVERAL, _FAMILIES, _OF_POOLS = 3, 48, 250_000


class Housemates:
    """Pools of a stock by the garments they lived in."""

    def __init__(self, stock: Stock) -> None:
        self.homes = stock.homes

    @cached_property
    def _by_home(self) -> tuple[Indexes, Indexes]:
        pools, columns = np.nonzero(self.homes >= 0)
        homes = self.homes[pools, columns]
        order = np.argsort(homes, kind="stable")
        return pools[order], np.searchsorted(homes[order], np.arange(int(homes.max(initial=-1)) + 2))

    def of(self, pools: Indexes) -> Indexes:
        """All pools that lived in a garment with some, those included that did."""
        homes = distinct(self.homes[pools].ravel())
        homes = homes[homes >= 0]
        by_home, start = self._by_home
        return by_home[ranges(start[homes], start[homes + 1] - start[homes])]


@dataclass(frozen=True)
class Sample:
    """Pools (rising) and the variants that they are for, by accessory."""

    pools: Indexes
    variants: dict[str, list[Variant]]


def sample_of(storeys: Sequence[Storey], closer: bool = False) -> Sample:
    """The worthiest pools for each role of the blocks that promise most, with what belongs to them."""
    blocks, most_cells, most_pools = _CLOSER if closer else _FIRST
    stock = storeys[0].ceiling.searcher.stock
    housemates = Housemates(stock)
    by_key: dict[str, list[Storey]] = {}
    for one in storeys:
        if one.most > -np.inf:
            by_key.setdefault(one.key, []).append(one)
    asked = [one for several in by_key.values() for one in sorted(several, key=lambda one: -one.most)[:blocks]]
    best = [_best(one, housemates, most_cells, most_pools) for one in asked]
    pools = [np.zeros(0, dtype=np.intp), *(found for found, _ in best)]
    if closer:
        among = np.flatnonzero(some_families(stock.kindred, _OF_POOLS)[storeys[0].cells[-1].groups.order])
        several = [
            partial(best_families, one.ceiling, one.cells[-1], among, size, _FAMILIES)
            for one, (_, size) in zip(asked, best, strict=True)
            if one.ceiling.roles >= _SEVERAL
        ]
        pools += at_once(several)
    variants: dict[str, list[Variant]] = {}
    for one, (found, size) in zip(asked, best, strict=True):
        if len(found):
            variants.setdefault(one.key, []).append(one.variants[size])
    return Sample(distinct(np.concatenate(pools)), variants)


def _best(storey: Storey, housemates: Housemates, most_cells: int, most_pools: int) -> tuple[Indexes, int]:
    """Pools for one size of a block, and which."""
    size, among = 0, np.zeros(0, dtype=np.intp)
    last = storey.cells[-1].groups
    for level, cells in enumerate(storey.cells[:-1]):
        heights = storey.heights(level, among, False)
        size = int(heights.most.argmax())
        at = heights.at[_firsts(heights.of[:, :, size], most_cells)]
        among = storey.cells[level + 1].groups.within(cells.groups, distinct(at))
    if storey.ceiling.roles > 1:
        among = both(among, storey.cells[-1].light.standing_out)
        among = both(among, last.place[housemates.of(last.order[among])])
    heights = storey.heights(len(storey.cells) - 1, among, False)
    firsts = _firsts(heights.of[:, :, size], most_pools)
    found = last.order[heights.at[firsts]]
    return (both(found, housemates.of(found)) if storey.ceiling.roles > 1 else found), size


def _firsts(of: Floats, number: int) -> Indexes:
    """The first few for each role, of an array (k, roles): their places."""
    number = min(number, len(of))
    best = np.argpartition(-of, number - 1, axis=0)[:number] if number else np.zeros((0, 1), dtype=np.intp)
    found = distinct(best.ravel())
    return found[np.isfinite(of[found]).any(axis=1)]
