"""An accessory laid flat: the stitches that one sees, in the lots' colours, in every sight."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from matcher.drawing.flat_picture import captioned, flat_scene, sights_scene, small_scene
from matcher.drawing.scene import png, svg
from matcher.drawing.sights import CAPTIONS, colours_as_seen
from matcher.errors import BadInput
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.materials.colours.cielab import hex_from_lab
from matcher.materials.colours.colour import parse_colour
from matcher.materials.colours.vision import DEFICIENCIES, SIGHTS, as_seen
from matcher.store.catalogue.catalogue import load_catalogue

FABRIC = load_catalogue().fabric
GAUGE = Gauge(20.0, 25.0, 2.1)  # stitches of 5 by 4 mm
HAT = Fitted(
    GAUGE, 8, 4, 2, 0,
    (
        FittedPart("rib", "rib", 8, 8, 2, "main"),
        FittedPart("motif", "stranded", 8, 8, 2, None, ("x.o.", ".xxx")),
        FittedPart("crown", "stocking", 8, 2, 4, "main", shape="crown"),
    ),
    {".": "main", "x": "contrast 1", "o": "contrast 2"}, 40.0, 42.0, -2.0, 0.0,
)  # fmt: skip
CODES = {"main": "#1f2a4a", "contrast 1": "#efe6d0", "contrast 2": "#c8992b"}
COLOURS = {role: parse_colour(code, {}) for role, code in CODES.items()}
NAVY, CREAM, MUSTARD = CODES.values()


def _rows(stitches):
    """Codes from left to right by row, bottom row first."""
    rows: dict[float, list] = {}
    for one in stitches:
        rows.setdefault(round(one.middle[1] / 4), []).append(one)
    return [[one.fill for one in sorted(rows[y], key=lambda one: one.middle[0])] for y in sorted(rows, reverse=True)]


def test_exactly_the_front_half_of_every_round_is_drawn(seen_in):
    """By hand: rib 2 x 4, motif 2 x 4 as its rows read, crown 6, 6, 4, 2 stitches round: 3, 3, 2, 1 seen."""
    assert _rows(seen_in(flat_scene(HAT, COLOURS, FABRIC))) == [
        [NAVY] * 4,
        [NAVY] * 4,
        [CREAM, NAVY, MUSTARD, NAVY],
        [NAVY, CREAM, CREAM, CREAM],
        [NAVY] * 3,
        [NAVY] * 3,
        [NAVY] * 2,
        [NAVY],
    ]


def test_of_an_odd_round_the_middle_stitch_is_seen(seen_in):
    odd = replace(HAT, parts=(FittedPart("tube", "stocking", 9, 9, 1, "main"),))
    assert len(seen_in(flat_scene(odd, COLOURS, FABRIC))) == 5


def test_stitches_have_the_gauges_width_and_height(seen_in):
    tube = replace(HAT, parts=(FittedPart("tube", "stocking", 8, 8, 3, "main"),))
    places = sorted(one.middle for one in seen_in(flat_scene(tube, COLOURS, FABRIC)))
    assert places[3][0] - places[0][0] == pytest.approx(5.0, abs=0.02)
    assert places[1][1] - places[0][1] == pytest.approx(4.0, abs=0.02)


def test_a_crown_narrows_towards_the_middle(seen_in):
    """Each row lies within the one below it, and its columns stand on the columns there."""
    crown = replace(HAT, parts=(FittedPart("crown", "stocking", 60, 6, 20, "main", shape="crown"),))
    rows: dict[int, list[float]] = {}
    for one in seen_in(flat_scene(crown, COLOURS, FABRIC)):
        rows.setdefault(round(one.middle[1] / 4), []).append(one.middle[0])
    bottom_up = [sorted(rows[y]) for y in sorted(rows, reverse=True)]
    middle = (bottom_up[0][0] + bottom_up[0][-1]) / 2
    for below, above in pairwise(bottom_up):
        assert below[0] - 0.02 <= above[0]
        assert above[-1] <= below[-1] + 0.02
        assert abs((above[0] + above[-1]) / 2 - middle) <= 2.5 + 0.02
        assert ((above[0] - below[0]) / 5) % 1 == pytest.approx(0, abs=0.01) or ((above[0] - below[0]) / 5) % 1 > 0.99


def test_rib_has_knit_and_purl_columns_and_garter_rows(seen_in):
    """A purl stitch has another outline; two and two in rib, every second row in garter."""

    def outlines(structure):
        part = FittedPart("part", structure, 16, 16, 8, "main")
        found = seen_in(flat_scene(replace(HAT, parts=(part,)), COLOURS, FABRIC))
        rows = [found[start : start + 8] for start in range(0, 64, 8)]
        return [[len(one.points) for one in row] for row in rows]

    (knit,) = {count for row in outlines("stocking") for count in row}
    rib = outlines("rib")
    assert all(row == rib[0] for row in rib)
    assert [count == knit for count in rib[0]] == [True, True, False, False] * 2
    assert [row[0] == knit for row in outlines("garter")] == [True, False] * 4


def test_every_structure_of_the_catalogue_can_be_drawn(seen_in):
    for structure in FABRIC.structures:
        part = FittedPart("part", structure, 16, 16, 8, "main")
        assert len(seen_in(flat_scene(replace(HAT, parts=(part,)), COLOURS, FABRIC))) == 64


def test_a_pair_and_its_thumbs(seen_in, words_in):
    thumb = FittedPart("thumb", "stocking", 5, 5, 3, "contrast 1")
    pair = replace(HAT, pieces=2, extra=((thumb, 2),))
    scene = flat_scene(pair, COLOURS, FABRIC)
    assert words_in(scene) == ["Two alike; one is shown.", "Beside it: thumb."]
    seen = Counter(one.fill for one in seen_in(scene))
    alone = Counter(one.fill for one in seen_in(flat_scene(HAT, COLOURS, FABRIC)))
    assert seen - alone == {CREAM: 3 * 3}
    right = max(one.middle[0] for one in seen_in(flat_scene(HAT, COLOURS, FABRIC)))
    assert sum(one.middle[0] > right + 5 for one in seen_in(scene)) == 9


def test_svg_and_png_agree_at_every_stitch(pixels_agree):
    painted = COLOURS | {
        "main": parse_colour("#a8304f 40%, #e9b7c0 35%, #5b2a4a 25%", {}),
        "contrast 2": parse_colour("heather #6b7f4a 60%, #d9d2b8 40%", {}),
    }
    flap = FittedPart("flap", "garter", 5, 5, 6, "contrast 2", shape="flat")
    # By hand: the flap lies open, with 6 rows of 5 stitches.
    assert pixels_agree(flat_scene(replace(HAT, extra=((flap, 1),)), painted, FABRIC), 3) == 25 + 30


def test_the_same_bytes_every_time():
    painted = COLOURS | {"main": parse_colour("#a8304f 40%, #e9b7c0 60%", {})}
    assert svg(flat_scene(HAT, painted, FABRIC)) == svg(flat_scene(HAT, painted, FABRIC))
    assert png(flat_scene(HAT, painted, FABRIC), 2) == png(flat_scene(HAT, painted, FABRIC), 2)


def test_grey_and_deficiencies_are_those_of_vision(seen_in, matrices):
    found = colours_as_seen(COLOURS, matrices)
    assert list(found) == ["daylight", "grey", "protan", "deutan", "tritan"]
    labs = np.array([colour.parts[0][0] for colour in COLOURS.values()])
    for sight, seen in zip(SIGHTS, as_seen(labs, matrices), strict=True):
        expected = {role: hex_from_lab(tuple(lab)) for role, lab in zip(COLOURS, seen.tolist(), strict=True)}
        assert {role: colour.codes()[0] for role, colour in found[sight].items()} == expected
        shown = {one.fill for one in seen_in(flat_scene(HAT, found[sight], FABRIC))}
        assert shown == set(expected.values())
    for role, colour in found["grey"].items():
        code = colour.codes()[0]
        assert code[1:3] == code[3:5] == code[5:7]
        assert colour.parts[0][0][0] == COLOURS[role].parts[0][0][0]


def test_white_knitting_is_seen_on_white_paper_as_small_as_a_list_shows_it():
    """Its edge goes all round, past every step: each line across meets it at either side."""
    white = dict.fromkeys(CODES, parse_colour("#ffffff", {}))
    scene = small_scene(HAT, white, FABRIC)
    grey = np.asarray(Image.open(BytesIO(png(scene, 320 / max(scene.width, scene.height)))).convert("L"))
    low, high = np.nonzero((grey < 190).any(axis=1))[0][[0, -1]]
    assert high - low > 0.5 * len(grey)
    for row in grey[low + 2 : high - 1]:
        assert (row < 225).sum() >= 2


def test_a_heather_is_mixed_before_it_is_looked_at(matrices):
    """The eye mixes the fibres' light; matrices on linear light give the same either way, grey by L* does not."""
    heather = parse_colour("heather #b3262e, #8fb3cf", {})
    ((mean, _),) = heather.stitches()
    found = colours_as_seen({"main": heather}, matrices)
    assert found["grey"]["main"].parts == (((mean[0], 0.0, 0.0), 1.0),)
    assert found["daylight"]["main"].codes() == (hex_from_lab(mean),)


def test_a_variegated_yarn_keeps_its_order_in_every_sight(seen_in, matrices):
    painted = COLOURS | {"main": parse_colour("#a8304f 40%, #e9b7c0 35%, #5b2a4a 25%", {})}
    by_sight = [
        [one.fill for one in seen_in(flat_scene(HAT, colours, FABRIC))]
        for colours in colours_as_seen(painted, matrices).values()
    ]
    for other in by_sight[1:]:
        assert len(set(zip(by_sight[0], other, strict=True))) == len(set(by_sight[0]))


def test_five_sights_side_by_side_have_captions_and_all_stitches(seen_in, words_in, matrices):
    scene = sights_scene(HAT, COLOURS, matrices, FABRIC)
    assert len(seen_in(scene)) == 5 * 25
    assert words_in(scene) == [line for caption in CAPTIONS.values() for line in str(caption).split("\n")]
    assert set(CAPTIONS) == {"grey", "daylight", *DEFICIENCIES}


def test_captions_stand_below_their_pictures():
    one = flat_scene(HAT, COLOURS, FABRIC)
    both = captioned([("short", one), ("a caption that is\non two lines", one)])
    assert both.height > one.height
    assert all(one.height < label.y < both.height for label in both.labels)


def test_a_hat_in_five_sights_is_a_small_file(matrices):
    """60 by 70 visible stitches: under 3 MB, one shape a stitch."""
    rows = tuple(("x.o.x", "..oo.", "x...x")[number % 3] for number in range(40))
    hat = replace(
        HAT,
        parts=(
            FittedPart("rib", "rib", 120, 120, 30, "main"),
            FittedPart("motif", "stranded", 120, 120, 40, None, rows),
        ),
    )
    written = svg(sights_scene(hat, COLOURS, matrices, FABRIC))
    assert written.count('class="stitch"') == 5 * 60 * 70
    assert len(written.encode()) < 3_000_000


def test_a_role_without_a_colour_is_named():
    with pytest.raises(BadInput, match="contrast 2"):
        flat_scene(HAT, {role: colour for role, colour in COLOURS.items() if role != "contrast 2"}, FABRIC)


def test_more_stitches_than_a_picture_shows_are_refused():
    vast = replace(HAT, parts=(FittedPart("tube", "stocking", 1000, 1000, 1000, "main"),))
    with pytest.raises(BadInput, match="too many stitches"):
        flat_scene(vast, COLOURS, FABRIC)
