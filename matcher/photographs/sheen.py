"""Sheen: what smooth yarn mirrors of the light, whatever its own colour.

Light from a yarn is its own colour in more or less light, and on top of it white in the highlights (the dichromatic
model: Shafer 1985, Color Research and Application 10(4):210-218). So highlights are paler than the rest of a
colourful yarn; of a grey one they only stand out.
"""

from __future__ import annotations

import numpy as np

from matcher.materials.colours.cielab import lab_from_linear
from matcher.materials.colours.difference import ciede2000
from matcher.photographs.pixels import LUMINANCE, Floats, PhotoRules

_COLOURFUL = 0.2  # so far from neutral in a channel, as a part of the luminance, a tint tells white light from its own


def beneath(samples: Floats, rules: PhotoRules) -> Floats | None:
    """The colour beneath the highlights of one yarn's samples (n, 3), linear sRGB; None where no sheen is seen.

    From the darker half, which mirrors little, raised by what the lighter strands of a yarn without sheen have more.
    """
    light = samples @ LUMINANCE
    low, middle, high, highest = np.quantile(light, [0.3, 0.5, 0.85, 0.95])
    own = samples[(light >= low) & (light <= middle)]
    tint = np.median(own / np.maximum(own @ LUMINANCE, 1e-6)[:, None], axis=0)
    white = 0.0
    if np.abs(tint - 1).max() > _COLOURFUL:
        times, veil = _parts(tint, np.median(samples[light >= highest], axis=0)).tolist()
        white = veil if times > middle / 2 else 0.0  # what lacks the yarn's own colour is something else in the box
    if high < rules.strands_apart * middle and white < rules.veil:
        return None
    return np.asarray(tint / float(tint @ LUMINANCE) * middle * rules.plain_apart, dtype=float)


def is_highlight(bright: Floats, own: Floats, rules: PhotoRules) -> bool:
    """Whether a colour, linear sRGB, is another in a little more or less light with some white on top."""
    times = min(max(float(_parts(own, bright)[0]), 0.0), rules.plain_apart)
    white = float(np.mean(bright - times * own))
    if not 0 < white <= rules.most_sheen:
        return False
    made = lab_from_linear(np.clip(times * own + white, 0.0, None))
    return float(ciede2000(lab_from_linear(bright), made)) < rules.least_apart


def _parts(own: Floats, seen: Floats) -> Floats:
    """How much of its own colour and how much white make up what is seen, by least squares."""
    return np.asarray(np.linalg.lstsq(np.stack([own, np.ones(3)], axis=1), seen, rcond=None)[0], dtype=float)
