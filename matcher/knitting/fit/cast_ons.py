"""Every way to fit a motif round a body: all cast-ons within the ease, best first, or the nearest one."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import PLAIN, FabricConstants, Gauge
from matcher.knitting.fit.as_worked import as_worked
from matcher.knitting.fit.fitted import CastOn, Fitted, FittedPart
from matcher.knitting.fit.heels import heel_round
from matcher.knitting.fit.outline import Outline, outline_of
from matcher.knitting.fit.parts import Builder, Slot
from matcher.knitting.fit.rules import FittingRule
from matcher.knitting.motifs.motif import WIDEST, Motif
from matcher.knitting.motifs.parts import ground_of
from matcher.knitting.shapes import zone_shape
from matcher.reasons.quantities import StitchGauge
from matcher.reasons.reason import Words, counted, reason

# Lengths that agree to so many places are equal [cm].
_PLACES = 9


@dataclass(frozen=True)
class Girth:
    """What the main tube may measure [cm]: between least and most, best at `best`; round a body of `body`."""

    body: float
    best: float
    least: float
    most: float

    def off(self, around_cm: float) -> float:
        """How far outside it is [cm]; 0 within."""
        return round(max(0.0, self.least - around_cm, around_cm - self.most), _PLACES)


def girth_of(outline: Outline, rule: FittingRule, ease_percent: tuple[float, float] | None = None) -> Girth:
    """The girths allowed: the entry's own, so many points of the body's measure less or more.

    ease_percent: least and most ease asked for, in percent of the body's measure, in place of the catalogue's; the
    best is then the entry's own ease, or the nearest to it that is asked for.
    """
    body, best = outline.body_cm, outline.target_cm
    if ease_percent is None:
        below, above = body * rule.ease_below_percent / 100.0, body * rule.ease_above_percent / 100.0
        return Girth(body, best, best - below, best + above)
    least, most = (body * (1.0 + percent / 100.0) for percent in ease_percent)
    return Girth(body, min(max(best, least), most), least, most)


def cast_ons(width: int, rib: int, plain_columns: int, girth: Girth, gauge: Gauge) -> tuple[CastOn, ...]:
    """Every cast-on within the girth, best first.

    width: stitches of one repeat; rib: the multiple that the stitches must be of besides (1: none);
    plain_columns: the most that may stand between repeats. Best is nearest to the best girth, then with fewer
    plain columns, then with fewer stitches.
    """
    found = []
    for columns in range(plain_columns + 1):
        step = math.lcm(width + columns, rib)
        fewest = max(1, math.floor(girth.least * gauge.stitches_10cm / 10.0 / step))
        for number in range(fewest, math.ceil(girth.most * gauge.stitches_10cm / 10.0 / step) + 1):
            one = CastOn(number * step, number * step // (width + columns), columns)
            if girth.off(around_cm(one.stitches, gauge)) == 0.0:
                found.append(one)
    return tuple(sorted(found, key=lambda one: _rank(one, girth, gauge)))


def nearest(width: int, rib: int, plain_columns: int, girth: Girth, gauge: Gauge) -> CastOn:
    """The cast-on that is least far outside the girth; of equals the best by the order of `cast_ons`."""

    def beside() -> Iterator[CastOn]:
        for columns in range(plain_columns + 1):
            step = math.lcm(width + columns, rib)
            below = math.floor(girth.best * gauge.stitches_10cm / 10.0 / step)
            for number in (max(1, below), max(1, below) + 1):
                yield CastOn(number * step, number * step // (width + columns), columns)

    return min(beside(), key=lambda one: (girth.off(around_cm(one.stitches, gauge)), *_rank(one, girth, gauge)))


def around_cm(stitches: int, gauge: Gauge) -> float:
    """Circumference of so many stitches [cm]."""
    return stitches * 10.0 / gauge.stitches_10cm


def _rank(one: CastOn, girth: Girth, gauge: Gauge) -> tuple[float, int, int]:
    return round(abs(around_cm(one.stitches, gauge) - girth.best), _PLACES), one.plain_columns, one.stitches


@dataclass(frozen=True)
class Wearing:
    """Who an accessory is fitted to, and what may be done for it: all that `fits` needs besides the motif."""

    accessory: Accessory
    size: str
    sizes: Sizes
    gauge: Gauge
    constants: FabricConstants
    rule: FittingRule
    ease_percent: tuple[float, float] | None = None
    most_rows: int | None = None  # rows of the motif at most; None: as many as there is room for

    @property
    def outline(self) -> Outline:
        return outline_of(self.accessory, self.size, self.sizes, self.constants)

    def rib(self, outline: Outline) -> int:
        """The multiple that the main tube must be of: what its rib asks, or two halves for a tip or a toe."""
        halves = 2 if any(zone.shape == "frustum" for zone in outline.column) else 1
        return math.lcm(halves, self.rule.rib_stitches if outline.ribbed else 1)


def fits(wearing: Wearing, motif: Motif) -> tuple[Fitted, ...]:
    """Every fit within the ease, best first; when there is none, the nearest one alone, `off_by_cm` above 0.

    Raises NoTube (knitting/fit/outline.py), and KeyError when the size lacks a measure.
    """
    outline = wearing.outline
    girth = girth_of(outline, wearing.rule, wearing.ease_percent)
    asked = (motif.width, wearing.rib(outline), wearing.rule.plain_columns, girth, wearing.gauge)
    return tuple(fitted(wearing, outline, girth, motif, one) for one in cast_ons(*asked) or (nearest(*asked),))


def fitted(wearing: Wearing, outline: Outline, girth: Girth, motif: Motif, one: CastOn) -> Fitted:
    """The whole accessory for one cast-on."""
    builder = Builder(wearing.size, wearing.sizes, wearing.gauge, wearing.constants, wearing.most_rows)
    parts, placed = builder.build(_column(wearing, outline, builder, motif, one), outline.main)
    around = around_cm(one.stitches, wearing.gauge)
    found = Fitted(
        gauge=wearing.gauge,
        stitches=one.stitches,
        repeat=motif.width + one.plain_columns,
        repeats=one.repeats,
        plain_columns=one.plain_columns,
        parts=parts,
        marks=motif.roles,
        around_cm=around,
        body_cm=girth.body,
        goes_round=outline.goes_round,
        heel_at=heel_round(wearing.accessory, outline.column, builder.rounds_of),
        ease_cm=around - girth.body,
        off_by_cm=girth.off(around),
        pieces=outline.pieces,
        extra=_extra(wearing, outline, builder, motif),
        size=wearing.size,
        motif_rows=len(placed.rows),
        placed=placed.how,
    )
    return as_worked(found, wearing.accessory, wearing.constants)


def _column(wearing: Wearing, outline: Outline, builder: Builder, motif: Motif, one: CastOn) -> list[Slot]:
    """The zones of the column. One as wide as the main tube has its stitches; of another they are in proportion, in
    rib to the nearest multiple that the rib needs."""
    found = []
    for zone in outline.column:
        assert zone.around is not None, zone.name
        wide = zone.around.in_cm(wearing.sizes, wearing.size) / outline.target_cm
        patterned, stitches = zone is outline.main or zone.motif is not None, one.stitches
        if abs(wide - 1.0) > 1e-9:
            ribbed = wearing.constants.ribbed(zone.structure)
            step = wearing.rule.rib_stitches if ribbed else one.stitches // one.repeats if patterned else 1
            stitches = max(1, round(one.stitches * wide / step)) * step
        found.append(builder.slot(zone, stitches, motif if patterned else None, one.plain_columns))
    return found


def _extra(wearing: Wearing, outline: Outline, builder: Builder, motif: Motif) -> tuple[tuple[FittedPart, int], ...]:
    """What is knitted on besides, plain where the entry has it in a motif."""
    found = []
    for zone in outline.extra:
        shape = zone_shape(zone, wearing.size, wearing.gauge, wearing.sizes, wearing.constants)
        slot = builder.slot(zone, shape.last if zone.shape == "triangle" else shape.first)
        slot.role = zone.role or motif.roles[ground_of(motif)]
        slot.structure = PLAIN if zone.motif else zone.structure
        found.append((slot.part(), shape.pieces))
    return tuple(found)


@dataclass(frozen=True)
class Remedy:
    """What would make a motif fit: "gauge" (stitches in 10 cm), "repeat" (stitches) or "plain columns"."""

    kind: str
    value: float
    stitches: int
    words: Words


def remedies(wearing: Wearing, motif: Motif) -> tuple[Remedy, ...]:
    """What would help where no cast-on fits: another gauge, another width of motif, more plain columns."""
    outline = wearing.outline
    girth = girth_of(outline, wearing.rule, wearing.ease_percent)
    rib, gauge, most = wearing.rib(outline), wearing.gauge, wearing.rule.plain_columns
    found = []
    step = math.lcm(motif.width, rib)
    below = math.floor(girth.best * gauge.stitches_10cm / 10.0 / step)
    for number in (below, below + 1):
        asked = number * step * 10.0 / girth.best
        if number and abs(asked / gauge.stitches_10cm - 1.0) <= wearing.rule.other_gauge_percent / 100.0:
            words = reason(
                "a gauge of {gauge}: then {stitches} stitches fit", gauge=StitchGauge(asked), stitches=number * step
            )
            found.append(Remedy("gauge", asked, number * step, words))
    widths = sorted(range(2, WIDEST + 1), key=lambda width: (abs(width - motif.width), width))
    for width in widths:
        even = cast_ons(width, rib, 0, girth, gauge)
        if width != motif.width and even:
            said = "a motif {width} stitches wide, {repeats} times on {stitches} stitches"
            repeat = reason(said, width=width, repeats=even[0].repeats, stitches=even[0].stitches)
            found.append(Remedy("repeat", width, even[0].stitches, repeat))
            break
    for columns in range(most + 1, motif.width + 1):
        wider = [one for one in cast_ons(motif.width, rib, columns, girth, gauge) if one.plain_columns == columns]
        if wider:
            plain = counted(
                columns,
                "{n} plain stitch between repeats: {repeats} on {stitches} stitches",
                "{n} plain stitches between repeats: {repeats} on {stitches} stitches",
                repeats=counted(wider[0].repeats, "{n} repeat", "{n} repeats"),
                stitches=wider[0].stitches,
            )
            found.append(Remedy("plain columns", columns, wider[0].stitches, plain))
            break
    return tuple(found)
