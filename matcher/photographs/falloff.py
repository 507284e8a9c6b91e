"""Light that falls off towards the corners of a picture, read off the white paper where that reaches far enough.

A lens gives less light to the corners (vignetting): 1 - part x r^2 / 2, where r^2 is 2 in the corners; the part is what
the corners lose. White paper is alike everywhere, so what its light lacks away from the middle is the lens's, or
the lamp's: a lamp's own falling off is a slope, or hollow, and is fitted beside it and left alone.
"""

from __future__ import annotations

import numpy as np

from matcher.photographs.pixels import LUMINANCE, Box, Flags, Floats, Photograph, PhotoRules, blocks
from matcher.photographs.white import White

_CELLS = 160
_LEAST_CELLS = 40


def falloff(photo: Photograph, white: White, rules: PhotoRules) -> float:
    """The part of the light that the corners lack: 0 where the paper does not tell, at most `most_falloff`.

    A plane and r^2 are fitted to the light of the paper by least squares. What is less than twice its standard error
    counts as nothing.
    """
    if white.card:
        return 0.0
    side = max(1, max(photo.width, photo.height) // _CELLS)
    small = blocks(photo.pixels, side)
    paper = _paper(small, white, side, rules)
    y, x = (places.astype(float) for places in np.nonzero(paper))
    x, y = (x + 0.5) * side / photo.width * 2 - 1, (y + 0.5) * side / photo.height * 2 - 1
    square = x * x + y * y
    if len(x) < _LEAST_CELLS or np.ptp(square) < rules.least_falloff_span:
        return 0.0
    light = small[paper] @ LUMINANCE
    known = np.stack([np.ones(len(x)), x, y, square], axis=1)
    found, _, rank, _ = np.linalg.lstsq(known, light, rcond=None)
    if rank < known.shape[1]:
        return 0.0
    noise = float(((light - known @ found) ** 2).sum()) / max(len(x) - 4, 1)
    error = float(np.sqrt(noise * np.linalg.inv(known.T @ known)[3, 3]))
    if -found[3] < 2 * error or found[0] <= 0:
        return 0.0
    return float(min(-2 * found[3] / found[0], rules.most_falloff))


def gain(photo: Photograph, part: float, box: Box, white: White, shape: tuple[int, int]) -> Floats:
    """By how much the light of each of (rows, columns) cells of a box is to be raised to that where the paper lies."""
    rows, columns = (np.arange(number) + 0.5 for number in shape)
    there = _light(
        photo, part, box.x + columns[None] * box.width / shape[1], box.y + rows[:, None] * box.height / shape[0]
    )
    middle = white.box
    here = _light(photo, part, np.array(middle.x + middle.width / 2), np.array(middle.y + middle.height / 2))
    return np.asarray(here / there, dtype=float)


def over_cells(photo: Photograph, part: float, side: int) -> Floats:
    """What the lens lets through, for each cell of so many pixels a side of the whole picture."""
    rows, columns = (
        np.asarray((np.arange(length // side) + 0.5) * side, dtype=float) for length in (photo.height, photo.width)
    )
    return _light(photo, part, columns[None], rows[:, None])


def _light(photo: Photograph, part: float, x: Floats, y: Floats) -> Floats:
    """What the lens lets through at places in pixels; 1 in the middle of the picture."""
    across, down = 2 * x / photo.width - 1, 2 * y / photo.height - 1
    return np.asarray(1 - part * (across**2 + down**2) / 2, dtype=float)


def _paper(small: Floats, white: White, side: int, rules: PhotoRules) -> Flags:
    """The cells that hang together with the reference and look like it, one cell in from their edge."""
    from scipy import ndimage

    light = small @ LUMINANCE
    own = np.array(white.linear)
    level = float(own @ LUMINANCE)
    tint = small / np.maximum(light, 1e-6)[..., None] - own / level
    like = (np.abs(light / level - 1) < rules.like_paper_light) & (np.abs(tint).max(axis=-1) < rules.like_paper_tint)
    box = white.box
    parts, _ = ndimage.label(like)
    named = np.bincount(
        parts[
            box.y // side : (box.y + box.height) // side + 1, box.x // side : (box.x + box.width) // side + 1
        ].ravel(),
        minlength=parts.max() + 1,
    )
    named[0] = 0
    if not named.any():
        return np.zeros(like.shape, dtype=bool)
    return np.asarray(ndimage.binary_erosion(parts == int(named.argmax())))
