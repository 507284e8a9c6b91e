"""No suggestion takes a metre that is held back, on any generated bin.

What is held is added up here once more from the reserve's own groups, lot by lot, and the metres that a
suggestion takes are cut from its lots one after the other, with a tail at each end of a join.
"""

from __future__ import annotations

import importlib.util
import os
import sys
from pathlib import Path
from types import ModuleType

from hypothesis import HealthCheck, settings

from matcher.actions.suggestion import RolePlan
from matcher.knitting.reserve import reserves
from matcher.materials.lots import Bin


def _generated() -> ModuleType:
    """The strategies beside the matching's tests; tests are no package, so they are loaded by their path."""
    path = Path(__file__).parent.parent / "matching" / "generated.py"
    spec = importlib.util.spec_from_file_location("generated", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["generated"] = module
    spec.loader.exec_module(module)
    return module


generated = _generated()
WHOLE = generated.WHOLE
TIMES = int(os.environ.get("EXAMPLES", "1"))
NEAR = 1e-6


def examples(number: int) -> settings:
    return settings(
        max_examples=number * TIMES,
        deadline=None,
        derandomize=TIMES == 1,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )


def held_in(bin: Bin) -> dict[str, float]:
    """Metres held of each lot."""
    held = {lot.name: 0.0 for lot in bin.lots}
    for group in reserves(bin, WHOLE.repairs, WHOLE.fabric, WHOLE.sizes):
        for name, metres in group.held.items():
            held[name] += metres
    return held


def taken_by(role: RolePlan, pools: tuple[tuple[str, ...], ...], held: dict[str, float]) -> dict[str, float]:
    """Metres cut from each lot when a role is knitted, and with them the tails of the joins between lots."""
    lots = {lot.name: lot for lot in role.lots}
    taken = dict.fromkeys(lots, 0.0)
    for names, strands in zip(pools, [role.strands] if len(pools) == 1 else _counts(role, pools), strict=True):
        left = strands * role.need.length_m
        free = sorted((lots[name].length.mean - held[name], name) for name in names)[::-1]
        for place, (metres, name) in enumerate(free):
            tails = 2 * WHOLE.measuring.tail_m if place else 0.0
            if left > NEAR and metres > tails:
                taken[name] += min(left, metres - tails) + tails
                left -= min(left, metres - tails)
        assert left <= NEAR, f"{role.role}: {left:.3f} m of {', '.join(names)} are not there but for the reserve"
    return taken


def _counts(role: RolePlan, pools: tuple[tuple[str, ...], ...]) -> list[int]:
    """Strands of each pool of a role that holds several pools together."""
    return role_counts[id(role)]


role_counts: dict[int, list[int]] = {}
