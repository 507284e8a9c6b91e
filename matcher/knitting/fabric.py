"""Relaxed knitted fabric: from a gauge to the length of one loop, and back to the yarn that suits it.

Munden (1959): in relaxed plain knitting courses/cm = Kc/l and wales/cm = Kw/l, so that the stitches in a
square centimetre are Ks/l**2, with l the length of yarn in one stitch in cm. The constants come from
`catalog/fabric/constants.csv`, each with its source.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from matcher.materials.reading.numerals import Unclear
from matcher.materials.yarn import WeightClass
from matcher.reasons.quantities import IN_CM, Number
from matcher.reasons.reason import Term, reason

PLAIN = "stocking"  # the structure that the constants are for
STRANDED = "stranded"  # the structure of a motif with several colours in a round
RIB_REPEAT = 4  # stitches of a rib: two that are knitted, two that are purled
CM_IN_4_INCHES = 4 * IN_CM


@dataclass(frozen=True)
class Structure:
    """One way to knit, a row of `catalog/fabric/structures.csv`; ratios without unit.

    words: what to call it to a knitter. wales: stitches in a width, loop: yarn in a stitch, both against plain
    knitting with the same loop and needle. rows_per_stitch: rows in the width of one stitch; None as in plain
    knitting. purled: which stitches show as purls on the right side: "no", "rows" (every other row), "columns"
    (two of four). stranded: whether colours that are not knitted pass behind.
    """

    name: str
    words: str
    wales: float
    rows_per_stitch: float | None
    loop: float
    purled: str
    stranded: bool


@dataclass(frozen=True)
class FabricLimits:
    """What is taken for a slip of the pen when it is asked for; see `catalog/fabric/limits.csv`."""

    least_round: float
    most_stitches: float
    most_rows: float
    most_cm: float
    most_colours: float
    swatch_least_stitches: float
    swatch_most_stitches: float
    swatch_most_rows: float
    swatch_least_g: float
    swatch_most_g: float
    swatch_least_cm: float
    swatch_most_cm: float


@dataclass(frozen=True)
class NeedleSizes:
    """What needles are sold in, thinnest and shortest first, and how much thinner they are for rib; see
    `catalog/fabric/needles.csv`. rib_thinner_mm: below needles of `thick_mm`, and from these on. most_on: a round of at
    most so many times its length lies on a circular needle."""

    diameters_mm: tuple[float, ...]
    circular_cm: tuple[float, ...]
    rib_thinner_mm: tuple[float, float]
    thick_mm: float
    most_on: float


class Window(NamedTuple):
    """How tightly the yarns of a class are usually knitted, at least and at most (catalog/fabric/tightness.csv)."""

    weight: WeightClass
    loosest: float
    tightest: float


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
    crown_end_stitches: float
    crown_least_sections: float  # places round a crown at which it narrows
    crown_most_sections: float
    uneven_weight: float  # of a rib of its own number, or uneven under its crown, as a share of girth or motif
    earflap_front: float  # part of the stitches between two ear flaps that lies in front
    triangle_end_stitches: float
    yoke_join_share: float  # stitches of the round that joins body and sleeves, against the body's
    underarm_share: float  # of the body's stitches, set aside at each underarm of body and sleeve
    gusset_above_cuff_cm: float  # rounds of the hand below a thumb's gusset
    thumb_inside_palm: float  # stitches between the side of a hand and its thumb, as a part of the round
    edge_rounds: float  # cast-on and bind-off, each counted as so many rounds
    long_float: float  # stitches; a float that passes more is to be caught
    carried_courses: float  # for which a colour that rests is carried up inside; beyond that it is cut
    many_colours: float  # in one row, from which on knitting is slow and thick
    gauge_sd_no_swatch: float
    gauge_sd_swatch: float
    bias_sd: float  # of the model itself, the same for all her pieces of one structure, on the logarithm
    bias_sd_stranded: float
    share_sd: float
    tail_m: float
    structures: Mapping[str, Structure] = field(hash=False)
    limits: FabricLimits = field(hash=False)
    windows: tuple[Window, ...] = field(hash=False)
    needles: NeedleSizes = field(hash=False)
    gauges: tuple[float, ...] = ()

    @property
    def float_per_stitch(self) -> float:
        """Yarn of a float over one stitch, as a part of a loop (1 / Kw: it spans one wale)."""
        return 1.0 / self.Kw

    def bias(self, structure: str) -> float:
        """Standard deviation of the model's own error in a structure, on the logarithm; no swatch of hers tells it."""
        return self.bias_sd_stranded if self.structure(structure).stranded else self.bias_sd

    def need_sd(self, gauge: Gauge, structure: str = PLAIN) -> float:
        """Standard deviation of a need on the logarithm, scatter and bias: smaller where a swatch gave rows too."""
        return math.hypot(self.scatter_sd(gauge), self.bias(structure))

    def scatter_sd(self, gauge: Gauge) -> float:
        """The part of it that is another in each piece."""
        return self.gauge_sd_swatch if gauge.from_swatch_rows else self.gauge_sd_no_swatch

    def structure(self, name: str) -> Structure:
        """The structure of that name; one that the catalogue no longer has is taken for plain knitting."""
        return self.structures.get(name) or self.structures[PLAIN]

    def ribbed(self, structure: str) -> bool:
        """Whether it stands in columns of two knit and two purl stitches, which have to come out even."""
        return self.structure(structure).purled == "columns"

    def wales(self, structure: str) -> float:
        """Stitches in a width, against plain knitting with the same loop."""
        return self.structure(structure).wales

    def courses(self, structure: str) -> float:
        """Rows in a height, against plain knitting with the same loop."""
        found = self.structure(structure)
        if found.rows_per_stitch is None:
            return 1.0
        return found.rows_per_stitch * found.wales * self.Kw / self.Kc

    def loop(self, structure: str) -> float:
        """Yarn in a stitch, against plain knitting on the same needle."""
        return self.structure(structure).loop


@dataclass(frozen=True)
class Gauge:
    """Plain-knitting gauge: stitches and rows in 10 cm, and the loop length that goes with them (cm).

    firmness: so many times firmer than the ball band says is the thing knitted, socks for one; it says which yarns
    suit the gauge, and changes nothing of the fabric.
    """

    stitches_10cm: float
    rows_10cm: float
    loop_cm: float
    from_swatch_rows: bool = False
    firmness: float = 1.0

    @staticmethod
    @lru_cache(maxsize=512)
    def from_stitches(stitches_10cm: float, constants: FabricConstants, firmness: float = 1.0) -> Gauge:
        """Gauge of relaxed fabric with this many stitches in 10 cm; rows follow from Kc / Kw."""
        _refuse(stitches_10cm, Term("stitches in 10 cm"))
        rows = stitches_10cm * constants.Kc / constants.Kw
        return Gauge(stitches_10cm, rows, 10.0 * constants.Kw / stitches_10cm, firmness=firmness)

    @staticmethod
    @lru_cache(maxsize=512)
    def from_swatch(stitches_10cm: float, rows_10cm: float, constants: FabricConstants, firmness: float = 1.0) -> Gauge:
        """Gauge measured on a swatch: l = sqrt(Ks / S), S the stitches in a square centimetre."""
        _refuse(stitches_10cm, Term("stitches in 10 cm"))
        _refuse(rows_10cm, Term("rows in 10 cm"))
        stitches_cm2 = stitches_10cm * rows_10cm / 100.0
        return Gauge(stitches_10cm, rows_10cm, math.sqrt(constants.Ks / stitches_cm2), True, firmness)

    @property
    def band_stitches_10cm(self) -> float:
        """What the ball band says of the yarn that this is usual for."""
        return self.stitches_10cm / self.firmness

    @property
    def stitches_cm2(self) -> float:
        """Stitches in a square centimetre of plain knitting."""
        return self.stitches_10cm * self.rows_10cm / 100.0


def _refuse(value: float, name: Term) -> None:
    if not (math.isfinite(value) and value > 0):
        raise Unclear(reason("found {value} {name}, expected a number above 0", value=Number(value, 2), name=name))


def gauge_of_tex(tex: float, constants: FabricConstants, firmness: float = 1.0) -> Gauge:
    """Usual gauge of a yarn of this tex: l = sqrt(tex) / tightness, in what is knitted so much firmer than usual."""
    _refuse(tex, Term("tex"))
    loop_cm = math.sqrt(tex) / constants.tightness / firmness
    return Gauge.from_stitches(10.0 * constants.Kw / loop_cm, constants, firmness)


def tex_of_gauge(gauge: Gauge, constants: FabricConstants) -> float:
    """Tex of the yarn that usually gives this gauge."""
    return (constants.tightness * gauge.loop_cm * gauge.firmness) ** 2


@lru_cache(maxsize=512)
def tex_range(gauge: Gauge, constants: FabricConstants) -> tuple[float, float]:
    """Least and most tex of a yarn (or strands together) that suits the gauge, by the window of the gauge's class."""
    number = class_of_gauge(gauge.band_stitches_10cm, [window.weight for window in constants.windows])
    _, loosest, tightest = next(window for window in constants.windows if window.weight.number == number)
    loop_cm = gauge.loop_cm * gauge.firmness
    return (loosest * loop_cm) ** 2, (tightest * loop_cm) ** 2


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


@lru_cache(maxsize=512)
def gauges_of_class(
    number: int, constants: FabricConstants, classes: tuple[WeightClass, ...], firmness: float = 1.0
) -> tuple[Gauge, ...]:
    """The catalogue's gauges that belong to a weight class in what is knitted so firmly, loosest first."""
    gauges = (Gauge.from_stitches(stitches, constants, firmness) for stitches in sorted(constants.gauges))
    return tuple(one for one in gauges if class_of_gauge(one.band_stitches_10cm, classes) == number)


def mid_gauge(number: int, constants: FabricConstants, classes: Sequence[WeightClass], firmness: float = 1.0) -> Gauge:
    """Gauge in the middle of a weight class's published range, and so much firmer."""
    weight = next(one for one in classes if one.number == number)
    low = weight.gauge_min_4in or weight.gauge_max_4in
    high = weight.gauge_max_4in or low
    if not low or not high:
        raise Unclear(reason("class {number} has no published gauge range", number=number))
    return Gauge.from_stitches((low + high) / 2.0 * 10.0 / CM_IN_4_INCHES * firmness, constants, firmness)


def rows_for(structure: str, height_cm: float, gauge: Gauge, constants: FabricConstants) -> float:
    """Rows (not rounded) in a height of a structure knitted with the loop of this gauge."""
    return height_cm * gauge.rows_10cm / 10.0 * constants.courses(structure)


def stitches_for(structure: str, width_cm: float, gauge: Gauge, constants: FabricConstants) -> float:
    """Stitches (not rounded) in a width of a structure knitted with the loop of this gauge."""
    return width_cm * gauge.stitches_10cm / 10.0 * constants.wales(structure)


def knittable(number: float) -> int:
    """Stitches or rows as they are knitted: a whole number, at least 1."""
    return max(1, round(number))


def loop_for(structure: str, gauge: Gauge, constants: FabricConstants) -> float:
    """Yarn in one stitch of the structure, cm."""
    return gauge.loop_cm * constants.loop(structure)


def float_for(gauge: Gauge, constants: FabricConstants) -> float:
    """Yarn of a straight float over one stitch, cm: it spans one wale, 1 / Kw of a loop (derived; no slack counted)."""
    return gauge.loop_cm * constants.float_per_stitch


def edge_length(structure: str, stitches: float, gauge: Gauge, constants: FabricConstants) -> float:
    """Yarn of one cast-on or bind-off [m], made of one colour."""
    return constants.edge_rounds * stitches * loop_for(structure, gauge, constants) / 100.0


def ends_length(times: float, constants: FabricConstants) -> float:
    """Yarn of the tails where a colour begins and stops again so many times [m]."""
    return 2.0 * times * constants.tail_m


class PieceLength(NamedTuple):
    """Yarn of a whole piece by what it goes into [m]."""

    loops: float
    floats: float
    edges: float
    tails: float

    @property
    def body(self) -> float:
        """Without its edges and tails."""
        return self.loops + self.floats

    @property
    def whole(self) -> float:
        """All of it."""
        return self.body + self.edges + self.tails


def piece_length(
    structure: str,
    stitches: float,
    rows: float,
    gauge: Gauge,
    constants: FabricConstants,
    colours: float = 1.0,
) -> PieceLength:
    """Yarn of a piece of one structure; `colours` in a stranded round add a float and two tails each past the first."""
    strands = colours if constants.structure(structure).stranded else 1.0
    return PieceLength(
        stitches * rows * loop_for(structure, gauge, constants) / 100.0,
        stitches * rows * (strands - 1.0) * float_for(gauge, constants) / 100.0,
        2.0 * edge_length(structure, stitches, gauge, constants),
        ends_length(strands, constants),
    )
