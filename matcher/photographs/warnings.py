"""What makes colours from a photograph unsure, each with what to do."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.materials.colours.cielab import XYZ_FROM_RGB, lab_from_linear
from matcher.photographs.one_light import Unlike
from matcher.photographs.pixels import (
    LUMINANCE,
    REFERENCE,
    Box,
    Floats,
    Photograph,
    PhotoRules,
    blocks,
    chromaticity,
    clipped_share,
)
from matcher.photographs.white import White
from matcher.reasons.reason import Term, Words, reason


def warnings_of(photo: Photograph, white: White | None, boxes: list[Box], rules: PhotoRules) -> tuple[Words, ...]:
    """Every warning, in the order: reference, light, clipping, sharpness."""
    found: list[Words] = []
    if white is None:
        said = (
            "no white paper: the colours are as the camera saw them; lay white paper beside the yarn in the same "
            "light, or say where it is with {white}"
        )
        found.append(reason(said, white=REFERENCE))
    else:
        if cast(white) > rules.strong_cast:
            said = "strong cast: the light is {tint}; daylight from a window is safer"
            found.append(reason(said, tint=Term(tint_word(white))))
        if mixed(photo, white.box) > rules.mixed_tint:
            said = "mixed light: the paper has one tint at one end and another at the other; use one light"
            found.append(reason(said))
        if clipped_share(photo.crop(white.box)) > rules.clipped_share:
            found.append(reason("the white paper is overexposed; take the picture darker"))
        if not white.card and darker_than(photo, white, rules):
            said = "the paper is darker than much of the picture; name plain white paper in the same light"
            found.append(reason(said))
    for number, box in enumerate(boxes, 1):
        if clipped_share(photo.crop(box)) > rules.clipped_share:
            said = "region {number} is overexposed; take the picture darker"
            found.append(reason(said, number=number))
    if blur(photo) > rules.blurred:
        said = "blurred: neighbouring strands run into each other; hold still, or go nearer"
        found.append(reason(said))
    return tuple(found)


def region_warnings(unlike: Sequence[Unlike], shining: Sequence[bool]) -> tuple[Words, ...]:
    """Of each region what its light and its sheen make unsure."""
    found: list[Words] = []
    for number, (light, shines) in enumerate(zip(unlike, shining, strict=True), 1):
        if light.paper:
            said = (
                "a shadow or another light lies on part of the paper: region {number} is unsure; lay them in one light"
            )
            found.append(reason(said, number=number))
        if light.across:
            said = "a shadow lies across region {number}; lay paper and yarn in one light"
            found.append(reason(said, number=number))
        elif light.apart:
            said = "the light on region {number} isn't the light on the paper; lay paper and yarn in one light"
            found.append(reason(said, number=number))
        if shines:
            said = "region {number} shines: its colour is taken from beneath the shine; softer light makes it surer"
            found.append(reason(said, number=number))
    return tuple(found)


def darker_than(photo: Photograph, white: White, rules: PhotoRules) -> bool:
    """Whether so much of the picture is so much lighter than the reference that this can be no white paper."""
    light = blocks(photo.pixels, max(1, max(photo.width, photo.height) // 160)) @ LUMINANCE
    own = float(np.array(white.linear) @ LUMINANCE)
    return bool((light > rules.lighter_than_white * own).mean() > rules.lighter_share)


def cast(white: White) -> float:
    """How far the reference's tint is from neutral: its chroma C*, at the lightness that it is taken to have."""
    linear = np.array(white.linear)
    level = ((white.taken_as[0] + 16) / 116) ** 3
    lab = lab_from_linear(linear * level / max(float(linear @ LUMINANCE), 1e-6))
    return float(np.hypot(lab[1], lab[2]))


def tint_word(white: White) -> str:
    """The cast in a word."""
    _, a, b = white.lab
    if abs(b) >= abs(a):
        return "yellow" if b > 0 else "blue"
    return "red" if a > 0 else "green"


def mixed(photo: Photograph, box: Box) -> float:
    """The largest difference of tint between nine parts of the reference, in u'v'."""
    crop = photo.crop(box)
    step = max(1, min(box.width, box.height) // 90)
    part = crop[::step, ::step]
    means: list[Floats] = []
    for rows in np.array_split(part, 3, axis=0):
        for cell in np.array_split(rows, 3, axis=1):
            if cell.size:
                means.append(blocks(cell, 1).reshape(-1, 3).mean(axis=0))
    uv = chromaticity(np.array(means) @ XYZ_FROM_RGB.T)
    return float(max(np.hypot(*(uv - one).T).max() for one in uv))


def blur(photo: Photograph) -> float:
    """0 sharp, towards 1 blurred: how little a picture loses when it is blurred once more.

    Crete, Dolmiere, Ladret and Nicolas 2007, Proc. SPIE 6492, 64920I; on a picture of about 800 pixels, since what is
    soft below that size mixes no colours.
    """
    from scipy import ndimage

    side = max(1, max(photo.width, photo.height) // 800)
    light = np.cbrt(blocks(photo.pixels, side, most=3) @ LUMINANCE)
    found = []
    for axis in (0, 1):
        again = ndimage.uniform_filter1d(light, 9, axis=axis)
        before, after = np.abs(np.diff(light, axis=axis)), np.abs(np.diff(again, axis=axis))
        total = float(before.sum())
        found.append(0.0 if total < 1e-6 else (total - float(np.maximum(before - after, 0.0).sum())) / total)
    return max(found)
