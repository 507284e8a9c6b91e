"""The score of a suggestion: named parts, each from 0 to 1, added up by the catalogue's weights."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from matcher.materials.rules import RankingRules

Floats = npt.NDArray[np.float64]

PARTS = ("sure", "contrast", "together", "use", "leftover", "kindred")


def total(parts: Mapping[str, float], rules: RankingRules) -> float:
    """The score, 0 to 1, of its parts."""
    return sum(parts[name] * float(getattr(rules, f"weight_{name}")) for name in PARTS)


def leftover_value(left_m: Floats, usable_m: Floats) -> Floats:
    """What the rest of a pool is still good for: 1 for nothing left or a usable length, least just below that.

    Parameters
    ----------
    left_m, usable_m : arrays of one shape: what remains, and the least that anything takes of such a yarn.

    Source: the cutting-stock problem with usable leftovers (Cherri, Arenales, Yanasse).
    """
    return np.where(left_m >= usable_m, 1.0, 1.0 - np.clip(left_m / usable_m, 0.0, 1.0))


def use_value(need_m: Floats, free_m: Floats, scarcity_: Floats) -> Floats:
    """How much of a pool is used up, counted twice as much where nothing else could use it.

    Parameters
    ----------
    need_m, free_m, scarcity_ : arrays of one shape: metres taken, metres free, and `scarcity`.
    """
    return np.clip(need_m / np.maximum(free_m, 1e-9), 0.0, 1.0) * (1.0 + scarcity_) / 2.0


def scarcity(uses: Floats, entries: int) -> Floats:
    """How few other things a pool could serve: 1 when none, 0 when it could serve every entry of the catalogue."""
    return 1.0 - np.clip((uses - 1.0) / max(1, entries - 1), 0.0, 1.0)
