"""Photographs with a known answer: a colour target, and balls of yarn with their shadows, as a plain camera sees them.

Light is computed by wavelength: reflectance of the 24-patch target and spectra of the illuminants as colour-science
carries them, observed by the CIE 1931 2 degree observer. Nothing here uses the adaptation that the program uses.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message=".*[Mm]atplotlib.*")
    import colour

SHAPE = colour.SpectralShape(400, 700, 10)
ILLUMINANTS = ("D65", "D50", "A", "FL11", "LED-B3")
TARGET = "BabelColor Average"
PAPER_L = 96.0
# IEC 61966-2-1, from XYZ (D65) to linear sRGB, to four decimals as the standard prints it.
RGB_FROM_XYZ = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])


@dataclass(frozen=True)
class Camera:
    """What stands between the scene and the file. balance: the part of a cast that the camera takes away itself;
    level: what the strongest channel of white paper gives in linear light at 0 stops; vignette: light lost in the corners."""

    stops: float = 0.0
    noise: float = 0.01
    vignette: float = 0.1
    quality: int = 85
    balance: float = 0.5
    level: float = 0.46


@lru_cache(maxsize=1)
def _spectra() -> tuple[np.ndarray, np.ndarray, dict[str, np.ndarray]]:
    patches = colour.SDS_COLOURCHECKERS[TARGET]
    reflectance = np.array([sd.copy().align(SHAPE).values for sd in patches.values()])
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(SHAPE).values
    lights = {name: colour.SDS_ILLUMINANTS[name].copy().align(SHAPE).values for name in ILLUMINANTS}
    return reflectance, observer, lights


def encode(linear: np.ndarray) -> np.ndarray:
    """The sRGB curve of IEC 61966-2-1."""
    linear = np.clip(linear, 0, 1)
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055)


def lab_of(xyz: np.ndarray) -> np.ndarray:
    """CIELAB for the D65 white that the spectra themselves give."""
    white = seen(np.ones((1, len(SHAPE.range()))), "D65")[0]
    ratio = xyz / white
    f = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
    return np.stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])], axis=1)


def seen(reflectance: np.ndarray, light: str) -> np.ndarray:
    """XYZ of reflectances (n, wavelengths) under an illuminant; a perfect white has Y = 1."""
    _, observer, lights = _spectra()
    weighted = observer * lights[light][:, None]
    return reflectance @ weighted / weighted[:, 1].sum()


def target() -> tuple[list[str], np.ndarray, np.ndarray]:
    """The 24 patches: names, reflectances, and their CIELAB in daylight (D65)."""
    reflectance = _spectra()[0]
    return list(colour.SDS_COLOURCHECKERS[TARGET]), reflectance, lab_of(seen(reflectance, "D65"))


def paper() -> np.ndarray:
    """Reflectance of a white paper of L* 96, alike at all wavelengths."""
    return np.full((1, len(SHAPE.range())), ((PAPER_L + 16) / 116) ** 3)


def camera_rgb(reflectance: np.ndarray, light: str, balance: float) -> np.ndarray:
    """Linear sRGB that the camera writes. Its own white balance works on cone-like signals (CAT02 of CIECAM02, which the
    program does not use) and takes away the part `balance` of the cast."""
    cones = colour.CHROMATIC_ADAPTATION_TRANSFORMS["CAT02"]
    both = np.vstack([reflectance, np.ones((1, reflectance.shape[1]))])
    signals = seen(both, light) @ cones.T
    daylight = cones @ seen(both[-1:], "D65")[0]
    signals = signals * (daylight / signals[-1]) ** balance
    return signals[:-1] @ np.linalg.inv(cones).T @ RGB_FROM_XYZ.T


def expose(linear: np.ndarray, white: np.ndarray, camera: Camera, seed: int = 0) -> np.ndarray:
    """Bytes (h, w, 3) of a linear picture: exposure, vignetting, noise that grows with the light, sRGB curve."""
    rng = np.random.default_rng(seed)
    high, wide, _ = linear.shape
    y, x = np.mgrid[-1 : 1 : high * 1j, -1 : 1 : wide * 1j]
    fall = 1 - camera.vignette * (x * x + y * y) / 2
    light = linear * (camera.level / white.max() * 2**camera.stops * fall)[..., None]
    light = light + rng.normal(size=light.shape) * camera.noise * np.sqrt(np.maximum(light, 0.0) * 0.5 + 1e-4)
    return np.round(255 * encode(light)).astype(np.uint8)


def jpeg(pixels: np.ndarray, quality: int) -> bytes:
    """The picture as a JPEG file."""
    from PIL import Image

    kept = io.BytesIO()
    Image.fromarray(pixels).save(kept, "JPEG", quality=quality)
    return kept.getvalue()


def target_photograph(
    light: str, camera: Camera, seed: int = 0, patch: int = 64
) -> tuple[bytes, list[tuple[int, int, int, int]], tuple[int, int, int, int]]:
    """A photograph of the target on a dark table with a strip of white paper: file, boxes of patches, box of paper."""
    _, reflectance, _ = target()
    everything = np.vstack([reflectance, paper(), np.full((1, reflectance.shape[1]), 0.12)])
    rgb = camera_rgb(everything, light, camera.balance)
    step, gap = patch + 16, 16
    wide, high = 6 * step + gap, 5 * step + gap
    picture = np.empty((high, wide, 3))
    picture[:] = rgb[25]
    boxes = []
    for place in range(24):
        x, y = gap + place % 6 * step, gap + place // 6 * step
        picture[y : y + patch, x : x + patch] = rgb[place]
        boxes.append((x + 8, y + 8, patch - 16, patch - 16))
    top = gap + 4 * step
    picture[top : top + patch, gap : wide - gap] = rgb[24]
    white = (wide // 2 - patch, top + 8, 2 * patch, patch - 16)
    return jpeg(expose(picture, rgb[24], camera, seed), camera.quality), boxes, white


def strands(
    high: int, wide: int, rng: np.random.Generator, tilt_deg: float = 15.0, thick: int = 12
) -> tuple[np.ndarray, np.ndarray]:
    """Light on a heap of strands, (h, w): 1 where a surface faces the light as the paper does, little in the gaps.
    And its sheen, (h, w): 1 where a strand mirrors the light into the camera, falling off with the angle.

    Round strands laid over each other at changing angles; a strand's side turns from the light (Lambert), the gaps
    between are occluded, fibres scatter the rest. tilt_deg: how far the light leans from straight above.
    """
    shade, mirrored = np.full((high, wide), 0.12), np.zeros((high, wide))
    y, x = np.mgrid[0:high, 0:wide].astype(float)
    lean = np.radians(tilt_deg)
    toward = rng.uniform(0, 2 * np.pi)
    for angle in rng.uniform(0, np.pi, 3):
        across = (
            x * np.sin(angle) - y * np.cos(angle) + 0.15 * thick * np.sin((x * np.cos(angle) + y * np.sin(angle)) / 40)
        )
        u = 2 * (across / thick % 1.0) - 1
        strand = np.floor(across / thick).astype(int)
        up = np.sqrt(np.maximum(1 - u * u, 0.0))
        side = np.cos(toward - angle - np.pi / 2)
        facing = np.maximum(up * np.cos(lean) + u * np.sin(lean) * side, 0.0) / np.cos(lean)
        occluded = 0.25 + 0.75 * np.sqrt(up)
        there = rng.uniform(size=strand.max() - strand.min() + 1)[strand - strand.min()] < 0.75
        shade = np.where(there, np.maximum(0.15, facing * occluded), shade * 0.8)
        half = np.radians(tilt_deg) / 2  # the surface that mirrors leans half as far as the light
        glance = np.maximum(up * np.cos(half) + u * np.sin(half) * side, 0.0) ** 20
        mirrored = np.where(there, glance, mirrored * 0.5)
    return shade * rng.normal(1.0, 0.04, shade.shape), mirrored


def lab_to_linear(labs: np.ndarray) -> np.ndarray:
    """Linear sRGB of CIELAB (D65), through colour-science."""
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    return colour.Lab_to_XYZ(labs, white) @ RGB_FROM_XYZ.T


def yarn_photograph(
    balls: list[list[tuple[tuple[float, float, float], float]]],
    camera: Camera,
    seed: int = 0,
    size: int = 180,
    tilt_deg: float = 15.0,
    stretch: int = 30,
    cast: tuple[float, float, float] = (1.08, 1.0, 0.82),
    light: Callable[[np.ndarray, np.ndarray], np.ndarray] | None = None,
    sheen: float = 0.0,
) -> tuple[bytes, list[tuple[int, int, int, int]], tuple[int, int, int, int]]:
    """Balls of yarn side by side on a brown table, a white paper below: file, boxes, box of the paper.

    balls: for each its colours (CIELAB) with shares; a ball of several colours changes every `stretch` pixels.
    light: what falls on each place, (h, w, 3), of x and y from 0 to 1; even when left out. sheen: the part of the light that
    a strand mirrors at most, whatever its colour. Paper and ground have none.
    """
    rng = np.random.default_rng(seed)
    gap = size // 3
    wide, high = gap + len(balls) * (size + gap), 2 * gap + size + size // 2 + gap
    table = lab_to_linear(np.array([[38.0, 8.0, 16.0]]))[0]
    white = lab_to_linear(np.array([[PAPER_L, 0.0, 0.0]]))[0]
    picture = np.empty((high, wide, 3))
    picture[:] = table
    boxes = []
    y, x = np.mgrid[-1 : 1 : size * 1j, -1 : 1 : size * 1j]
    inside = x * x + y * y < 1
    for place, parts in enumerate(balls):
        left = gap + place * (size + gap)
        labs, shares = np.array([lab for lab, _ in parts]), np.array([share for _, share in parts])
        cells = -(-size // stretch)
        which = np.repeat(np.arange(len(parts)), np.round(shares * cells * cells).astype(int) + 1)
        rng.shuffle(which)
        which = which[: cells * cells].reshape(cells, cells).repeat(stretch, 0).repeat(stretch, 1)[:size, :size]
        shade, mirrored = strands(size, size, rng, tilt_deg)
        shade = shade * (0.75 + 0.25 * np.sqrt(np.maximum(1 - 0.8 * (x * x + y * y), 0.0)))
        ball = lab_to_linear(labs)[which] * shade[..., None] + sheen * mirrored[..., None]
        spot = picture[gap : gap + size, left : left + size]
        spot[inside] = ball[inside]
        boxes.append((left + size // 6, gap + size // 6, size * 2 // 3, size * 2 // 3))
    top = 2 * gap + size
    picture[top : top + size // 2, gap : wide - gap] = white
    if light is not None:
        across, down = np.meshgrid(np.linspace(0, 1, wide), np.linspace(0, 1, high))
        picture *= light(across, down)
    tint = np.array(cast)
    box = (gap + 8, top + 8, wide - 2 * gap - 16, size // 2 - 16)
    return jpeg(expose(picture * tint, white * tint, camera, seed), camera.quality), boxes, box
