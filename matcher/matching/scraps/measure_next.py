"""What to measure next on a scrap, to tell the two likeliest candidates apart: expected information gain, in bits.

The gain of a measurement is the doubt between the two now, less the doubt that is to be expected after it (Shannon's
mutual information; Lindley 1956, Annals of Mathematical Statistics 27:986-1005, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from matcher.matching.scraps.identify import (
    Clues,
    Suspects,
    colour_at,
    metric,
    narrowed,
    normal_log,
    plies_chance,
    thickness_told,
)
from matcher.materials.clues import IdentifyRules, Weighed, thickness_weighed, thickness_wound

Floats = npt.NDArray[np.float64]

# Logarithms of tex from a sewing thread to a rope, and the steps between them, far below any error of measuring.
_LOG_TEX = np.arange(math.log(5.0), math.log(100_000.0), 0.004)
_DRAWS = 160


def gains(of: Suspects, two: tuple[int, int], chance: Floats, clues: Clues, rules: IdentifyRules) -> dict[str, float]:
    """Bits that each clue not yet given is expected to tell between two candidates, the most telling first.

    two: places in `of`; the last place is "none of these". chance: the posterior, array (n + 1,).
    """
    odds = chance[list(two)] / chance[list(two)].sum()
    tries: dict[str, Callable[[], float]] = {
        "weighed": lambda: _thickness_gain(of, two, odds, clues, _weighing(of, two, rules), rules),
        "wraps": lambda: _thickness_gain(of, two, odds, clues, _winding(of, two, rules), rules),
        "plies": lambda: gain(odds, np.stack([plies_chance(of.plies[one], rules) for one in two])),
        "felts": lambda: gain(odds, np.array([[of.felts[one], 1.0 - of.felts[one]] for one in two])),
        "colour": lambda: _colour_gain(of, two, odds, rules),
    }
    found = {name: max(0.0, work()) for name, work in tries.items() if name not in clues.given}
    return dict(sorted(found.items(), key=lambda one: -round(one[1], 9)))


def doubt(odds: Floats) -> float:
    """Shannon's entropy [bits] of chances that sum to 1."""
    some = odds[odds > 0]
    return float(-(some * np.log2(some)).sum())


def gain(odds: Floats, chances: Floats) -> float:
    """Bits told by a measurement with countable outcomes; chances (2, outcomes): of each outcome, by candidate."""
    joint = odds[:, None] * chances
    total = joint.sum(axis=0)
    part = np.divide(joint, odds[:, None] * total, out=np.ones_like(joint), where=joint > 0)
    return float((joint * np.log2(part)).sum())


def _weighing(of: Suspects, two: tuple[int, int], rules: IdentifyRules) -> float:
    tex = math.exp(float(of.thickness[0][list(two)].mean()))
    return thickness_weighed(Weighed(rules.scrap_weigh_m, rules.scrap_weigh_m * tex / 1000.0, 1.0), rules).sd


def _winding(of: Suspects, two: tuple[int, int], rules: IdentifyRules) -> float:
    tex = math.exp(float(of.thickness[0][list(two)].mean()))
    return thickness_wound(rules.wraps_at_400_tex * (tex / 400.0) ** rules.wraps_power, rules).sd


def _thickness_gain(
    of: Suspects, two: tuple[int, int], odds: Floats, clues: Clues, sd: float, rules: IdentifyRules
) -> float:
    """Thickness measured with this error, after what is already known of it."""
    mean, spread = of.thickness
    for told in thickness_told(clues, rules):
        mean, spread = narrowed(mean, spread, told)
    places = [*two, -1]
    density = np.exp(normal_log(_LOG_TEX, mean[places][:, None], np.hypot(spread[places], sd)[:, None]))
    density /= density.sum(axis=1, keepdims=True)
    return gain(odds, (1.0 - rules.slip) * density[:2] + rules.slip * density[2])


def _colour_gain(of: Suspects, two: tuple[int, int], odds: Floats, rules: IdentifyRules) -> float:
    """By draws that are the same every time: what each candidate would show, and how likely the other shows it."""
    rng = np.random.default_rng(0)
    broad = np.array([rules.none_l_mean, 0.0, 0.0]) + rng.normal(size=(_DRAWS, 3)) * [
        rules.none_l_sd,
        rules.none_ab_sd,
        rules.none_ab_sd,
    ]
    told = 0.0
    for side, place in enumerate(two):
        drawn = [(broad, rules.slip if place < len(of.pools) else 1.0)]
        for at in np.flatnonzero(of.owner == place):
            sd = math.hypot(rules.eye_colour_se, float(of.colour_se[at])) / math.sqrt(3.0)
            # A step of one CIEDE2000 in any direction is this matrix times a unit step.
            out = np.linalg.inv(np.linalg.cholesky(metric(of.labs[at]))).T
            drawn.append((of.labs[at] + sd * rng.normal(size=(_DRAWS, 3)) @ out.T, (1.0 - rules.slip) * of.share[at]))
        for labs, weight in drawn:
            density = colour_at(of, labs, rules.eye_colour_se, rules)[list(two)]
            told += odds[side] * weight * float(np.log2(density[side] / (odds @ density)).mean())
    return float(told)
