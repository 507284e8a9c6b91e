"""What a photograph says, in words: its reference, what was seen of each yarn, which lots it may be."""

from __future__ import annotations

from matcher.actions.colours.photo import SeenPhoto, SeenRegion
from matcher.photographs.pixels import REFERENCE
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Field, Term, Words, listed, reason

_PLACE = Field(REFERENCE.name, "X,Y,W,H")


def white_said(found: SeenPhoto) -> Words:
    """By what the colours were found."""
    white = found.reading.white
    if white is None:
        return reason("No white paper was found: name its place with {white}.", white=_PLACE)
    box = str(white.box)
    if white.given:
        return reason(
            "Colours by the {paper} at {box}.", paper=Term("grey card" if white.card else "white paper"), box=box
        )
    said = (
        "White paper was found at {box}. If that is not plain white paper, give its place with {white}: every colour "
        "below depends on it."
    )
    return reason(said, box=box, white=_PLACE)


def region_said(one: SeenRegion) -> Words:
    """How many colours a yarn has, how far they may be off, and where it lies."""
    region = one.region
    kind: Words = reason("one colour")
    if region.kind != "solid":
        kind = reason("{kind}, {n} colours", kind=Term(region.kind), n=len(region.colours))
    steps = Number(region.se, 1, exact=True)
    return reason("{kind}, give or take {steps} visible steps, at {box}", kind=kind, steps=steps, box=str(region.box))


def lots_said(one: SeenRegion) -> Words:
    """Which lots it may be."""
    if not one.lots:
        return reason("the bin holds no lots")
    steps = (
        reason("{lot} ({steps} steps away)", lot=lot.lot, steps=Number(lot.delta_e, 1, exact=True)) for lot in one.lots
    )
    names = listed(steps)
    if one.lots[0].within:
        return reason("may be: {lots}", lots=names)
    return reason("no close match; nearest: {lots}", lots=names)


STEPS = reason(
    "A visible step is about the least difference that the eye sees. Two in three colours are within the steps shown, "
    "nearly all within twice as many."
)
