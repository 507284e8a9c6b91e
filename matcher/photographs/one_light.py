"""Do paper and yarn lie in one light? The ground beside each tells, since it is of one stuff all over.

Beside each box the nearest ground is looked at on four sides. What lies on the sides of a yarn against each other
shows a shadow across it; what lies beside a yarn against what lies beside the paper shows that the paper is no
reference for that yarn; and the paper itself shows a shadow that falls on a part of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.materials.colours.cielab import lab_from_linear
from matcher.materials.colours.difference import ciede2000
from matcher.photographs.pixels import LUMINANCE, Box, Flags, Floats, Photograph, PhotoRules, blocks
from matcher.photographs.white import White

_NEAR = 15  # cells of ground on each side of a box
_LEAST = 8


@dataclass(frozen=True)
class Unlike:
    """How the light of a region may differ from that of the paper, as factors of the three channels.

    across: a shadow lies across the yarn; paper: across the paper; apart: the one lies in another light than the other.
    """

    factors: tuple[Floats, ...] = ()
    across: bool = False
    paper: bool = False
    apart: bool = False

    def error(self, linear: Floats) -> float:
        """By how much a colour, linear sRGB (3,), may be off for that [CIEDE2000]."""
        lab = lab_from_linear(np.clip(linear, 0.0, None))
        off = [float(ciede2000(lab, lab_from_linear(np.clip(linear / one, 0.0, None)))) for one in self.factors]
        return max(off, default=0.0)


def unlike_lights(
    photo: Photograph, boxes: Sequence[Box], white: White, ground: tuple[Flags, int], lens: Floats, rules: PhotoRules
) -> list[Unlike]:
    """For each box what the ground and the paper tell of its light.

    ground: which cells (h, w) are ground, and a cell's side [pixels]; lens: what the lens lets through, for each cell.
    """
    from scipy import ndimage

    flags, side = ground
    flags = ndimage.binary_erosion(flags)  # a cell in from the edge, where ground and yarn share a cell
    light = blocks(photo.pixels, side) / lens[..., None]
    flags = _of_one_stuff(flags, light, rules)
    by_paper = _sides(light, flags, white.box, side)
    on_paper = _parts(light, white.box, side)
    stepped = [one for one in (on_paper, by_paper) if _uneven(one, rules)]
    paper = max((_widest(one) for one in stepped), key=lambda one: float(np.abs(np.log(one)).max()), default=None)
    found = []
    for box in boxes:
        beside = _sides(light, flags, box, side)
        across = _uneven(beside, rules)
        factors = [_widest(beside)] if across else []
        if paper is not None:
            factors += [paper, 1 / paper]
        apart = False
        if len(beside) and len(by_paper):
            factor = np.median(beside, axis=0) / np.median(by_paper, axis=0)
            apart = bool(_differs(factor, rules))
            factors += [factor] if apart else []
        found.append(Unlike(tuple(factors), across, paper is not None, apart))
    return found


def _of_one_stuff(ground: Flags, light: Floats, rules: PhotoRules) -> Flags:
    """The ground that is like most of it, in more or less light; none where that is too little to tell anything."""
    level = light @ LUMINANCE
    tint = light / np.maximum(level, 1e-5)[..., None]
    usual, usual_tint = np.median(level[ground]) if ground.any() else 0.0, np.median(tint[ground], axis=0)
    ground = ground & (np.abs(np.log(np.maximum(level, 1e-5) / max(usual, 1e-5))) < rules.ground_light)
    ground &= np.abs(tint - usual_tint).max(axis=-1) < rules.ground_tint
    return ground if ground.mean() >= rules.least_ground else np.zeros_like(ground)


def _sides(light: Floats, ground: Flags, box: Box, side: int) -> Floats:
    """The light of the nearest ground on each side of a box, of those sides that have some: (0 to 4, 3)."""
    rows, columns = (places.astype(float) for places in np.nonzero(ground))
    x, y = (columns + 0.5) * side, (rows + 0.5) * side
    across = np.maximum(np.maximum(box.x - x, x - box.x - box.width), 0.0)
    down = np.maximum(np.maximum(box.y - y, y - box.y - box.height), 0.0)
    away = np.hypot(across, down)
    near = (away > 0) & (away < max(box.width, box.height))
    found = []
    beside, beyond = across >= down, down > across
    for on_side in (
        beside & (x < box.x),
        beside & (x > box.x + box.width),
        beyond & (y < box.y),
        beyond & (y > box.y + box.height),
    ):
        mine = np.flatnonzero(near & on_side)
        mine = mine[np.argsort(away[mine], kind="stable")[:_NEAR]]
        if len(mine) >= _LEAST:
            found.append(np.median(light[rows[mine].astype(int), columns[mine].astype(int)], axis=0))
    return np.asarray(np.maximum(np.array(found).reshape(-1, 3), 1e-5), dtype=float)


def _parts(light: Floats, box: Box, side: int) -> Floats:
    """The light of nine parts of the paper, (0 to 9, 3)."""
    cells = light[
        -(-box.y // side) : max((box.y + box.height) // side, -(-box.y // side) + 1),
        -(-box.x // side) : max((box.x + box.width) // side, -(-box.x // side) + 1),
    ]
    parts = [part for rows in np.array_split(cells, 3, axis=0) for part in np.array_split(rows, 3, axis=1)]
    medians = np.array([np.median(one.reshape(-1, 3), axis=0) for one in parts if one.size])
    return np.asarray(np.maximum(medians.reshape(-1, 3), 1e-5), dtype=float)


def _widest(lights: Floats) -> Floats:
    """The brightest of several lights over the darkest, channel by channel."""
    order = np.argsort(lights @ LUMINANCE)
    return np.asarray(lights[order[-1]] / lights[order[0]], dtype=float)


def _uneven(lights: Floats, rules: PhotoRules) -> bool:
    return len(lights) > 1 and any(_differs(one / other, rules) for one in lights for other in lights)


def _differs(factor: Floats, rules: PhotoRules) -> bool:
    level = float(factor @ LUMINANCE)
    return abs(np.log(level)) > rules.light_step or float(np.abs(factor / level - 1).max()) > rules.light_tint
