"""CIEDE2000, by one road: the published equations on arrays. The one file that knows colormath.

colormath is the reference for two single colours, and tests hold the equations to it. Of it only the matrix function is
used: its object functions call a numpy name that no longer exists. Where two hues lie more than 180 degrees apart its
mean hue is taken 360 degrees higher than the standard's in half the cases; what differs is at most 0.0002 among the
colours of a screen (0.00021 over all of CIELAB).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
_25_7 = 25.0**7


def ciede2000(labs: Floats, others: Floats) -> Floats:
    """CIEDE2000 of colours and others, CIELAB D65: arrays (..., 3) that go together give (...)."""
    light, tint, _ = lightness_and_tint(labs, others)
    return np.asarray(np.sqrt(np.maximum(light**2 + tint, 0.0)), dtype=float)


def lightness_and_tint(labs: Floats, others: Floats) -> tuple[Floats, Floats, Floats]:
    """The two parts of CIEDE2000: that of lightness, the square of that of chroma and hue, and the first's weight S_L.

    The second knows nothing of L*, the first nothing of a* and b*; CIEDE2000 is the root of their squares' sum.
    Source: Sharma, Wu and Dalal 2005, Color Res. Appl. 30(1):21-30, equations 2 to 22.
    """
    l1, a1, b1 = np.moveaxis(np.asarray(labs, dtype=float), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(others, dtype=float), -1, 0)
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
    s_l = 1.0 + 0.015 * light**2 / np.sqrt(20.0 + light**2)
    by_chroma, by_hue = (c2 - c1) / (1.0 + 0.045 * chroma), d_hue / (1.0 + 0.015 * chroma * t)
    return (l2 - l1) / s_l, by_chroma**2 + by_hue**2 + r_t * by_chroma * by_hue, s_l


def ciede2000_of_two(lab: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    """CIEDE2000 of two single colours, as colormath has it; see above for where it departs."""
    from colormath.color_diff_matrix import delta_e_cie2000

    with np.errstate(invalid="ignore"):  # two equal colours can leave -1e-17 under the root
        return float(np.nan_to_num(delta_e_cie2000(np.array(lab), np.array([other])))[0])
