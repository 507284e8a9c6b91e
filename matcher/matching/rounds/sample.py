"""Round one: a few pools of a stock with which each accessory scores nearly as high as it can."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.distinct import distinct
from matcher.matching.pools import Stock
from matcher.matching.ranking.choices import ranges
from matcher.matching.rounds.opening import Storey
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# So many blocks of an accessory, cells of a role, and pools of a role are looked at: at first, and for a closer look.
# They change how long a search takes, never what it finds.
_FIRST, _CLOSER = (4, 6, 8), (4, 12, 48)


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
        homes = np.unique(self.homes[pools])
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
    pools: list[Indexes] = [np.zeros(0, dtype=np.intp)]
    variants: dict[str, list[Variant]] = {}
    for key, several in by_key.items():
        for one in sorted(several, key=lambda one: -one.most)[:blocks]:
            found, size = _best(one, housemates, most_cells, most_pools)
            pools.append(found)
            if len(found):
                variants.setdefault(key, []).append(one.variants[size])
    return Sample(distinct(np.concatenate(pools)), variants)


def _best(storey: Storey, housemates: Housemates, most_cells: int, most_pools: int) -> tuple[Indexes, int]:
    """Pools for one size of a block, and which."""
    size, among = 0, np.zeros(0, dtype=np.intp)
    last = storey.cells[-1].groups
    for level, cells in enumerate(storey.cells[:-1]):
        heights = storey.heights(level, among, False)
        size = int(heights.most.argmax())
        at = heights.at[_firsts(heights.of[:, :, size], most_cells)]
        among = storey.cells[level + 1].groups.within(cells.groups, np.unique(at))
    if storey.ceiling.roles > 1:
        among = np.union1d(among, storey.cells[-1].light.standing_out)
        among = np.union1d(among, last.place[housemates.of(last.order[among])])
    heights = storey.heights(len(storey.cells) - 1, among, False)
    firsts = _firsts(heights.of[:, :, size], most_pools)
    found = last.order[heights.at[firsts]]
    return (np.union1d(found, housemates.of(found)) if storey.ceiling.roles > 1 else found), size


def _firsts(of: Floats, number: int) -> Indexes:
    """The first few for each role, of an array (k, roles): their places."""
    number = min(number, len(of))
    best = np.argpartition(-of, number - 1, axis=0)[:number] if number else np.zeros((0, 1), dtype=np.intp)
    found = np.unique(best)
    return found[np.isfinite(of[found]).any(axis=1)]
