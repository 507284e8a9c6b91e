"""The white reference: where it lies, what it says about the light, and the correction that follows.

Colours are corrected in linear light by von Kries scaling of sharpened cone signals (the Bradford matrix: Lam 1985,
thesis, University of Bradford; as in Hunt 1998, The Reproduction of Colour), full adaptation; the exposure comes from
the known lightness of the reference. Bradford and not CAT16: on the rendered colour target it is off by a third less
under lamp light.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from matcher.materials.colours.cielab import XYZ_FROM_RGB, lab_from_linear, linear_from_lab
from matcher.photographs.pixels import (
    LUMINANCE,
    Box,
    Flags,
    Floats,
    Photograph,
    PhotoRules,
    blocks,
    chromaticity,
    linear_of,
)

_BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
_CONES = _BRADFORD @ XYZ_FROM_RGB
_RGB = np.linalg.inv(_CONES)
# Correlated temperatures of lights that people see by: candles to blue sky [K].
_TEMPERATURES = np.geomspace(1900.0, 15000.0, 60)


@dataclass(frozen=True)
class White:
    """A reference as the photograph shows it, and the CIELAB that it is taken to have in daylight.

    given: she named it; else it was found. linear: its colour in linear sRGB as photographed.
    """

    box: Box
    linear: tuple[float, float, float]
    taken_as: tuple[float, float, float]
    given: bool
    card: bool = False

    @property
    def lab(self) -> tuple[float, float, float]:
        """CIELAB as photographed, before any correction: a cast shows in its a* and b*."""
        return _triple(lab_from_linear(np.array(self.linear)))


@dataclass(frozen=True)
class Correction:
    """Linear sRGB as photographed to linear sRGB in daylight: a matrix (3, 3), applied to the right of rows."""

    matrix: Floats

    def __call__(self, linear: Floats) -> Floats:
        return np.asarray(linear @ self.matrix.T, dtype=float)


def correction_from(white: White | None) -> Correction:
    """The correction that makes the reference what it is known to be; none without a reference."""
    if white is None:
        return Correction(np.eye(3))
    wanted = _CONES @ linear_from_lab(np.array(white.taken_as))
    found = np.maximum(_CONES @ np.array(white.linear), 1e-6)
    return Correction(_RGB @ np.diag(wanted / found) @ _CONES)


def reference(photo: Photograph, box: Box, given: bool, card: bool, rules: PhotoRules) -> White:
    """Read the reference in a box: the median of its pixels, so that a speck or a shadow's edge does not count."""
    pixels = photo.crop(box).reshape(-1, 3)
    sample = linear_of(pixels[:: max(1, len(pixels) // 200_000)])
    linear = np.median(sample.astype(float), axis=0)
    lightness = 116 * np.cbrt(rules.card_reflectance) - 16 if card else rules.paper_l
    return White(box, _triple(linear), (float(lightness), 0.0, 0.0), given, card)


def find_white(photo: Photograph, rules: PhotoRules) -> Box | None:
    """The largest bright, smooth region whose tint a light could give to white paper: a box inside it, or None.

    Bright: beside the lightest of the picture. Smooth: yarn is not, paper is. Tint: near the curve
    of lamps and daylight (Krystek 1985).
    """
    from scipy import ndimage

    side = max(1, max(photo.width, photo.height) // 160)
    small = blocks(photo.pixels, side)
    light = small @ LUMINANCE
    brightest = float(np.quantile(light, 0.995))
    if brightest < 0.02:
        return None
    local = ndimage.uniform_filter(light, 3)
    spread = np.sqrt(np.maximum(ndimage.uniform_filter(light * light, 3) - local * local, 0.0))
    smooth = spread < rules.white_spread * np.maximum(local, 1e-6)
    candidate = (light > rules.white_light * brightest) & smooth & likely_white(small, rules)
    box = _largest_inside(candidate, rules.least_white_share)
    return None if box is None else Box(*(one * side for one in box))


def likely_white(linear: Floats, rules: PhotoRules) -> Flags:
    """Which colours (..., 3), linear sRGB, could be white paper under a lamp or the sky."""
    uv = chromaticity(linear @ XYZ_FROM_RGB.T)
    curve = planckian(_TEMPERATURES)
    near = np.full(uv.shape[:-1], np.inf)
    for point in curve:
        near = np.minimum(near, np.hypot(uv[..., 0] - point[0], uv[..., 1] - point[1]))
    return np.asarray(near < rules.off_lamps)


def planckian(kelvin: Floats) -> Floats:
    """u'v' of a glowing black body, array (n, 2), 1000 to 15000 K. Krystek 1985, Color Res. Appl. 10(1):38-40."""
    t = kelvin
    u = (0.860117757 + 1.54118254e-4 * t + 1.28641212e-7 * t * t) / (1 + 8.42420235e-4 * t + 7.08145163e-7 * t * t)
    v = (0.317398726 + 4.22806245e-5 * t + 4.20481691e-8 * t * t) / (1 - 2.89741816e-5 * t + 1.61456053e-7 * t * t)
    return np.stack([u, 1.5 * v], axis=-1)


def _largest_inside(candidate: Flags, least_share: float) -> tuple[int, int, int, int] | None:
    """The largest box that holds candidates only, of the largest connected region; None when it is too small."""
    from scipy import ndimage

    labels, count = ndimage.label(candidate)
    if not count:
        return None
    sizes = np.bincount(labels.ravel())[1:]
    box = _largest_rectangle(labels == int(sizes.argmax()) + 1)
    return box if box[2] * box[3] >= least_share * candidate.size and min(box[2:]) >= 2 else None


def _largest_rectangle(flags: Flags) -> tuple[int, int, int, int]:
    """Left, top, width, height of the largest rectangle of true cells: a stack of heights for each row."""
    best = (0, 0, 0, 0)
    heights = np.zeros(flags.shape[1], dtype=int)
    for row, line in enumerate(flags):
        heights = np.where(line, heights + 1, 0)
        stack: list[tuple[int, int]] = []  # (where a height begins, the height), heights rising
        for column, height in enumerate([*heights.tolist(), 0]):
            start = column
            while stack and stack[-1][1] >= height:
                start, tall = stack.pop()
                if tall * (column - start) > best[2] * best[3]:
                    best = (start, row - tall + 1, column - start, tall)
            stack.append((start, height))
    return best


def _triple(values: Floats) -> tuple[float, float, float]:
    return float(values[0]), float(values[1]), float(values[2])
