"""How far an accessory may depart from its entry's ease when a motif is fitted to it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class FittingRule:
    """One kind of accessory, as `catalog/standards/fitting.csv` gives it.

    ease_below_percent, ease_above_percent: points of the body's measure round the entry's own ease.
    rib_stitches: the multiple that the rib needs. plain_columns: the most that may stand between repeats.
    other_gauge_percent: a gauge further than this from hers is another fabric, not a change of needle.
    """

    kind: str
    ease_below_percent: float
    ease_above_percent: float
    rib_stitches: int
    plain_columns: int
    other_gauge_percent: float
