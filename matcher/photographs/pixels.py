"""A photograph as values: its pixels, boxes on it, blocks of it in linear light."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from matcher.errors import BadInput
from matcher.materials.colours.cielab import linear_from_srgb
from matcher.reasons.reason import Field, Words, reason

Floats = npt.NDArray[np.float64]
Bytes = npt.NDArray[np.uint8]
Flags = npt.NDArray[np.bool_]

# Rec. ITU-R BT.709, the primaries of sRGB: what each channel adds to the luminance.
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])


@dataclass(frozen=True)
class PhotoRules:
    """Limits and spreads for colours from a photograph; see `catalog/standards/photo.csv`."""

    most_megapixels: float
    paper_l: float
    paper_l_sd: float
    paper_tint_sd: float
    card_reflectance: float
    card_l_sd: float
    no_reference_l_sd: float
    no_reference_tint_sd: float
    uneven_light_sd: float
    metamer_sd: float
    camera_sd: float
    texture_quantile: float
    texture_sd: float
    flat_spread: float
    rough_spread: float
    least_apart: float
    least_share: float
    valley: float
    valley_share: float
    most_colours: float
    heather_grain: float
    clipped_share: float
    strong_cast: float
    blurred: float
    mixed_tint: float
    least_white_share: float
    least_region_share: float
    near_errors: float
    most_falloff: float
    least_falloff_span: float
    lighter_than_white: float
    lighter_share: float
    like_paper_light: float
    like_paper_tint: float
    like_background: float
    edge_share: float
    shadow_lightness: float
    off_lamps: float
    white_light: float
    white_spread: float
    light_step: float
    light_tint: float
    least_ground: float
    ground_light: float
    ground_tint: float
    strands_apart: float
    plain_apart: float
    veil: float
    most_sheen: float
    sheen_share: float
    sheen_grain: float
    gloss_sd: float


class Box(NamedTuple):
    """A part of the upright picture: left, top, width and height in pixels."""

    x: int
    y: int
    width: int
    height: int

    def __str__(self) -> str:
        return f"{self.x},{self.y},{self.width},{self.height}"

    def within(self, width: int, height: int) -> bool:
        """Whether no part of it lies outside a picture of this size."""
        return self.x >= 0 and self.y >= 0 and self.x + self.width <= width and self.y + self.height <= height


_BOX = re.compile(r"\s*(-?\d+)\s*[,;x ]\s*(-?\d+)\s*[,;x ]\s*(-?\d+)\s*[,;x ]\s*(-?\d+)\s*$")
LEAST_SIDE = 4
YARN, REFERENCE = Field("yarn box"), Field("reference box")


def parse_box(text: str, field: Field) -> Box:
    """Read "120,80,300,200". Raises BadInput naming the field."""
    match = _BOX.match(text)
    if not match:
        raise BadInput(
            reason('"{text}" isn\'t a box', text=text),
            field,
            reason("give left, top, width and height in pixels, such as 120,80,300,200"),
        )
    return Box(*(int(one) for one in match.groups()))


def check_box(box: Box, field: Field, width: int, height: int) -> Box:
    """The box, if it has a size and lies inside the picture [pixels]; raises BadInput otherwise."""
    if box.width <= 0 or box.height <= 0:
        raise BadInput(
            reason("the box {box} has no size", box=str(box)), field, reason("give a width and a height above 0")
        )
    if min(box.width, box.height) < LEAST_SIDE:
        raise BadInput(
            reason("the box {box} is too small to judge a colour", box=str(box)),
            field,
            reason("make it {n} pixels or wider", n=LEAST_SIDE),
        )
    if not box.within(width, height):
        raise BadInput(
            reason("the box {box} reaches outside the picture", box=str(box)),
            field,
            reason("the upright picture is {width} pixels wide and {height} high", width=width, height=height),
        )
    return box


@dataclass(frozen=True)
class Photograph:
    """An upright picture in sRGB: array (h, w, 3) of bytes; `notes` are remarks on how it was read."""

    pixels: Bytes
    notes: tuple[Words, ...] = ()

    @property
    def width(self) -> int:
        return int(self.pixels.shape[1])

    @property
    def height(self) -> int:
        return int(self.pixels.shape[0])

    def crop(self, box: Box) -> Bytes:
        """The bytes of a box."""
        return self.pixels[box.y : box.y + box.height, box.x : box.x + box.width]


@lru_cache(maxsize=1)
def _table() -> npt.NDArray[np.float32]:
    return linear_from_srgb(np.arange(256) / 255).astype(np.float32)


def linear_of(pixels: Bytes) -> npt.NDArray[np.float32]:
    """Linear sRGB of bytes, same shape."""
    return _table()[pixels]


def blocks(pixels: Bytes, side: int, most: int = 7) -> Floats:
    """Mean linear light of square blocks: (h, w, 3) bytes to (h // side, w // side, 3).

    The mean is taken in linear light, as the eye does from further away, and takes most of the noise away. Of a
    large block `most` x `most` pixels on an even grid stand for all.
    """
    high, wide = pixels.shape[0] // side, pixels.shape[1] // side
    if side == 1:
        return linear_of(pixels).astype(float)
    total = np.zeros((high, wide, 3), dtype=np.float32)
    whole = pixels[: high * side, : wide * side].reshape(high, side, wide, side, 3)
    places = range(0, side, -(-side // most))
    for row in places:
        for column in places:
            total += linear_of(whole[:, row, :, column])
    return total.astype(float) / len(places) ** 2


_MANY = 250_000  # pixels that are enough to tell a share of hundredths


def clipped_share(pixels: Bytes) -> float:
    """The part of pixels of which a channel has reached its upper end (254 or 255); bytes (..., 3)."""
    step = max(1, int(math.sqrt(pixels.size / 3 / _MANY))) if pixels.ndim == 3 else 1
    # One channel after the other: quicker than along an axis of three.
    red, green, blue = np.moveaxis(pixels[::step, ::step] if step > 1 else pixels, -1, 0)
    return float(((red >= 254) | (green >= 254) | (blue >= 254)).mean())


def chromaticity(xyz: Floats) -> Floats:
    """u'v' of CIE 1976 (CIE 15) from XYZ (..., 3); black has that of nothing, 0."""
    total = xyz @ np.array([1.0, 15.0, 3.0])
    safe = np.where(total > 1e-12, total, 1.0)
    uv = np.stack([4 * xyz[..., 0], 9 * xyz[..., 1]], axis=-1) / safe[..., None]
    return np.asarray(np.where(total[..., None] > 1e-12, uv, 0.0), dtype=float)
