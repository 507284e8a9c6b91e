"""A piece of the knitter's own pattern: metres and grams from its stitches and its height or rows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from matcher.errors import BadInput
from matcher.knitting.asked import check_structure, check_within
from matcher.knitting.calibration import Calibration, factor_of
from matcher.knitting.fabric import (
    FabricConstants,
    Gauge,
    gauge_of_tex,
    knittable,
    loop_for,
    mid_gauge,
    piece_length,
    rows_for,
    tex_of_gauge,
)
from matcher.materials.reading.numerals import Unclear
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import WeightClass, tex_from_class
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Field, Term, Words, counted, listed, reason


@dataclass(frozen=True)
class PieceNeed:
    """Metres and grams of one piece with their spread, and the working: plain values, and words for what told them."""

    length: Estimate
    grams: Estimate
    working: dict[str, Any]
    notes: tuple[Words, ...] = ()  # how her words were read, and that the figures follow her own knitting

    @property
    def metres(self) -> float:
        return self.length.mean

    @property
    def sd(self) -> float:
        return self.length.sd

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "metres": round(self.length.mean, 2),
            "sd": round(self.length.sd, 2),
            "grams": round(self.grams.mean, 2),
            "grams_sd": round(self.grams.sd, 2),
            "working": self.working,
        }


def piece_need(
    structure: str,
    stitches: int,
    constants: FabricConstants,
    classes: Sequence[WeightClass],
    *,
    height_cm: float | None = None,
    rows: int | None = None,
    tex: Estimate | None = None,
    weight_class: int | None = None,
    swatch: tuple[float, float | None] | None = None,
    colours: int = 2,
    calibration: Calibration | None = None,
) -> PieceNeed:
    """Metres [m] and grams [g] of a piece knitted flat or in the round.

    Give `height_cm` or `rows` (rows win when both are given), and at least one of `swatch` (stitches and
    perhaps rows in 10 cm of plain knitting), `tex` [g/km], `weight_class`. `colours` counts only in stranded
    knitting: all colours of a round together. calibration: what her history says, None without one. Raises BadInput.
    """
    _check(structure, stitches, height_cm, rows, colours, constants)
    gauge, gauge_from = _gauge(constants, classes, tex, weight_class, swatch)
    if rows is None:
        assert height_cm is not None
        rows = knittable(rows_for(structure, height_cm, gauge, constants))
    taken = piece_length(structure, stitches, rows, gauge, constants, colours)
    hers = Estimate(1.0, constants.need_sd(gauge, structure))
    if calibration is not None:
        hers = factor_of(structure, "", hers.sd, calibration, from_swatch=gauge.from_swatch_rows)
    spread, length = hers.sd / hers.mean, hers.times(taken.whole)
    density, density_from = _tex(gauge, constants, classes, tex, weight_class)
    grams = length.mean * density.mean / 1000.0
    working = {
        "structure": structure,
        "stitches": stitches,
        "rows": rows,
        "height_cm": 10.0 * rows / (gauge.rows_10cm * constants.courses(structure)),
        "width_cm": 10.0 * stitches / (gauge.stitches_10cm * constants.wales(structure)),
        "colours": colours if constants.structure(structure).stranded else 1,
        "gauge": {"stitches_10cm": gauge.stitches_10cm, "rows_10cm": gauge.rows_10cm},
        "gauge_from": gauge_from,
        "loop_cm": loop_for(structure, gauge, constants) * hers.mean,
        "float_m": taken.floats * hers.mean,
        "edge_m": taken.edges * hers.mean,
        "tail_m": taken.tails * hers.mean,
        "tex": density.mean,
        "tex_sd": density.sd,
        "tex_from": density_from,
        "relative_sd": spread,
    }
    return PieceNeed(length, Estimate(grams, grams * math.hypot(spread, density.sd / density.mean)), working)


def _check(
    structure: str,
    stitches: int,
    height_cm: float | None,
    rows: int | None,
    colours: int,
    constants: FabricConstants,
) -> None:
    limits = constants.limits
    check_structure(structure, constants)
    found = counted(stitches, "found {n} stitch", "found {n} stitches")
    check_within(found, "stitches", stitches, 1, limits.most_stitches)
    if rows is None and height_cm is None:
        raise BadInput(
            reason("no height and no rows were given"),
            todo=reason("add {height} (cm) or {rows}", height=Field("height", "20"), rows=Field("rows", "60")),
        )
    if rows is not None:
        check_within(counted(rows, "found {n} row", "found {n} rows"), "rows", rows, 1, limits.most_rows)
    if height_cm is not None and not 0 < height_cm <= limits.most_cm:
        most = reason("give a height up to {most}", most=Measure(limits.most_cm))
        raise BadInput(reason("found a height of {height}", height=Measure(height_cm)), Field("height"), most)
    found = counted(colours, "found {n} colour in a round", "found {n} colours in a round")
    check_within(found, "colours", colours, 1, limits.most_colours)


def _gauge(
    constants: FabricConstants,
    classes: Sequence[WeightClass],
    tex: Estimate | None,
    weight_class: int | None,
    swatch: tuple[float, float | None] | None,
) -> tuple[Gauge, Term]:
    """The gauge and where it came from: a swatch wins over the tex, the tex over the class."""
    try:
        if swatch is not None:
            stitches_10cm, rows_10cm = swatch
            if rows_10cm is None:
                return Gauge.from_stitches(stitches_10cm, constants), Term("swatch, stitches only")
            return Gauge.from_swatch(stitches_10cm, rows_10cm, constants), Term("swatch")
        if tex is not None:
            return gauge_of_tex(tex.mean, constants), Term("tex")
        if weight_class is not None:
            tex_from_class(weight_class, classes)  # says which classes there are
            return mid_gauge(weight_class, constants, classes), Term("class")
    except Unclear as fault:
        raise BadInput(fault.said, todo=reason("check the swatch, the tex or the class")) from None
    raise BadInput(
        reason("the yarn's thickness isn't known"),
        todo=reason(
            "add {ways}",
            ways=listed((Field("tex", "380"), Field("class", "3"), Field("swatch", '"22 st x 30 rows"')), "or"),
        ),
    )


def _tex(
    gauge: Gauge,
    constants: FabricConstants,
    classes: Sequence[WeightClass],
    tex: Estimate | None,
    weight_class: int | None,
) -> tuple[Estimate, Term]:
    """The yarn's tex and where it came from; else the tex that the gauge asks for by the usual tightness."""
    if tex is not None:
        return tex, Term("tex")
    if weight_class is not None:
        return tex_from_class(weight_class, classes), Term("class")
    usual = tex_of_gauge(gauge, constants)
    return Estimate(usual, 2.0 * usual * constants.tightness_sd / constants.tightness), Term("gauge")
