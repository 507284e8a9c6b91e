"""The gauge of a swatch whose size was measured: kept with its note, and read from there again."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from matcher.errors import BadInput
from matcher.knitting.asked import check_rows
from matcher.knitting.fabric import Gauge
from matcher.materials.reading.units import Unreadable, parse_size_cm
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Field, reason
from matcher.store.catalogue.catalogue import Catalogue

_NOTED = re.compile(r"size ([^;]+)(?:; .*)?", re.DOTALL)


def note_of(size: str | None, note: str) -> str:
    """The cell that a swatch is kept with: its size, as she wrote it, then what she noted."""
    return "; ".join(one for one in (size and f"size {size}", note) if one)


def gauge_noted(row: Mapping[str, Any], catalogue: Catalogue) -> Gauge | None:
    """The gauge of a swatch in the store, by its cells; None where its size was not measured, or its fabric is not as
    wide and high as plain knitting of its loop: rib draws in, and garter stitch is flatter."""
    found = _NOTED.fullmatch(row.get("note", ""))
    structure, fabric = row["structure"], catalogue.fabric
    if found is None or fabric.ribbed(structure) or fabric.courses(structure) != 1.0:
        return None
    try:
        return gauge_of_size(found[1], row["stitches"], row["rows"], catalogue)
    except BadInput:  # she wrote the words herself, or it was noted when less was looked at
        return None


def gauge_of_size(size: str, stitches: float, rows: float, catalogue: Catalogue) -> Gauge:
    """Stitches and rows in 10 cm, from the size of the whole swatch such as "18 x 17 cm". Raises BadInput."""
    limits = catalogue.fabric.limits
    try:
        width, height = parse_size_cm(size)
    except Unreadable as fault:
        raise BadInput(fault.said, Field("size")) from None
    for side in (width, height):
        if not limits.swatch_least_cm <= side <= limits.swatch_most_cm:
            least, most = Measure(limits.swatch_least_cm), Measure(limits.swatch_most_cm)
            give = reason("give sides from {least} to {most}", least=least, most=most)
            raise BadInput(reason("a swatch with a side of {side}", side=Measure(side)), Field("size"), give)
    in_10cm = 10.0 * stitches / width, 10.0 * rows / height
    check_rows(*in_10cm, "size", catalogue.limits)
    return Gauge.from_swatch(*in_10cm, catalogue.fabric)
