"""sRGB and CIELAB, always D65 and the 2 degree observer, on plain arrays.

sRGB runs from 0 to 1. Source: IEC 61966-2-1 (transfer curve and primaries), CIE 15 (CIELAB).
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Lab = tuple[float, float, float]

# IEC 61966-2-1, linear sRGB to XYZ.
XYZ_FROM_RGB = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_RGB_FROM_XYZ = np.linalg.inv(XYZ_FROM_RGB)
# The white of the display itself, so that #ffffff is exactly L* 100, a* 0, b* 0.
_WHITE = XYZ_FROM_RGB.sum(axis=1)
_EPSILON, _KAPPA = 216 / 24389, 24389 / 27


def linear_from_srgb(srgb: Floats) -> Floats:
    """Undo the sRGB transfer curve; array (..., 3), 0 to 1 in and out."""
    srgb = np.asarray(srgb, dtype=float)
    return np.where(srgb <= 0.04045, srgb / 12.92, ((np.maximum(srgb, 0.0) + 0.055) / 1.055) ** 2.4)


def srgb_from_linear(linear: Floats) -> Floats:
    """Apply the sRGB transfer curve; array (..., 3); values outside 0 to 1 are clipped first."""
    linear = np.clip(np.asarray(linear, dtype=float), 0.0, 1.0)
    return np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)


def lab_from_linear(linear: Floats) -> Floats:
    """CIELAB (D65) of linear sRGB; array (..., 3)."""
    ratio = np.asarray(linear, dtype=float) @ XYZ_FROM_RGB.T / _WHITE
    f = np.where(ratio > _EPSILON, np.cbrt(ratio), (_KAPPA * ratio + 16) / 116)
    lab = np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)
    return np.asarray(lab, dtype=float)


def linear_from_lab(lab: Floats) -> Floats:
    """Linear sRGB of CIELAB (D65); array (..., 3); may lie outside 0 to 1 for colours no screen shows."""
    lab = np.asarray(lab, dtype=float)
    fy = (lab[..., 0] + 16) / 116
    f = np.stack([fy + lab[..., 1] / 500, fy, fy - lab[..., 2] / 200], axis=-1)
    ratio = np.where(f**3 > _EPSILON, f**3, (116 * f - 16) / _KAPPA)
    return np.asarray((ratio * _WHITE) @ _RGB_FROM_XYZ.T, dtype=float)


def lab_from_srgb(srgb: Floats) -> Floats:
    """CIELAB (D65) of sRGB; array (..., 3), 0 to 1."""
    return lab_from_linear(linear_from_srgb(srgb))


@lru_cache(maxsize=16384)
def lab_from_code(digits: str) -> tuple[float, float, float]:
    """CIELAB (D65) of six hexadecimal digits; the same in plain numbers, since a bin may hold thousands of codes."""
    linear = [_LINEAR[int(digits[place : place + 2], 16)] for place in (0, 2, 4)]
    f = []
    for weights, white in _ROWS:
        ratio = (weights[0] * linear[0] + weights[1] * linear[1] + weights[2] * linear[2]) / white
        f.append(math.cbrt(ratio) if ratio > _EPSILON else (_KAPPA * ratio + 16) / 116)
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


# Each step of eight bits in linear light, and each row of the matrix with the white it is seen against.
_LINEAR: list[float] = linear_from_srgb(np.arange(256) / 255).tolist()
_ROWS: list[tuple[list[float], float]] = list(zip(XYZ_FROM_RGB.tolist(), _WHITE.tolist(), strict=True))
_BACK: list[list[float]] = _RGB_FROM_XYZ.tolist()


def srgb_from_lab(lab: Floats) -> Floats:
    """The sRGB, 0 to 1, of CIELAB (D65); array (..., 3); colours no screen shows are clipped."""
    return srgb_from_linear(linear_from_lab(lab))


def shown_on_screens(lab: Lab) -> bool:
    """Whether a screen can show a colour, as nearly as a code tells colours apart."""
    linear = linear_from_lab(np.array(lab))
    return bool(((linear > -1e-3) & (linear < 1 + 1e-3)).all())


def hex_from_lab(lab: tuple[float, float, float]) -> str:
    """The nearest code such as "#6b7f4a"; in plain numbers, as `lab_from_code`."""
    fy = (lab[0] + 16) / 116
    f = (fy + lab[1] / 500, fy, fy - lab[2] / 200)
    cubes = [(one**3, one) for one in f]
    ratio = [cube if cube > _EPSILON else (116 * one - 16) / _KAPPA for cube, one in cubes]
    x, y, z = [one * white for one, (_, white) in zip(ratio, _ROWS, strict=True)]
    steps = []
    for row in _BACK:
        linear = min(1.0, max(0.0, row[0] * x + row[1] * y + row[2] * z))
        steps.append(round(255 * (linear * 12.92 if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055)))
    return f"#{steps[0]:02x}{steps[1]:02x}{steps[2]:02x}"
