"""What each lot gives to a set, one lot of a pool after the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from matcher.actions.sets.result import LotUse
from matcher.matching.pools import Pool, Stock
from matcher.matching.ranking.found import Found
from matcher.materials.uncertain import Estimate


def uses_of(things: Sequence[Found], stock: Stock, free: Mapping[str, Estimate]) -> tuple[LotUse, ...]:
    """The lots that give something, in the order of their names.

    things : by their place, from 0; their numbers begin with 1. free : metres of each lot that are free.
    """
    left: dict[str, float] = {}
    used: dict[str, list[tuple[int, float]]] = {}
    lots = {}
    for number, found in enumerate(things, 1):
        for pool, metres in _takes(found):
            for name, part in _portions(stock.pools[pool], metres, left, free):
                given = used.setdefault(name, [])
                if given and given[-1][0] == number:
                    part += given.pop()[1]
                given.append((number, part))
            lots.update({lot.name: lot for lot in stock.pools[pool].lots})
    return tuple(
        LotUse(
            lots[name],
            lots[name].length.mean,
            max(0.0, lots[name].unclaimed_m - free[name].mean),
            lots[name].claimed_m,
            tuple(used[name]),
            left[name],
        )
        for name in sorted(used)
    )


def _takes(found: Found) -> Iterator[tuple[int, float]]:
    for role, thread in enumerate(found.threads):
        for pool, count in thread:
            yield pool, float(found.variant.length_m[role]) * count


def _portions(
    pool: Pool, metres: float, left: dict[str, float], free: Mapping[str, Estimate]
) -> Iterator[tuple[str, float]]:
    """Metres of each lot, the last one takes what the others have not."""
    for at, lot in enumerate(pool.lots):
        there = left.setdefault(lot.name, free[lot.name].mean)
        last = all(left.get(other.name, free[other.name].mean) <= 0 for other in pool.lots[at + 1 :])
        part = metres if last else min(metres, there)
        if part > 0:
            left[lot.name] = there - part
            metres -= part
            yield lot.name, part
