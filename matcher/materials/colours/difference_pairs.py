"""CIEDE2000 of many pairs at once, where thousands of lots are compared: plain arrays, no loop over rows.

Source: Sharma, Wu and Dalal 2005, Color Res. Appl. 30(1):21-30, equations 2 to 22. `difference.ciede2000_row` gives
the same within its stated 0.0002; a test holds the two together, and this one to the published pairs.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
_25_7 = 25.0**7


def ciede2000_pairs(labs: Floats, others: Floats) -> Floats:
    """CIEDE2000 of each colour of `labs` (n, 3) and the one in the same place of `others` (n, 3): array (n,)."""
    (l1, a1, b1), (l2, a2, b2) = labs.T, others.T
    seventh = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2.0) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(seventh / (seventh + _25_7))
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.arctan2(b1, a1) % (2 * np.pi), np.arctan2(b2, a2) % (2 * np.pi)
    grey = c1 * c2 == 0
    turn = h2 - h1
    wide = np.abs(turn) > np.pi
    turn = np.where(grey, 0.0, turn - np.where(wide, 2 * np.pi * np.sign(turn), 0.0))
    d_hue = 2.0 * np.sqrt(c1 * c2) * np.sin(turn / 2.0)
    total = h1 + h2
    hue = np.where(grey, total, (total + np.where(wide, np.where(total < 2 * np.pi, 2 * np.pi, -2 * np.pi), 0.0)) / 2.0)
    light, chroma = (l1 + l2) / 2.0 - 50.0, (c1 + c2) / 2.0
    t = 1.0 - 0.17 * np.cos(hue - np.radians(30.0)) + 0.24 * np.cos(2.0 * hue)
    t += 0.32 * np.cos(3.0 * hue + np.radians(6.0)) - 0.20 * np.cos(4.0 * hue - np.radians(63.0))
    seventh = chroma**7
    blue = np.radians(60.0) * np.exp(-(((np.degrees(hue) - 275.0) / 25.0) ** 2))
    r_t = -2.0 * np.sqrt(seventh / (seventh + _25_7)) * np.sin(blue)
    by_light = (l2 - l1) / (1.0 + 0.015 * light**2 / np.sqrt(20.0 + light**2))
    by_chroma, by_hue = (c2 - c1) / (1.0 + 0.045 * chroma), d_hue / (1.0 + 0.015 * chroma * t)
    squared = by_light**2 + by_chroma**2 + by_hue**2 + r_t * by_chroma * by_hue
    return np.asarray(np.sqrt(np.maximum(squared, 0.0)), dtype=float)
