"""The picture of a motif from near and far shows what the eye makes of it."""

from __future__ import annotations

import numpy as np

from matcher.drawing.distances import distances_scene
from matcher.knitting.motifs.motif import parse_motif
from matcher.materials.colours.cielab import lab_from_code
from matcher.materials.colours.colour import parse_colour
from matcher.materials.colours.distance import seen
from matcher.store.catalogue.catalogue import load_catalogue

SPATIAL = load_catalogue().spatial
MOTIF = parse_motif("name: mine\nroles: . main, x contrast 1\nrows: bottom to top\n\nxx..\nx...\n....\n", "mine")
COLOURS = {"main": parse_colour("#4f9a4a", {}), "contrast 1": parse_colour("#e24f92", {})}


def test_every_point_has_the_colour_that_is_seen_there():
    """Points of the three panels, read back from the shapes, two a side of a stitch."""
    scene = distances_scene(MOTIF, COLOURS, (20.0, 25.0), SPATIAL)
    assert [one.text for one in scene.labels] == [
        *("in the hand", "(40 cm)", "across a table", "(100 cm)", "across a room", "(300 cm)")
    ]
    bottom = max(point[1] for one in scene.shapes for point in one.points)
    assert bottom == 24 * 4.0  # 24 rows of 4 mm
    labs = np.array([COLOURS[role].mean() for role in MOTIF.role_names])
    grid = np.array([[1, 1, 0, 0], [1, 0, 0, 0], [0, 0, 0, 0]])
    for metres, label in zip(SPATIAL.distances_m, scene.labels[::2], strict=True):
        left = label.x - 24 * 5.0 / 2
        here = seen(grid, labs, (0.5, 0.4), metres, SPATIAL, samples=2)
        for row in range(3):
            for column in range(4):
                x, y = left + (column + 0.51) * 5.0, bottom - (row + 0.51) * 4.0
                (code,) = [one.fill for one in scene.shapes if _holds(one.points, x, y)]
                apart = np.abs(np.array(lab_from_code(code[1:])) - here[2 * row + 1, 2 * column + 1])
                assert apart.max() < 2, (metres, row, column)


def _holds(points: tuple[tuple[float, float], ...], x: float, y: float) -> bool:
    (left, top), (right, low) = points[0], points[2]
    return left <= x < right and top <= y < low
