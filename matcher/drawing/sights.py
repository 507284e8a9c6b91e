"""The colours of roles in daylight, in grey and with each deficiency of colour vision."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.vision import DEFICIENCIES, SIGHTS, Floats, as_seen
from matcher.reasons.reason import Words, reason

GREY = "grey"
CAPTIONS: Mapping[str, Words] = {
    "daylight": reason("in daylight"),
    GREY: reason("in grey, by lightness\nalone"),
    "protan": reason("to red-blind\neyes"),
    "deutan": reason("to green-blind\neyes"),
    "tritan": reason("to blue-blind\neyes"),
}


def colours_as_seen(colours: Mapping[str, Colour], matrices: Mapping[str, Floats]) -> dict[str, Mapping[str, Colour]]:
    """The colour of each role in each sight: daylight, grey, protan, deutan, tritan.

    What changes is the colour of single stitches: a heather becomes its mean first, as the eye mixes it; a
    variegated yarn stays as many colours with the same shares. Grey keeps L* and drops the rest. Source of the
    deficiencies: `materials.vision`. matrices: one (3, 3) for each deficiency.
    """
    spread = {role: colour.stitches() for role, colour in colours.items()}
    labs = [lab for stitches in spread.values() for lab, _ in stitches]
    if not labs:
        return {sight: {} for sight in CAPTIONS}
    in_sights = dict(zip(SIGHTS, as_seen(np.array(labs), matrices), strict=True))
    in_sights[GREY] = in_sights["daylight"] * np.array([1.0, 0.0, 0.0])
    return {sight: _dealt(spread, in_sights[sight]) for sight in ("daylight", GREY, *DEFICIENCIES)}


def in_grey(colour: Colour) -> Colour:
    """How light it is and nothing else; a guess stays one."""
    parts = tuple(((lab[0], 0.0, 0.0), share) for lab, share in colour.stitches())
    return Colour("solid" if len(parts) == 1 else "variegated", parts, colour.stitch_sds() if colour.guessed else ())


def _dealt(spread: Mapping[str, tuple[tuple[Lab, float], ...]], labs: Floats) -> dict[str, Colour]:
    """The new colours, given out to the roles again in the same order."""
    given = iter(labs.tolist())
    found = {}
    for role, stitches in spread.items():
        parts = tuple((_lab(next(given)), share) for _, share in stitches)
        found[role] = Colour("solid" if len(parts) == 1 else "variegated", parts)
    return found


def _lab(triple: list[float]) -> Lab:
    return triple[0], triple[1], triple[2]
