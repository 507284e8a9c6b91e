"""What can be measured on an untagged scrap, how well it tells the yarn's thickness, and the rules for it.

Thickness is worked with as the natural logarithm of tex: errors of weighing and winding are parts of the whole.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from matcher.materials.reading.numerals import Unreadable
from matcher.materials.reading.units import parse_length_m, parse_mass_g
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import MeasuringRules, scale_step_g
from matcher.reasons.reason import reason

_ANCHOR_TEX = 400.0
_EXPECTED = reason("a measured length and its weight, such as 12 m = 5.1 g")
_ENDS = re.compile(r"(.+?)\s*(?:=|:|\bweigh(?:s|ed)?\b|\bare\b)\s*(.+)", re.IGNORECASE)


@dataclass(frozen=True)
class IdentifyRules:
    """Measurement errors, priors and limits of perception; see `catalog/standards/identify.csv`."""

    perceptible_delta_e: float
    alike_errors: float
    lot_colour_se: float
    told_apart_errors: float
    eye_colour_se: float
    length_sd_fraction: float
    wraps_at_400_tex: float
    wraps_power: float
    wraps_sd_fraction: float
    plies_right: float
    most_plies: float
    felts_wrong: float
    felts_unknown: float
    slip: float
    none_prior: float
    none_l_mean: float
    none_l_sd: float
    none_ab_sd: float
    none_tex: float
    none_ln_tex_sd: float
    usual_ball_g: float
    least_left_g: float
    garment_left_g: float
    helpful_bits: float
    disagree_errors: float
    weigh_m: float
    scrap_weigh_m: float

    @property
    def alike_delta_e(self) -> float:
        """The largest CIEDE2000 at which two lots of the sheet count as not told apart by eye.

        A pair that differs by just what can be seen shows no more than this in 95 of 100 cases: each colour's error
        along the line between the two is its root mean square over the root of 3.
        """
        one_way = self.lot_colour_se / math.sqrt(3.0)
        return self.perceptible_delta_e + self.alike_errors * math.sqrt(2.0) * one_way


@dataclass(frozen=True)
class Weighed:
    """A measured length [m] and what it weighs [g]; step_g: the smallest step of the scale that showed it [g]."""

    length_m: float
    mass_g: float
    step_g: float

    @property
    def tex(self) -> float:
        """Linear density [tex]."""
        return 1000.0 * self.mass_g / self.length_m


def parse_weighed(text: str, rules: MeasuringRules) -> Weighed:
    """Read "12 m = 5.1 g" or "13 yd = 0.18 oz". A weight with decimals was shown by a scale that has them.

    Raises Unreadable.
    """
    ends = _ENDS.fullmatch(" ".join(text.split()))
    if not ends:
        raise Unreadable(text, _EXPECTED, reason("write the length, then =, then the weight"))
    length_m, mass_g = parse_length_m(ends[1]), parse_mass_g(ends[2])
    if length_m <= 0 or mass_g <= 0:
        raise Unreadable(text, _EXPECTED, reason("both are above zero"))
    # Decimals of grams were shown by a scale that has them, zeros too; ounces tell their steps by themselves.
    decimals = re.fullmatch(r"\d+[.,](\d+)\s*(?:g|gr|gm|grams?|grammes?)?", ends[2].strip(), re.IGNORECASE)
    step_g = 10.0 ** -len(decimals[1]) if decimals else scale_step_g(mass_g, rules)
    return Weighed(length_m, mass_g, min(rules.scale_resolution_g, step_g) if decimals else step_g)


def thickness_weighed(weighed: Weighed, rules: IdentifyRules) -> Estimate:
    """Logarithm of tex from a weighed length: a step of the scale over the root of 12, and the length's own error."""
    scale = weighed.step_g / math.sqrt(12.0) / weighed.mass_g
    return Estimate(math.log(weighed.tex), math.hypot(scale, rules.length_sd_fraction))


def thickness_wound(wraps: float, rules: IdentifyRules) -> Estimate:
    """Logarithm of tex from wraps in an inch, counted to the half.

    Source: the wraps and lengths of the published weight classes, see `wraps_at_400_tex` in the catalogue.
    """
    log_tex = math.log(_ANCHOR_TEX) + math.log(wraps / rules.wraps_at_400_tex) / rules.wraps_power
    spread = math.hypot(rules.wraps_sd_fraction, 0.5 / math.sqrt(12.0) / wraps)
    return Estimate(log_tex, spread / abs(rules.wraps_power))


def thickness_of(tex: Estimate) -> Estimate:
    """Logarithm of a tex that is known with a standard deviation."""
    return Estimate(math.log(tex.mean), tex.sd / tex.mean)
