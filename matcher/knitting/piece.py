"""A piece of the knitter's own pattern: metres and grams from its stitches and its height or rows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from matcher.errors import BadInput
from matcher.knitting.fabric import (
    STRUCTURES,
    FabricConstants,
    Gauge,
    gauge_of_tex,
    loop_for,
    mid_gauge,
    piece_length,
    rows_for,
    tex_of_gauge,
)
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import WeightClass, tex_from_class

MOST_STITCHES = 5000
MOST_ROWS = 20000
MOST_CM = 1000.0


@dataclass(frozen=True)
class PieceNeed:
    """Metres and grams of one piece with their spread, and the working as plain values."""

    length: Estimate
    grams: Estimate
    working: dict[str, Any]

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
) -> PieceNeed:
    """Metres [m] and grams [g] of a piece knitted flat or in the round.

    Give `height_cm` or `rows` (rows win when both are given), and at least one of `swatch` (stitches and
    perhaps rows in 10 cm of plain knitting), `tex` [g/km], `weight_class`. `colours` counts only in stranded
    knitting: all colours of a round together. Raises BadInput in plain words.
    """
    _check(structure, stitches, height_cm, rows, colours)
    gauge, gauge_from = _gauge(constants, classes, tex, weight_class, swatch)
    if rows is None:
        assert height_cm is not None
        rows = max(1, round(rows_for(structure, height_cm, gauge, constants)))
    body_m = piece_length(structure, stitches, rows, gauge, constants, colours)
    loop_cm = loop_for(structure, gauge, constants)
    strands = colours if structure == "stranded" else 1
    # Cast-on and bind-off are made of one colour; every colour leaves two tails.
    edge_m = 2.0 * constants.edge_rounds * stitches * loop_cm / 100.0
    tail_m = 2.0 * strands * constants.tail_m
    length_m = body_m + edge_m + tail_m
    spread = constants.gauge_sd_swatch if gauge.from_swatch_rows else constants.gauge_sd_no_swatch
    length = Estimate(length_m, spread * length_m)
    density, density_from = _tex(gauge, constants, classes, tex, weight_class)
    grams = length_m * density.mean / 1000.0
    working = {
        "structure": structure,
        "stitches": stitches,
        "rows": rows,
        "height_cm": 10.0 * rows / (gauge.rows_10cm * constants.courses(structure)),
        "width_cm": 10.0 * stitches / (gauge.stitches_10cm * constants.wales(structure)),
        "colours": strands,
        "gauge": {"stitches_10cm": gauge.stitches_10cm, "rows_10cm": gauge.rows_10cm},
        "gauge_from": gauge_from,
        "loop_cm": loop_cm,
        "float_m": body_m - stitches * rows * loop_cm / 100.0,
        "edge_m": edge_m,
        "tail_m": tail_m,
        "tex": density.mean,
        "tex_sd": density.sd,
        "tex_from": density_from,
        "relative_sd": spread,
    }
    return PieceNeed(length, Estimate(grams, grams * math.hypot(spread, density.sd / density.mean)), working)


def _check(structure: str, stitches: int, height_cm: float | None, rows: int | None, colours: int) -> None:
    if structure not in STRUCTURES:
        raise BadInput(f'found structure "{structure}"', todo=f"choose one of {', '.join(STRUCTURES)}")
    if not 1 <= stitches <= MOST_STITCHES:
        raise BadInput(f"found {stitches} stitches", todo=f"give a number from 1 to {MOST_STITCHES}")
    if rows is None and height_cm is None:
        raise BadInput("neither a height nor rows were given", todo="add --height 20 (cm) or --rows 60")
    if rows is not None and not 1 <= rows <= MOST_ROWS:
        raise BadInput(f"found {rows} rows", todo=f"give a number from 1 to {MOST_ROWS}")
    if height_cm is not None and not 0 < height_cm <= MOST_CM:
        raise BadInput(f"found a height of {height_cm} cm", todo=f"give a height up to {MOST_CM:.0f} cm")
    if not 1 <= colours <= 5:
        raise BadInput(f"found {colours} colours in a round", todo="give a number from 1 to 5")


def _gauge(
    constants: FabricConstants,
    classes: Sequence[WeightClass],
    tex: Estimate | None,
    weight_class: int | None,
    swatch: tuple[float, float | None] | None,
) -> tuple[Gauge, str]:
    """The gauge and where it came from: a swatch wins over the tex, the tex over the class."""
    try:
        if swatch is not None:
            stitches_10cm, rows_10cm = swatch
            if rows_10cm is None:
                return Gauge.from_stitches(stitches_10cm, constants), "swatch, stitches only"
            return Gauge.from_swatch(stitches_10cm, rows_10cm, constants), "swatch"
        if tex is not None:
            return gauge_of_tex(tex.mean, constants), "tex"
        if weight_class is not None:
            if weight_class not in {one.number for one in classes}:
                raise ValueError(f"found class {weight_class}, expected one of 0 to 7")
            return mid_gauge(weight_class, constants, classes), "class"
    except ValueError as fault:
        raise BadInput(str(fault), todo="check the swatch, the tex or the class") from None
    raise BadInput("nothing tells how thick the yarn is", todo='add --tex 380, --class 3 or --swatch "22 st x 30 rows"')


def _tex(
    gauge: Gauge,
    constants: FabricConstants,
    classes: Sequence[WeightClass],
    tex: Estimate | None,
    weight_class: int | None,
) -> tuple[Estimate, str]:
    """The yarn's tex and where it came from; else the tex that the gauge asks for by the usual tightness."""
    if tex is not None:
        return tex, "tex"
    usual = tex_of_gauge(gauge, constants)
    if weight_class is not None:
        known = tex_from_class(weight_class, classes)
        if known.mean > 0 and math.isfinite(known.mean) and math.isfinite(known.sd):
            return known, "class"
    return Estimate(usual, 2.0 * usual * constants.tightness_sd / constants.tightness), "gauge"
