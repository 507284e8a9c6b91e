"""Photographs in light that paper and yarn do not share, and of yarn that shines, beside good ones; each with its truth."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from functools import cache

import numpy as np
import photo_renderer as renderer

from matcher.materials.colours.cielab import Lab
from matcher.photographs.pixels import Box, Photograph

Light = Callable[[np.ndarray, np.ndarray], np.ndarray]

YARNS: tuple[Lab, ...] = (
    (55.0, 0.0, -2.0),
    (30.0, 10.0, -30.0),
    (52.0, -8.0, 25.0),
    (84.0, 0.0, 12.0),
    (42.0, 45.0, 25.0),
    (70.0, 15.0, 60.0),
    (20.0, 2.0, -4.0),
    (45.0, -40.0, 20.0),
)


def _edge(inside: np.ndarray, dark: float) -> np.ndarray:
    """A shadow with a soft edge: inside is above 0 where it lies, in parts of the picture."""
    return (1 - (1 - dark) / (1 + np.exp(-inside / 0.008)))[..., None] * np.ones(3)


def red_wall(strength: float) -> Light:
    """A wall at the back throws red light on the yarn, less on the paper in front."""
    return lambda _, y: 1 + strength * np.exp(-y / 0.35)[..., None] * np.array([1.0, 0.25, 0.2])


def shadow_on_paper(dark: float, place: float) -> Light:
    """From the right, over a part of the paper and not over the yarn: the paper begins at 0.58 of the height."""
    return lambda x, y: _edge(np.minimum(x - place, y - 0.54), dark)


def shadow_across_yarn(dark: float, place: float) -> Light:
    """From the back, over the upper part of every ball, which lie from 0.12 to 0.47 of the height."""
    return lambda _, y: _edge(place - y, dark)


# Name, kinds of light, sheen.
CASES: tuple[tuple[str, tuple[Light | None, ...], float], ...] = (
    ("good", (None,) * 4, 0.0),
    ("red wall", tuple(red_wall(one) for one in (0.15, 0.3, 0.5, 0.8)), 0.0),
    ("half shadow on paper", tuple(shadow_on_paper(0.55, one) for one in (0.3, 0.45, 0.55, 0.7)), 0.0),
    ("whole paper in shadow", tuple(shadow_on_paper(one, -0.2) for one in (0.4, 0.55, 0.7, 0.8)), 0.0),
    ("shadow across the yarn", tuple(shadow_across_yarn(0.5, one) for one in (0.2, 0.26, 0.32, 0.38)), 0.0),
    ("sheen of 8 %", (None,) * 4, 0.08),
    ("sheen of 25 %", (None,) * 4, 0.25),
)


def photographs(
    lights: tuple[Light | None, ...], sheen: float
) -> Iterator[tuple[Photograph, list[Box], Box, list[Lab]]]:
    """Picture, boxes of the yarns, box of the paper, and the yarns' true colours; two halves of the yarns in turn."""
    for seed, light in enumerate(lights):
        yield _photograph(seed, light, sheen)


@cache
def _photograph(seed: int, light: Light | None, sheen: float) -> tuple[Photograph, list[Box], Box, list[Lab]]:
    from PIL import Image

    yarns = list(YARNS[seed % 2 :: 2])
    data, boxes, paper = renderer.yarn_photograph(
        [[(one, 1.0)] for one in yarns],
        renderer.Camera(),
        seed,
        tilt_deg=(0.0, 10.0, 20.0, 30.0)[seed % 4],
        light=light,
        sheen=sheen,
    )
    return Photograph(np.array(Image.open(io.BytesIO(data)))), [Box(*one) for one in boxes], Box(*paper), yarns
