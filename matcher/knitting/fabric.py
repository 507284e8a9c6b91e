"""Relaxed knitted fabric: from a gauge to the length of one loop, and back to the yarn that suits it.

Munden (1959): in relaxed plain knitting courses/cm = Kc/l and wales/cm = Kw/l, so that the stitches in a
square centimetre are Ks/l**2, with l the length of yarn in one stitch in cm. The constants come from
`catalog/fabric/constants.csv`, each with its source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from matcher.materials.yarn import WeightClass

STRUCTURES = ("stocking", "garter", "rib", "stranded")
CM_IN_4_INCHES = 10.16


@dataclass(frozen=True)
class FabricConstants:
    """The numbers of the fabric model; see `catalog/fabric/constants.csv` for the source of each.

    Lengths in cm or m as the name says; ratios without unit. `tightness` is sqrt(tex) / l, l in cm.
    """

    Kc: float
    Kw: float
    Ks: float
    tightness: float
    tightness_sd: float
    tightness_min: float
    tightness_max: float
    rib_wales: float  # stitches cast on for a width, against plain knitting with the same loop
    rib_courses: float  # rows in a height, against plain knitting with the same loop
    rib_loop: float  # yarn in a stitch, against plain knitting on the same needle
    garter_wales: float
    garter_rows_per_stitch: float  # rows in the width of one garter stitch
    garter_loop: float
    crown_end_stitches: float
    triangle_end_stitches: float
    edge_rounds: float  # cast-on and bind-off, each counted as so many rounds
    gauge_sd_no_swatch: float
    gauge_sd_swatch: float
    share_sd: float
    tail_m: float
    gauges: tuple[float, ...] = ()

    @property
    def float_per_stitch(self) -> float:
        """Yarn of a float over one stitch, as a part of a loop (1 / Kw: it spans one wale)."""
        return 1.0 / self.Kw

    def wales(self, structure: str) -> float:
        """Stitches in a width, against plain knitting with the same loop."""
        if structure == "rib":
            return self.rib_wales
        return self.garter_wales if structure == "garter" else 1.0

    def courses(self, structure: str) -> float:
        """Rows in a height, against plain knitting with the same loop."""
        if structure == "rib":
            return self.rib_courses
        if structure == "garter":
            return self.garter_rows_per_stitch * self.garter_wales * self.Kw / self.Kc
        return 1.0

    def loop(self, structure: str) -> float:
        """Yarn in a stitch, against plain knitting on the same needle."""
        if structure == "rib":
            return self.rib_loop
        return self.garter_loop if structure == "garter" else 1.0


@dataclass(frozen=True)
class Gauge:
    """Plain-knitting gauge: stitches and rows in 10 cm, and the loop length that goes with them (cm)."""

    stitches_10cm: float
    rows_10cm: float
    loop_cm: float
    from_swatch_rows: bool = False

    @staticmethod
    @lru_cache(maxsize=512)
    def from_stitches(stitches_10cm: float, constants: FabricConstants) -> Gauge:
        """Gauge of relaxed fabric with this many stitches in 10 cm; rows follow from Kc / Kw."""
        _refuse(stitches_10cm, "stitches in 10 cm")
        rows = stitches_10cm * constants.Kc / constants.Kw
        return Gauge(stitches_10cm, rows, 10.0 * constants.Kw / stitches_10cm)

    @staticmethod
    @lru_cache(maxsize=512)
    def from_swatch(stitches_10cm: float, rows_10cm: float, constants: FabricConstants) -> Gauge:
        """Gauge measured on a swatch: l = sqrt(Ks / S), S the stitches in a square centimetre."""
        _refuse(stitches_10cm, "stitches in 10 cm")
        _refuse(rows_10cm, "rows in 10 cm")
        stitches_cm2 = stitches_10cm * rows_10cm / 100.0
        return Gauge(stitches_10cm, rows_10cm, math.sqrt(constants.Ks / stitches_cm2), True)

    @property
    def stitches_cm2(self) -> float:
        """Stitches in a square centimetre of plain knitting."""
        return self.stitches_10cm * self.rows_10cm / 100.0


def _refuse(value: float, name: str) -> None:
    if not (math.isfinite(value) and value > 0):
        raise ValueError(f"found {value} {name}, expected a number above 0")


def gauge_of_tex(tex: float, constants: FabricConstants) -> Gauge:
    """Usual gauge of a yarn of this tex: l = sqrt(tex) / tightness."""
    _refuse(tex, "tex")
    loop_cm = math.sqrt(tex) / constants.tightness
    return Gauge.from_stitches(10.0 * constants.Kw / loop_cm, constants)


def tex_of_gauge(gauge: Gauge, constants: FabricConstants) -> float:
    """Tex of the yarn that usually gives this gauge."""
    return (constants.tightness * gauge.loop_cm) ** 2


def tex_range(gauge: Gauge, constants: FabricConstants) -> tuple[float, float]:
    """Least and most tex of a yarn (or strands together) that suits the gauge, by the tightness window."""
    return (
        (constants.tightness_min * gauge.loop_cm) ** 2,
        (constants.tightness_max * gauge.loop_cm) ** 2,
    )


def class_of_gauge(stitches_10cm: float, classes: Sequence[WeightClass]) -> int:
    """Number of the weight class whose published gauge range holds this gauge; between two, the nearest.

    Where ranges overlap, the class whose middle is nearer.
    """
    in_4_inches = stitches_10cm * CM_IN_4_INCHES / 10.0

    def distance(weight: WeightClass) -> tuple[float, float, int]:
        low = weight.gauge_min_4in or 0.0
        high = weight.gauge_max_4in or low
        outside = max(low - in_4_inches, in_4_inches - high, 0.0)
        return (round(outside, 9), abs((low + high) / 2.0 - in_4_inches), weight.number)

    return min(classes, key=distance).number


def gauges_of_class(number: int, constants: FabricConstants, classes: Sequence[WeightClass]) -> tuple[Gauge, ...]:
    """The catalogue's gauges that belong to a weight class, loosest first."""
    return tuple(
        Gauge.from_stitches(stitches, constants)
        for stitches in sorted(constants.gauges)
        if class_of_gauge(stitches, classes) == number
    )


def mid_gauge(number: int, constants: FabricConstants, classes: Sequence[WeightClass]) -> Gauge:
    """Gauge in the middle of a weight class's published range."""
    weight = next(one for one in classes if one.number == number)
    low = weight.gauge_min_4in or weight.gauge_max_4in
    high = weight.gauge_max_4in or low
    if not low or not high:
        raise ValueError(f"class {number} has no published gauge range")
    return Gauge.from_stitches((low + high) / 2.0 * 10.0 / CM_IN_4_INCHES, constants)


def rows_for(structure: str, height_cm: float, gauge: Gauge, constants: FabricConstants) -> float:
    """Rows (not rounded) in a height of a structure knitted with the loop of this gauge."""
    return height_cm * gauge.rows_10cm / 10.0 * constants.courses(structure)


def stitches_for(structure: str, width_cm: float, gauge: Gauge, constants: FabricConstants) -> float:
    """Stitches (not rounded) in a width of a structure knitted with the loop of this gauge."""
    return width_cm * gauge.stitches_10cm / 10.0 * constants.wales(structure)


def loop_for(structure: str, gauge: Gauge, constants: FabricConstants) -> float:
    """Yarn in one stitch of the structure, cm."""
    return gauge.loop_cm * constants.loop(structure)


def piece_length(
    structure: str,
    stitches: float,
    rows: float,
    gauge: Gauge,
    constants: FabricConstants,
    colours: float = 1.0,
) -> float:
    """Yarn of a piece of one structure [m]; `colours` in a stranded round add a float each past the first."""
    floats = (colours - 1.0) * constants.float_per_stitch if structure == "stranded" else 0.0
    return stitches * rows * (loop_for(structure, gauge, constants) + floats * gauge.loop_cm) / 100.0
