"""What stands before the steps of a pattern, as values: its facts, its colours, and what its abbreviations mean."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.knitting.calibration import calibrated
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import in_role_order
from matcher.knitting.pattern.metres import needs_of_pattern
from matcher.knitting.pattern.pattern import Pattern, letter_of
from matcher.knitting.pattern.stitches import OPERATIONS
from matcher.knitting.pattern.trade import STOCKINETTE
from matcher.knitting.pattern.words import operations_used
from matcher.reasons.quantities import GaugeFigures
from matcher.reasons.reason import Term, Trade, Words, reason

GAUGE = Trade("Gauge", "Tension")
COUNTED = reason(
    "These lengths are counted in whole stitches and rounds; a list of suggestions, and what is set aside, go by the "
    "measures alone and may differ a little"
)
"""Said below the yarn wherever it stands: a list is reckoned for thousands of things, of which none is cast on yet."""


@dataclass(frozen=True)
class Colour:
    """A colour of a pattern: what its lines call it, its role, and the metres that it takes, with their deviation."""

    letter: str
    role: str
    length_m: float
    sd_m: float


def facts_of(pattern: Pattern) -> tuple[tuple[Words, Words], ...]:
    """Size, gauge and needles, each with its label."""
    fitted = pattern.fitted
    found: list[tuple[Words, Words]] = []
    if fitted.size:
        found.append((reason("Size"), Term(fitted.size)))
    figures = GaugeFigures(fitted.gauge.stitches_10cm, fitted.gauge.rows_10cm)
    found.append((GAUGE, reason("{figures} of {stockinette}", figures=figures, stockinette=STOCKINETTE)))
    if pattern.needles is not None:
        found.append((reason("Needles"), pattern.needles.words()))
    return tuple(found)


def colours_of(pattern: Pattern, constants: FabricConstants) -> tuple[Colour, ...]:
    """Every colour, main first, with the metres that she needs of it."""
    plain, swatched = needs_of_pattern(pattern, constants), pattern.fitted.gauge.from_swatch_rows
    as_she_knits = calibrated(plain, pattern.accessory, pattern.learnt, from_swatch=swatched)
    needs = sorted(as_she_knits, key=lambda need: in_role_order(need.role))
    return tuple(Colour(letter_of(need.role), need.role, need.length_m, need.sd_m) for need in needs)


def key_of(pattern: Pattern) -> tuple[tuple[str, Words], ...]:
    """The abbreviations that the pattern uses, each spelled out."""
    return tuple((op, OPERATIONS[op].spelled_out) for op in operations_used(pattern))
