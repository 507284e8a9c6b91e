"""What she may wish of an accessory to match a sweater, and what makes no sense as a wish."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.quantities import Number, Share
from matcher.reasons.reason import Field, reason

_EASE = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*%?\s*(?:\.\.+|to|\s)\s*([-+]?\d+(?:\.\d+)?)\s*%?\s*")
# Tighter than this no knitting stretches, and wider than this nothing is worn.
_EASE_LIMITS = (-50.0, 100.0)


@dataclass(frozen=True)
class Wishes:
    """All that she may say besides the garment and the accessory; what is left out follows from them.

    measured: a measure of the wearer by name, such as "head" [cm]. ease_percent: least and most, of the body's measure.
    fit: which of the fits, 1 for the best. recolour: all lots of the bin shared out anew. sure: the least chance.
    eyes: deficiencies of colour vision that decide besides ordinary eyes, None for those of whom it is for. whom: who
    that is, None for the garment's wearer. lots: those that she names for roles, "main=navy".
    """

    motif: str | Path | None = None
    size: str | None = None
    measured: Mapping[str, float] = field(default_factory=dict)
    swatch: str | None = None
    ease_percent: tuple[float, float] | None = None
    fit: int = 1
    recolour: bool = False
    sure: float | None = None
    eyes: tuple[str, ...] | None = None
    whom: str | None = None
    lots: tuple[str, ...] = ()

    @property
    def sized(self) -> bool:
        """Whether she says herself what size it is."""
        return self.size is not None or bool(self.measured)


def parse_ease(text: str | None) -> tuple[float, float] | None:
    """Least and most ease in percent from "-10..2"; None for None. Raises BadInput."""
    if text is None:
        return None
    where = Field("ease percent")
    matched = _EASE.fullmatch(text)
    if not matched:
        what = reason('found "{text}", expected least and most ease', text=text)
        raise BadInput(what, where, reason('write it as "-10..2"'))
    least, most = float(matched[1]), float(matched[2])
    low, high = _EASE_LIMITS
    if least > most:
        what = reason("{least} is more than {most}", least=Number(least, 2), most=Number(most, 2))
        raise BadInput(what, where, reason("give the smaller number first"))
    if not (low <= least and most <= high):
        beyond = Share((least if least < low else most) / 100, 2)
        what = reason("an ease of {ease} can't be worn", ease=beyond)
        raise BadInput(what, where, reason("give numbers from {low} to {high}", low=Number(low), high=Number(high)))
    return least, most
