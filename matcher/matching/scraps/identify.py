"""Whose scrap is this? The chance of each yarn in the bin, and of none, from what was measured on the scrap.

Bayes' rule: chance = prior x density of each clue given the yarn, over the sum of all. Given the yarn, clues are
independent, but for weighing and winding, which both tell one thickness: the yarn's own doubt is shared by both. The
prior of a yarn grows with what could be left of it; "none of these" has a stated prior and broad densities.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Pool
from matcher.matching.together import felts
from matcher.materials.clues import IdentifyRules, Weighed, thickness_of, thickness_weighed, thickness_wound
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.difference import ciede2000
from matcher.materials.lots import Lot
from matcher.materials.rules import TogetherRules
from matcher.materials.uncertain import Estimate

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Clues:
    """What was measured on the scrap; None where it was not. colour_se: root mean square error [CIEDE2000]."""

    colour: Colour | None = None
    colour_se: float = 0.0
    weighed: Weighed | None = None
    wraps: float | None = None
    plies: int | None = None
    felts: bool | None = None

    @property
    def given(self) -> tuple[str, ...]:
        """Names of the clues that are there."""
        named = ("colour", "weighed", "wraps", "plies", "felts")
        return tuple(name for name in named if getattr(self, name) is not None)


@dataclass(frozen=True)
class Suspects:
    """The yarns that the scrap could be of, as arrays over the n pools and, last, "none of these".

    labs (k, 3), share (k,), owner (k,): colours of the pools' stitches with their shares and whose they are; colour_se
    (k,): how far off each may be, by her sheet or by the word it was given as (root mean square, CIEDE2000).
    """

    pools: tuple[Pool, ...]
    prior: Floats  # (n + 1,), sums to 1
    thickness: tuple[Floats, Floats]  # (n + 1,) each: mean and sd of the logarithm of tex
    felts: Floats  # (n + 1,) chance that it felts when tried
    plies: tuple[int | None, ...]  # n + 1
    labs: Floats = field(repr=False)
    share: Floats = field(repr=False)
    owner: npt.NDArray[np.intp] = field(repr=False)
    colour_se: Floats = field(repr=False)


def left_g(lot: Lot, rules: IdentifyRules) -> float:
    """Grams of a lot's yarn that could lie about as scraps: what is missing from its begun balls, and a little more.

    Unbroken balls have lost nothing. A yarn that a garment was knitted from may be left from balls that are used up.
    """
    ball_g = lot.ball_g or rules.usual_ball_g
    full = lot.full_balls
    begun_g = lot.mass_g - full * ball_g
    missing_g = max(0.0, (lot.pieces - full) * ball_g - max(0.0, begun_g))
    return missing_g + rules.least_left_g + (rules.garment_left_g if lot.garment else 0.0)


# "4 ply" and "8 ply" are names of thicknesses as well; "2 plies", "2-plied", "single" are not.
_PLIES = re.compile(r"\b(\d{1,2}|two|three|four|five|six|eight)[ -]?pl(?:ies|ied)\b|\bsingles?\b", re.IGNORECASE)
_NUMBERS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8}


def plies_known(lot: Lot) -> int | None:
    """The plies that a lot's yarn name or note tells ("3 plies", "2-plied", "single"); None where it tells none."""
    found = _PLIES.search(f"{lot.yarn.name}; {lot.note}")
    if not found:
        return None
    word = found[1]
    return 1 if word is None else _NUMBERS.get(word.casefold()) or int(word)


def suspects(pools: Sequence[Pool], clues: Clues, rules: IdentifyRules, together: TogetherRules) -> Suspects:
    """Every pool as a candidate, in the order of their names, and "none of these".

    The prior of a pool grows with the grams that could be left of it, less what the weighed piece takes of them.
    """
    ordered = tuple(sorted(pools, key=lambda one: one.name))
    scrap_g = clues.weighed.mass_g if clues.weighed is not None else 0.0
    weight = np.array([sum(left_g(lot, rules) for lot in pool.lots) for pool in ordered])
    weight = np.maximum(weight - scrap_g, rules.least_left_g / 10.0)
    prior = np.append((1.0 - rules.none_prior) * weight / weight.sum() if len(weight) else weight, rules.none_prior)
    known = [thickness_of(pool.yarn.tex) for pool in ordered]
    known.append(Estimate(math.log(rules.none_tex), rules.none_ln_tex_sd))
    stitches = [pool.colour.stitches() for pool in ordered]
    return Suspects(
        ordered,
        prior / prior.sum(),
        (np.array([one.mean for one in known]), np.array([one.sd for one in known])),
        np.array([*(_felting(pool, rules, together) for pool in ordered), rules.felts_unknown]),
        (*(next((n for lot in pool.lots if (n := plies_known(lot))), None) for pool in ordered), None),
        np.array([lab for one in stitches for lab, _ in one]).reshape(-1, 3),
        np.array([share for one in stitches for _, share in one]),
        np.repeat(np.arange(len(ordered)), [len(one) for one in stitches]),
        np.array([se for pool in ordered for se in colour_errors(pool.colour, rules.lot_colour_se)]),
    )


def _felting(pool: Pool, rules: IdentifyRules, together: TogetherRules) -> float:
    known = felts(pool.yarn, together)
    if known is None:
        return rules.felts_unknown
    return 1.0 - rules.felts_wrong if known else rules.felts_wrong


def posterior(of: Suspects, clues: Clues, rules: IdentifyRules) -> Floats:
    """The chance of each pool and, last, of none: array (n + 1,), summing to 1. What is not given changes nothing."""
    log = np.log(of.prior)
    if clues.colour is not None:
        log = log + colour_density(of, clues.colour, clues.colour_se, rules)
    told = thickness_told(clues, rules)
    if told:
        log = log + thickness_density(of, told, rules)
    if clues.plies is not None:
        log = log + np.log([plies_chance(known, rules)[clues.plies - 1] for known in of.plies])
    if clues.felts is not None:
        log = log + np.log(of.felts if clues.felts else 1.0 - of.felts)
    chance = np.exp(log - log.max())
    return np.asarray(chance / chance.sum())


def thickness_told(clues: Clues, rules: IdentifyRules) -> list[Estimate]:
    """What the scrap itself says of the logarithm of its tex."""
    told = []
    if clues.weighed is not None:
        told.append(thickness_weighed(clues.weighed, rules))
    if clues.wraps is not None:
        told.append(thickness_wound(clues.wraps, rules))
    return told


def thickness_density(of: Suspects, told: Sequence[Estimate], rules: IdentifyRules) -> Floats:
    """Logarithm of the joint density of all measurements of thickness, array (n + 1,).

    One after the other: each is normal around what is known of the yarn so far, which it then narrows. With the
    chance of a slip they say nothing, which is to say that they are those of any yarn.
    """
    log = np.zeros(len(of.thickness[0]))
    mean, sd = of.thickness
    for one in told:
        log = log + normal_log(one.mean, mean, np.hypot(sd, one.sd))
        mean, sd = narrowed(mean, sd, one)
    return np.asarray(np.logaddexp(np.log1p(-rules.slip) + log, np.log(rules.slip) + log[-1]))


def narrowed(mean: Floats, sd: Floats, told: Estimate) -> tuple[Floats, Floats]:
    """Mean and standard deviation of a normal quantity after a measurement of it."""
    weight = sd**2 / (sd**2 + told.sd**2)
    return mean + weight * (told.mean - mean), sd * np.sqrt(1.0 - weight)


def normal_log(x: Floats | float, mean: Floats | float, sd: Floats | float) -> Floats:
    """Logarithm of the normal density."""
    return np.asarray(-0.5 * ((x - mean) / sd) ** 2 - np.log(sd) - 0.5 * math.log(2.0 * math.pi))


def plies_chance(known: int | None, rules: IdentifyRules) -> Floats:
    """The chance of counting 1, 2, ... plies, array (most,), on a yarn of so many; None: nothing is known of it."""
    most = int(rules.most_plies)
    even = np.full(most, 1.0 / most)
    if known is None or known > most:
        return even
    chance = (1.0 - rules.plies_right) * even
    chance[known - 1] += rules.plies_right
    return chance


def colour_density(of: Suspects, seen: Colour, se: float, rules: IdentifyRules) -> Floats:
    """Logarithm of the density of the scrap's colour, array (n + 1,), by the cube of CIEDE2000.

    Around each colour of a lot the error is normal and alike in all three directions; a root mean square error of
    `se` is `se` / sqrt(3) in each. Several colours of a scrap count by their shares and as one measurement, since
    they share its light.
    """
    log = np.zeros(len(of.pools) + 1)
    for lab, share in seen.stitches():
        log += share * np.log(colour_at(of, np.array([lab]), se, rules)[:, 0])
    return log


def colour_at(of: Suspects, seen: Floats, se: float, rules: IdentifyRules) -> Floats:
    """Densities of single colours `seen` (m, 3), for each pool and, last, for none: array (n + 1, m)."""
    sd = np.hypot(se, of.colour_se) / math.sqrt(3.0)
    found = np.zeros((len(of.pools) + 1, len(seen)))
    for place, lab in enumerate(seen):
        if len(of.labs):
            near = of.share * np.exp(-0.5 * (ciede2000(lab, of.labs) / sd) ** 2) / (sd * math.sqrt(2 * math.pi)) ** 3
            found[:-1, place] = np.bincount(of.owner, near, len(of.pools))
        found[-1, place] = math.exp(_broad_log(lab, rules)) / cube(lab)
    return np.asarray((1.0 - rules.slip) * found + rules.slip * found[-1])


def _broad_log(lab: Floats, rules: IdentifyRules) -> float:
    """Logarithm of the density of any yarn's colour, by the cube of CIELAB."""
    sds = np.array([rules.none_l_sd, rules.none_ab_sd, rules.none_ab_sd])
    return float(normal_log(lab, np.array([rules.none_l_mean, 0.0, 0.0]), sds).sum())


# Small enough that the weights of CIEDE2000 hardly change on the way, large enough to be far above its rounding.
_STEP = 0.2


def metric(lab: Floats) -> Floats:
    """The matrix (3, 3) by which CIEDE2000 measures small steps around a colour: its square is step @ matrix @ step."""
    steps = _STEP * np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1], [1, 1, 0], [1, 0, 1], [0, 1, 1]])
    squared = (ciede2000(lab, lab + steps) ** 2 + ciede2000(lab, lab - steps) ** 2) / (2.0 * _STEP**2)
    found = np.diag(squared[:3])
    for place, (one, other) in enumerate(((0, 1), (0, 2), (1, 2)), start=3):
        found[one, other] = found[other, one] = (squared[place] - squared[one] - squared[other]) / 2.0
    return found


def colour_errors(colour: Colour, known_se: float) -> list[float]:
    """Root mean square error of each colour of the stitches [CIEDE2000]: of one given by a word, the word's spread."""
    return [
        math.sqrt(float(np.diag(metric(np.array(lab))) @ np.square(sd))) if any(sd) else known_se
        for (lab, _), sd in zip(colour.stitches(), colour.stitch_sds(), strict=True)
    ]


def colour_error(colour: Colour, known_se: float) -> float:
    """The same over all of them, by their shares."""
    errors = zip(colour.stitches(), colour_errors(colour, known_se), strict=True)
    return math.sqrt(sum(share * se**2 for (_, share), se in errors))


def cube(lab: Floats) -> float:
    """How many cubes of CIEDE2000 one cube of CIELAB holds, around a colour."""
    return math.sqrt(max(float(np.linalg.det(metric(lab))), 1e-6))
