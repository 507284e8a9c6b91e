"""Sets put together by hand: the first things of a list that can all be knitted, for what shows and writes sets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from matcher.actions.desk import Desk
from matcher.actions.ranking.suggest import suggest
from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.sets.result import LotUse, PlannedSet, Sets
from matcher.matching.sets.aims import USE_UP


def made_sets(desk: Desk, most: int = 6, top: int = 60) -> Sets:
    """At most so many things, one of a kind and for one person each; the chance is the least of them all."""
    free = {name: one.mean for name, one in desk.shelf.free.items()}
    used: dict[str, list[tuple[int, float]]] = {}
    chosen: list[Suggestion] = []
    for one in suggest(desk, top=top, each=3, varied=False):
        takes = list(_takes(one, free))
        if len(chosen) == most or any(role.brought for role in one.roles) or not takes:
            continue
        number = len(chosen) + 1
        for name, metres in takes:
            free[name] -= metres
            used.setdefault(name, []).append((number, metres))
        chosen.append(replace(one, rank=number))
    lots = tuple(
        LotUse(
            lot,
            lot.length.mean,
            lot.unclaimed_m - desk.shelf.free[lot.name].mean,
            lot.claimed_m,
            tuple(used[lot.name]),
            free[lot.name],
        )
        for lot in sorted(desk.bin.lots, key=lambda lot: lot.name)
        if lot.name in used
    )
    sure = min((one.sure for one in chosen), default=1.0)
    best = PlannedSet(tuple(chosen), lots, sure, 0.81, 0.84, False)
    return Sets(USE_UP, 0.95, best, source=desk.bin.source)


def _takes(one: Suggestion, free: dict[str, float]) -> Iterator[tuple[str, float]]:
    """What a thing takes of each lot, two standard deviations being there; nothing where they are not."""
    left, found = dict(free), {}
    for role in one.roles:
        for strand in role.held:
            missing = role.need_m / role.strands * strand.count
            for name in strand.lots:
                metres = min(missing, max(0.0, left[name] - 2 * role.need_sd_m))
                left[name] -= metres
                missing -= metres
                if metres > 0:
                    found[name] = found.get(name, 0.0) + metres
            if missing > 1e-9:
                return
    yield from found.items()
