"""The picture of a motif from near and far shows what the eye makes of it."""

from __future__ import annotations

import numpy as np

from matcher.drawing.distances import accessory_distances, distances_scene
from matcher.drawing.scene import Scene, svg
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import Fitted, FittedPart
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
    assert scene.title == "As it is seen in the hand, across a table and across a room"
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


def a_hat() -> Fitted:
    """Nine rounds: two of rib, four of the motif, a crown of three that narrows to a quarter."""
    rows = ("xx..", "x...", "....", "xx..")
    parts = (
        FittedPart("brim", "rib", 40, 40, 2, "main"),
        FittedPart("band", "stranded", 40, 40, 4, None, rows),
        FittedPart("crown", "stocking", 40, 10, 3, "main", shape="crown"),
    )
    gauge = Gauge(20.0, 25.0, 1.6)
    return Fitted(gauge, 40, 4, 10, 0, parts, {".": "main", "x": "contrast 1"}, 20.0, 20.0, 0.0, 0.0)


def cells(scene: Scene, panel: int) -> dict[tuple[float, float], str]:
    """Middles of the stitches of one of three panels, and their colours; its runs cut into stitches of 5 mm."""
    label = scene.labels[2 * panel]
    found = {}
    for one in scene.shapes:
        (left, top), (right, _) = one.points[0], one.points[2]
        for number in range(round((right - left) / 5.0)):
            x = left + 5.0 * number + 2.5 - label.x
            if abs(x) < 100:
                found[round(x, 2), round(top + 2.0, 2)] = one.fill
    return found


def test_a_whole_accessory_is_seen_from_three_distances():
    scene = accessory_distances(a_hat(), COLOURS, SPATIAL)
    each = [cells(scene, panel) for panel in range(3)]
    # The front shows half of each round: 20 stitches, and 15, 10 and 5 of the crown.
    assert [len(one) for one in each] == [6 * 20 + 15 + 10 + 5] * 3
    assert each[0].keys() == each[1].keys() == each[2].keys()
    # Apart in hue, green from pink: less and less of it is left in the motif's rows.
    rows = sorted({y for _, y in each[0]}, reverse=True)
    spread = []
    for one in each:
        band = np.array([lab_from_code(code[1:]) for (_, y), code in one.items() if y in rows[2:6]])
        spread.append(band[:, 1].std())
    assert spread == sorted(spread, reverse=True)
    assert spread[2] < 0.7 * spread[0]
    # In the hand the middle of the brim has the yarn's own colour.
    brim = [lab_from_code(code[1:]) for (x, y), code in each[0].items() if y == rows[0] and abs(x) < 30]
    assert np.abs(np.array(brim) - np.array(COLOURS["main"].mean())).max() < 12


def test_the_same_accessory_gives_the_same_picture():
    assert svg(accessory_distances(a_hat(), COLOURS, SPATIAL)) == svg(accessory_distances(a_hat(), COLOURS, SPATIAL))
