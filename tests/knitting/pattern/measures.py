"""What was knitted, measured at its gauge, against the measures of the entry's zones; in words of our own.

A zone is as wide as the entry says, but for half of the multiple that its stitches come in: four in rib, the repeat of
its motif, both for zones that are equally wide. It is as high but for half a row; in garter, whose ridges take two, a row.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping

from knitter import Off

from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import FabricConstants, Gauge
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.shapes import zone_shape

# Headings under which a zone is knitted that has another name; none where others knit it along.
BESIDES: dict[str, tuple[str, ...]] = {
    "hands": ("hand", "thumb gusset", "hand above the thumb"),
    "thumb gussets": (),
    "feet": ("gusset", "foot"),
    "gussets": (),
    "heel turns": (),
    "tips of the flaps": (),
}
TOGETHER = {"flaps": ("tips of the flaps",)}  # what stands under the same heading


def misfits(
    offs: list[Off],
    one: Accessory,
    size: str,
    gauge: Gauge,
    sizes: Sizes,
    motifs: Mapping[str, Motif],
    constants: FabricConstants,
) -> list[str]:
    """Every zone that is not as wide or as high as its entry says."""
    found = []
    for zone in one.zones:
        runs = list(runs_of(zone, offs))
        if BESIDES.get(zone.name) == ():
            continue
        if zone.shape in ("tube", "flat") and zone.around is not None:
            wide = zone.around.in_cm(sizes, size)
            stitch = 10 / (gauge.stitches_10cm * constants.wales(zone.structure))
            most = step_of(zone, one, size, sizes, motifs, constants) / 2 * stitch
            found += [
                f"{zone.name}: {stitches * stitch:.2f} cm wide, not {wide:.2f}"
                for _, stitches in runs
                if abs(stitches * stitch - wide) > most + 1e-9
            ]
    for zones in grouped(one):
        rows = [[rows for rows, _ in runs_of(zone, offs)] for zone in zones]
        if not any(rows):
            found.append(f"{zones[0].name}: nowhere")
        row_cm = [10 / (gauge.rows_10cm * constants.courses(zone.structure)) for zone in zones]
        high = sum(zone.height.in_cm(sizes, size) for zone in zones if zone.height is not None)
        high += sum(zone.rows * row for zone, row in zip(zones, row_cm, strict=True) if zone.rows is not None)
        most = sum(rows_open(zone, one, constants) * row for zone, row in zip(zones, row_cm, strict=True))
        for each in zip(*(one for one in rows if one), strict=True):
            knitted = sum(number * row for number, row in zip(each, row_cm, strict=False))
            if abs(knitted - high) > most + 1e-9:
                found.append(f"{', '.join(zone.name for zone in zones)}: {knitted:.2f} cm high, not {high:.2f}")
    return found


def rows_open(zone: Zone, one: Accessory, constants: FabricConstants) -> float:
    """How many rows a zone may be higher or lower: half a one; garter, whose ridges take two, a whole one; a heel's flap,
    which has as many rows as stitches, as much as half of the foot's stitches are out."""
    if one.kind == "socks" and zone.shape == "flat":
        return 2.0
    return 1.0 if constants.structure(zone.structure).purled == "rows" else 0.5


def rounding_share(
    one: Accessory, size: str, gauge: Gauge, sizes: Sizes, motifs: Mapping[str, Motif], constants: FabricConstants
) -> float:
    """By which part a need that counts zones by their measures may differ from what is knitted in whole repeats: half a
    multiple of the stitches, and half a row (a row in garter), of the zone where that is most."""
    most = 0.0
    for zone in one.zones:
        shape = zone_shape(zone, size, gauge, sizes, constants)
        step = step_of(zone, one, size, sizes, motifs, constants) if zone.around is not None else 1
        across = step / 2 / max(shape.first, shape.last)
        if zone.motif and zone.shape == "flat":
            across *= 2  # in rows a repeat may be cut, and the colour that it begins with has more
        up = rows_open(zone, one, constants) / shape.rows
        most = max(most, across + up + across * up)
    return most


def cut_m(
    one: Accessory, size: str, gauge: Gauge, sizes: Sizes, motifs: Mapping[str, Motif], constants: FabricConstants
) -> float:
    """Yarn of the repeats that a tip cuts [m]: one in every round, which a need by shares takes for a whole one."""
    tips = [zone for zone in one.zones if zone.shape == "frustum" and zone.motif]
    cut = sum(
        zone_shape(zone, size, gauge, sizes, constants).rows * motifs[zone.motif].width * zone.count for zone in tips
    )
    return cut * gauge.loop_cm / 100.0


def grouped(one: Accessory) -> Iterator[list[Zone]]:
    """Zones whose height is measured at once: a motif may take a row of the plain zone beside it, or leave it one."""
    group: list[Zone] = []
    for zone in one.zones:
        if BESIDES.get(zone.name) == ():
            continue
        beside = bool(group) and zone.shape == group[-1].shape == "tube" and zone.count == group[-1].count
        beside = beside and bool(zone.motif or group[-1].motif) and "rib" not in (zone.structure, group[-1].structure)
        if group and not beside:
            yield [*group, *_under(group[-1], one)]
            group = []
        group.append(zone)
    yield [*group, *_under(group[-1], one)]


def _under(zone: Zone, one: Accessory) -> list[Zone]:
    return [other for other in one.zones if other.name in TOGETHER.get(zone.name, ())]


def step_of(
    zone: Zone, one: Accessory, size: str, sizes: Sizes, motifs: Mapping[str, Motif], constants: FabricConstants
) -> int:
    """The multiple that the stitches of a zone come in."""
    wide = zone.around.in_cm(sizes, size)
    alike = [
        other
        for other in one.zones
        if other.around is not None and abs(other.around.in_cm(sizes, size) - wide) < 1e-6 and other.shape != "triangle"
    ]
    steps = [4 if constants.ribbed(other.structure) else 1 for other in alike]
    steps += [motifs[other.motif].width for other in alike if other.motif]
    if any(other.shape == "crown" and constants.ribbed(other.structure) for other in alike):
        steps.append(8)  # its sections are alike, of which there may be eight
    if one.kind in ("mitts", "socks"):
        steps.append(2)  # palm and back are alike; a thumb grows by two
    if zone.name in TOGETHER:
        steps.append(3)  # its tip grew by two, to the number next to whole stitches
    return math.lcm(*steps)


def runs_of(zone: Zone, offs: list[Off]) -> Iterator[tuple[int, int]]:
    """Rows of each part that is knitted of a zone, and the stitches that most of its rows have."""
    names = BESIDES.get(zone.name, (zone.name, zone.name.removesuffix("s")))
    beside = tuple(f" {way} {name}" for way in ("below", "above") for name in names)
    for off in offs:
        run: list[int] = []
        for course in off.courses:
            heading = course.section.casefold()
            here = heading in names or heading.endswith(beside)
            if run and (not here or course.number == 1):
                yield len(run), Counter(run).most_common(1)[0][0]
                run = []
            if here and (course.flat or len(course.shows) == course.after):  # not on the way to another beginning
                run.append(len(course.shows))
        if run:
            yield len(run), Counter(run).most_common(1)[0][0]
