"""Dyes that may run: which colours may give some off in water, and which would show it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.materials.rules import TogetherRules


def may_run(colours: Sequence[Colour], rules: TogetherRules) -> bool:
    """Whether one yarn's dark or red dye may run into another yarn that is pale.

    Of a yarn of several colours any counts; its own pale parts have been wet beside its dark ones in the dye bath.
    """
    parts = [[lab for lab, _ in colour.parts] for colour in colours]
    dyed = [any(_gives(lab, rules) for lab in labs) for labs in parts]
    pale = [any(lab[0] >= rules.pale_l for lab in labs) for labs in parts]
    return any(gives and any(pale[:one] + pale[one + 1 :]) for one, gives in enumerate(dyed))


def _gives(lab: Lab, rules: TogetherRules) -> bool:
    light, a, b = lab
    off = (math.degrees(math.atan2(b, a)) - rules.red_hue_deg + 180.0) % 360.0 - 180.0
    red = math.hypot(a, b) >= rules.red_chroma and abs(off) <= rules.red_hue_within_deg
    return light < rules.dark_l or (red and light < rules.red_l)
