"""Where the yarn lies: regions that differ from what surrounds them, when she names no boxes."""

from __future__ import annotations

import numpy as np

from matcher.materials.colours.cielab import lab_from_linear
from matcher.materials.colours.difference import ciede2000
from matcher.photographs.mixture import Indexes, kmeans
from matcher.photographs.pixels import Box, Flags, Floats, Photograph, PhotoRules, blocks
from matcher.photographs.white import Correction, White

_CELLS = 120  # of the longer side; a ball is some twenty cells across, its strands are not seen
_CLUSTERS = 8
_MOST_REGIONS = 12


def find_regions(
    photo: Photograph, white: White | None, correct: Correction, rules: PhotoRules
) -> tuple[list[Box], list[Flags]]:
    """Boxes of the yarn, left to right and top to bottom by their tops, and which cells of each belong to it.

    The picture is laid in cells; their colours fall into clusters (k-means in CIELAB); clusters that make up the
    picture's edge, and white paper, are background; what remains is opened (thin bridges go) and parted into connected
    regions.
    """
    from scipy import ndimage

    behind, paper, side = background(photo, white, correct, rules)
    yarn = ~behind & ~paper
    yarn = ndimage.binary_fill_holes(ndimage.binary_opening(yarn, iterations=2))
    parts, count = ndimage.label(yarn)
    sizes = np.bincount(parts.ravel(), minlength=count + 1)
    large = [one for one in range(1, count + 1) if sizes[one] >= rules.least_region_share * yarn.size]
    large = sorted(large, key=lambda one: -sizes[one])[:_MOST_REGIONS]
    places = ndimage.find_objects(parts)
    boxes, masks = [], []
    for one in large:
        rows, columns = places[one - 1]
        top, left = rows.start, columns.start
        boxes.append(Box(left * side, top * side, (columns.stop - left) * side, (rows.stop - top) * side))
        # One cell in from the outline, where yarn and ground share a cell.
        inner = ndimage.binary_erosion(parts[rows, columns] == one)
        masks.append(inner if inner.sum() >= 4 else parts[rows, columns] == one)
    order = sorted(range(len(boxes)), key=lambda one: (boxes[one].y // max(1, photo.height // 4), boxes[one].x))
    return [boxes[one] for one in order], [masks[one] for one in order]


def background(
    photo: Photograph, white: White | None, correct: Correction, rules: PhotoRules
) -> tuple[Flags, Flags, int]:
    """Which cells (h, w) are of the ground that makes up the picture's edge, which are paper; a cell's side."""
    side = max(1, max(photo.width, photo.height) // _CELLS)
    small = blocks(photo.pixels, side)
    labs = lab_from_linear(np.clip(correct(small), 0.0, None))
    high, wide = labs.shape[:2]
    flat = labs.reshape(-1, 3)
    clusters = min(_CLUSTERS, len(np.unique(flat.round(1), axis=0)))
    weights = np.array([rules.shadow_lightness, 1.0, 1.0])
    centres, label = kmeans(flat * weights, clusters)
    labels, centres = label.reshape(high, wide), centres / weights
    paper = _paper(labels, centres, white, side, rules.like_background)
    border = np.ones((high, wide), dtype=bool)
    border[2:-2, 2:-2] = False
    edge = labels[border & ~paper]
    on_edge = np.bincount(edge, minlength=clusters) / max(len(edge), 1)
    behind = on_edge >= rules.edge_share
    if not behind.any():
        behind = on_edge == on_edge.max()
    behind |= ciede2000(centres[:, None], centres[behind]).min(axis=1) < rules.like_background
    return behind[labels], paper, side


def _paper(labels: Indexes, centres: Floats, white: White | None, side: int, like: float) -> Flags:
    """Which cells are paper: what hangs together with the reference, and a cell around it. Cream elsewhere is yarn."""
    from scipy import ndimage

    if white is None:
        return np.zeros(labels.shape, dtype=bool)
    light = (ciede2000(centres, np.array(white.taken_as)) < like)[labels]
    box = white.box
    rows = slice(box.y // side, (box.y + box.height) // side + 1)
    columns = slice(box.x // side, (box.x + box.width) // side + 1)
    light[rows, columns] = True
    parts, _ = ndimage.label(light)
    mine = np.unique(parts[rows, columns])
    return np.asarray(ndimage.binary_dilation(np.isin(parts, mine[mine > 0])))


def nothing_but_light(photo: Photograph) -> str:
    """ "black" or "white" when the picture shows nothing else, else ""."""
    step = max(1, min(photo.width, photo.height) // 200)
    sample = photo.pixels[::step, ::step]
    if sample.max() <= 12:
        return "black"
    return "white" if sample.min() >= 243 else ""
