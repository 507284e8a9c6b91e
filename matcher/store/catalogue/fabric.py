"""The catalogue's tables of knitted fabric: constants, structures, limits, gauges."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from matcher.errors import CatalogueError
from matcher.knitting.fabric import PLAIN, FabricConstants, FabricLimits, NeedleSizes, Structure, Window
from matcher.materials.yarn import WeightClass
from matcher.reasons.quantities import Number
from matcher.reasons.reason import reason
from matcher.store.catalogue.rows import Reader, settings


def fabric(reader: Reader, tail_m: float, classes: Sequence[WeightClass]) -> FabricConstants:
    """Fabric constants and gauges; the tail is the one that a join leaves."""
    file, gauges_file = "fabric/constants.csv", "fabric/gauges.csv"
    values: dict[str, Any] = dict(reader.values(file))
    for key, value in values.items():
        if value <= 0:
            raise CatalogueError(file, key, reason("found {value}, expected a number above 0", value=Number(value, 2)))
    rows = reader.table(gauges_file, ("stitches_10cm", "source", "how_obtained"))
    values["tail_m"] = tail_m
    values["structures"] = _structures(reader)
    limits = "fabric/limits.csv"
    values["limits"] = settings(FabricLimits, limits, reader.values(limits))
    values["windows"] = _windows(reader, classes)
    values["needles"] = _needles(reader)
    values["gauges"] = tuple(sorted(row.number("stitches_10cm", 1.0) for row in rows))
    return settings(FabricConstants, file, values)


def _needles(reader: Reader) -> NeedleSizes:
    """What needles are sold in, and how much thinner they are for rib."""
    file = "fabric/needles.csv"
    found: dict[str, list[float]] = {}
    for row in reader.table(file, ("kind", "value", "unit", "source", "how_obtained")):
        found.setdefault(row.cells["kind"], []).append(row.number("value", 0.1))
    for kind in ("needle", "circular", "rib thinner", "rib thinner thick", "thick", "most on"):
        if kind not in found:
            raise CatalogueError(file, kind, reason("no row tells it"))
    return NeedleSizes(
        tuple(sorted(found["needle"])),
        tuple(sorted(found["circular"])),
        (found["rib thinner"][0], found["rib thinner thick"][0]),
        found["thick"][0],
        found["most on"][0],
    )


def _windows(reader: Reader, classes: Sequence[WeightClass]) -> tuple[Window, ...]:
    """How tightly the yarns of each class are knitted; a class without a row goes with its neighbour."""
    file = "fabric/tightness.csv"
    columns = ("class", "tightness_min", "tightness_max", "source", "how_obtained")
    found: list[Window] = []
    for row in reader.table(file, columns):
        number = row.whole("class")
        weight = next((one for one in classes if one.number == number), None)
        if weight is None:
            raise CatalogueError(file, row.key, reason("unknown yarn class {number}", number=number))
        loosest, tightest = row.number("tightness_min", 0.1), row.number("tightness_max", 0.1)
        if loosest >= tightest:
            raise CatalogueError(file, f"{row.key}, tightness_min", reason("is not below {high}", high="tightness_max"))
        found.append(Window(weight, loosest, tightest))
    if not found:
        raise CatalogueError(file, "", reason("no class has a row"))
    return tuple(found)


def _structures(reader: Reader) -> dict[str, Structure]:
    """How each structure differs from plain knitting."""
    file = "fabric/structures.csv"
    columns = ("structure", "words", "wales", "rows_per_stitch", "loop", "purled", "stranded", "source", "how_obtained")
    found: dict[str, Structure] = {}
    for row in reader.table(file, columns):
        name, rows = row.cells["structure"], row.optional("rows_per_stitch", 0.01)
        if not name or name in found:
            raise CatalogueError(file, row.key, reason("each structure has a name of its own"))
        found[name] = Structure(
            name,
            row.cells["words"],
            row.number("wales", 0.01),
            rows,
            row.number("loop", 0.01),
            row.cells["purled"],
            row.yes("stranded"),
        )
    if PLAIN not in found:
        raise CatalogueError(file, PLAIN, reason("the structure that all others are compared with is missing"))
    return found
