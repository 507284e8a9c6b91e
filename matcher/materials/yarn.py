"""Yarn: linear density from ball band, count or class, strands held together, and the length on hand."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from matcher.materials.fibre import Blend
from matcher.materials.reading.bands import ball_length_m, ball_mass_g
from matcher.materials.reading.counts import parse_tex
from matcher.materials.reading.numerals import OZ_G, Unclear
from matcher.materials.uncertain import Estimate
from matcher.reasons.reason import listed, reason


@dataclass(frozen=True)
class WeightClass:
    """One class of the published yarn weight standard.

    Gauges in stitches per 4 in (stocking stitch), needles [mm]; tex_min, tex_max [g per 1000 m]: the thinnest and the
    thickest that any table calls so (catalog/standards/class_lengths.csv), tex: what to take a yarn for of which no
    more is known; `types` are the standard's names for the yarns in the class, such as "DK"; tables: thinnest and
    thickest by each table.
    """

    number: int
    name: str
    gauge_min_4in: float
    gauge_max_4in: float
    needle_mm_min: float
    needle_mm_max: float
    tex_min: float
    tex_max: float
    tex: Estimate
    types: tuple[str, ...] = ()
    tables: dict[str, tuple[float, float]] = field(default_factory=dict, hash=False)

    @cached_property
    def spellings(self) -> frozenset[str]:
        """Its name and those of its yarns, as a word is compared with them."""
        return frozenset(name.casefold() for name in (self.name, *self.types))


@dataclass(frozen=True)
class MeasuringRules:
    """How well things are weighed and labelled (catalog/standards/measuring.csv).

    scale_resolution_g: smallest step of a kitchen scale [g]; label_sd_fraction, measured_sd_fraction:
    standard deviation of the linear density from a ball band, or from a count or a weighed length, as a
    part of it;
    moisture_sd_of_regain: standard deviation of the moisture in the yarn as a part of its agreed regain;
    regain_unknown_percent: the regain of a yarn of unknown fibre [% of dry mass], the widest of all fibres;
    scale_resolution_oz: the same of one that shows ounces [oz];
    loose_sd_fraction: what "aran-ish" adds to the spread of a class, as a part of its tex;
    tail_m: tail left at each end of a join [m]; full_ball_tolerance: part of a ball by which a ball may be
    lighter than its label and still count as unbroken.
    """

    scale_resolution_g: float
    label_sd_fraction: float
    measured_sd_fraction: float
    moisture_sd_of_regain: float
    regain_unknown_percent: float
    tail_m: float
    full_ball_tolerance: float = 0.05
    scale_resolution_oz: float = 0.1
    loose_sd_fraction: float = 0.15


@dataclass(frozen=True)
class Yarn:
    """tex: linear density [g per 1000 m] with its spread; tex_from: "ball band", "tex" or "class"."""

    name: str
    tex: Estimate
    tex_from: str
    weight_class: int
    blend: Blend
    wash: str  # "hand" | "machine" | "unknown"


def tex_from_ball(ball_g: float, ball_m: float, rules: MeasuringRules) -> Estimate:
    """Linear density [tex] from the ball band: grams and metres of one full ball."""
    tex = 1000.0 * ball_g / ball_m
    return Estimate(tex, tex * rules.label_sd_fraction)


def tex_measured(tex: float, rules: MeasuringRules) -> Estimate:
    """Linear density [tex] that she gives outright: a count, or a length that she weighed."""
    return Estimate(tex, tex * rules.measured_sd_fraction)


def tex_told(
    ball_g: float | None, ball_m: float | None, tex: float | None, rules: MeasuringRules
) -> tuple[Estimate, str] | None:
    """Linear density [tex] of a lot and what tells it: the "ball band", else "tex"; None where only a class does."""
    if ball_g is not None and ball_m is not None:
        return tex_from_ball(ball_g, ball_m, rules), "ball band"
    return None if tex is None else (tex_measured(tex, rules), "tex")


def tex_in_cells(cells: Mapping[str, str], rules: MeasuringRules) -> tuple[Estimate, str] | None:
    """The same from a lot's cells as she wrote them. Raises Unreadable."""

    tex = parse_tex(cells["tex"]) if cells.get("tex") else None
    return tex_told(ball_mass_g(cells), ball_length_m(cells), tex, rules)


def scale_step_g(mass_g: float, rules: MeasuringRules) -> float:
    """Smallest step of the scale that showed this weight, as the weight was written [g].

    Steps in grams and in ounces come out of a weight unmistakably, whatever it has been turned into since. A round
    number is taken for a weight in the usual steps, since it cannot be told from one; and so is what is in no step,
    such as a part of a weight, or ounces taken from grams.
    """
    for step in _steps_g(rules.scale_resolution_g, rules.scale_resolution_oz):
        if abs(mass_g / step - round(mass_g / step)) < 1e-6:
            return step
    return rules.scale_resolution_g


@lru_cache
def _steps_g(usual_g: float, usual_oz: float) -> tuple[float, ...]:
    """Steps of scales that are no coarser than the usual ones, in grams and in ounces."""
    ounces = (OZ_G * step for step in (usual_oz, 0.05, 0.01) if step <= usual_oz)
    return (*(step for step in (1.0, 0.1, 0.01) if step <= usual_g), *ounces)


def tex_of_tables(tables: Sequence[tuple[float, float]]) -> Estimate:
    """Linear density [tex] of a class by several tables that each name its thinnest and thickest yarn.

    They disagree, and nobody knows which one a lot follows, so it is anywhere from the thinnest to the thickest of all,
    evenly by ratio: metres go with 1/tex, so that the middle by ratio is the middle in metres too. Evenly over a
    range is the range over the root of 12. Beside it stands how far the middle of any table is at most from that
    middle: which table is hers is one error that a spread within it does not cover, and with it 95 % sure holds
    whichever of them is true (tests/properties/test_class_alone.py).
    """
    low, high = min(low for low, _ in tables), max(high for _, high in tables)
    middle = math.sqrt(low * high)
    away = max(abs(math.log(math.sqrt(least * most) / middle)) for least, most in tables)
    return Estimate(middle, middle * math.hypot(math.log(high / low) / math.sqrt(12), away))


def tex_from_class(number: int, classes: Sequence[WeightClass]) -> Estimate:
    """Linear density [tex] from the class alone."""
    found = next((entry for entry in classes if entry.number == number), None)
    if found is None:
        numbers = listed(str(entry.number) for entry in classes)
        raise Unclear(
            reason("no yarn weight class {number}: expected one of {numbers}", number=number, numbers=numbers)
        )
    return found.tex


def class_of_tex(tex: float, classes: Sequence[WeightClass]) -> int:
    """The class whose range holds tex; where ranges overlap or leave a gap, the one with the nearest middle.

    Nearness is by ratio, since the classes grow by ratio.
    """
    holding = [entry for entry in classes if entry.tex_min <= tex <= entry.tex_max] or list(classes)

    def distance(entry: WeightClass) -> tuple[float, int]:
        outside = max(entry.tex_min / tex, tex / entry.tex_max, 1.0)
        return (round(math.log(outside), 12) * 1000 + abs(math.log(tex / entry.tex.mean)), entry.number)

    return min(holding, key=distance).number


def held_together(texes: Iterable[Estimate]) -> Estimate:
    """Strands knitted as one: tex adds up; the strands' errors are independent."""
    strands = list(texes)
    return Estimate(sum(strand.mean for strand in strands), math.hypot(*(strand.sd for strand in strands)))


def length_on_hand(
    mass_g: float, tex: Estimate, pieces: int, blend: Blend, rules: MeasuringRules, mass_sd_g: float = 0.0
) -> Estimate:
    """Metres on hand [m] with standard deviation: 1000 * mass / tex, less two tails for every join.

    The deviation adds up independent errors: the scale (a value rounded to a step is off by the step over the root of
    12; a weight in ounces was shown in their steps), what she is unsure of herself (mass_sd_g [g]: "about 40 g", "half
    a ball"), the linear density, and moisture (a part of the fibre's agreed regain, the widest of all where a fibre
    is not known, and with the spread of shares that are not told).
    """
    gross_m = 1000.0 * mass_g / tex.mean
    mean_m = max(0.0, gross_m - 2 * rules.tail_m * (max(1, pieces) - 1))
    step_g = max(rules.scale_resolution_g, scale_step_g(mass_g, rules))
    weight = math.hypot(step_g / math.sqrt(12), mass_sd_g) / mass_g if mass_g > 0 else 0.0
    regain = blend.regain(rules.regain_unknown_percent)
    moisture = rules.moisture_sd_of_regain * math.hypot(regain.mean, regain.sd) / 100.0
    return Estimate(mean_m, gross_m * math.hypot(weight, tex.sd / tex.mean, moisture))
