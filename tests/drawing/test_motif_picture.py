"""A motif knitted and charted: every stitch once, at its place, in its colour, numbered as it is knitted."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.drawing.chart_marks import SYMBOLS, numbered, tints
from matcher.drawing.motif_picture import chart_scene, motif_scene
from matcher.drawing.scene import png, svg
from matcher.errors import BadInput
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import parse_colour

MOTIF = Motif("steps", "steps <b>&", ("x...", "xo..", ".oo."), {".": "main", "x": "contrast 1", "o": "contrast 2"})
CODES = {"main": "#1f2a4a", "contrast 1": "#efe6d0", "contrast 2": "#c8992b"}
COLOURS = {role: parse_colour(code, {}) for role, code in CODES.items()}


def _as_grid(stitches, columns):
    """Codes of the stitches by where they lie: top row first, from left to right."""
    ordered = sorted(stitches, key=lambda one: (round(one.middle[1], 1), one.middle[0]))
    return [[one.fill for one in ordered[start : start + columns]] for start in range(0, len(ordered), columns)]


@pytest.mark.parametrize("draw", [motif_scene, chart_scene])
def test_each_stitch_has_the_colour_of_its_role_at_its_place(seen_in, draw):
    navy, cream, mustard = CODES.values()
    assert _as_grid(seen_in(draw(MOTIF, COLOURS)), 4) == [
        [navy, mustard, mustard, navy],
        [cream, mustard, navy, navy],
        [cream, navy, navy, navy],
    ]


def test_repeats_stand_across_and_above(seen_in):
    grid = _as_grid(seen_in(motif_scene(MOTIF, COLOURS, repeats=(3, 2))), 12)
    once = _as_grid(seen_in(motif_scene(MOTIF, COLOURS)), 4)
    assert grid == [3 * row for row in once] * 2


@pytest.mark.parametrize("draw", [motif_scene, chart_scene])
@pytest.mark.parametrize(("stitches", "rows"), [(22.0, 29.0), (18.0, 26.0), (32.5, 41.0)])
def test_a_stitch_is_as_wide_and_high_as_the_gauge_says(seen_in, draw, stitches, rows):
    found = seen_in(draw(MOTIF, COLOURS, stitches, rows))
    xs = sorted({round(one.middle[0], 1) for one in found})
    ys = sorted({round(one.middle[1], 1) for one in found})
    assert [b - a for a, b in pairwise(xs)] == pytest.approx([100 / stitches] * 3, abs=0.11)
    assert [b - a for a, b in pairwise(ys)] == pytest.approx([100 / rows] * 2, abs=0.11)


@given(
    st.integers(1, 9).flatmap(
        lambda wide: st.lists(st.text(".xo", min_size=wide, max_size=wide), min_size=1, max_size=9)
    ),
    st.floats(2, 5),
)
@settings(deadline=None, max_examples=25)
def test_svg_and_png_agree_at_every_stitch(pixels_agree, grid, pixels_per_unit):
    motif = Motif("m", "m", tuple(grid), MOTIF.roles)
    assert pixels_agree(motif_scene(motif, COLOURS), pixels_per_unit) == sum(map(len, grid))


def test_a_heather_shows_its_mean_and_a_variegated_yarn_all_its_colours(seen_in):
    plain = Motif("plain", "plain", (30 * ".",) * 40, {".": "main"})
    heather = {
        stitch.fill for stitch in seen_in(motif_scene(plain, {"main": parse_colour("heather #000000, #ffffff", {})}))
    }
    # Half the light of white: 1.055 * 0.5 ** (1 / 2.4) - 0.055 = 0.7354, times 255 = 187.5 (IEC 61966-2-1).
    assert heather <= {"#bbbbbb", "#bcbcbc"}
    assert len(heather) == 1
    painted = parse_colour("#a8304f 50%, #e9b7c0 30%, #5b2a4a 20%", {})
    shown = Counter(stitch.fill for stitch in seen_in(motif_scene(plain, {"main": painted})))
    assert set(shown) == {"#a8304f", "#e9b7c0", "#5b2a4a"}
    # About 340 stretches: each share within four standard deviations, sqrt(0.25 / 340) = 0.027.
    for code, share in (("#a8304f", 0.5), ("#e9b7c0", 0.3), ("#5b2a4a", 0.2)):
        assert shown[code] / 1200 == pytest.approx(share, abs=0.11)


def test_the_same_picture_every_time():
    painted = COLOURS | {"main": parse_colour("#a8304f 50%, #e9b7c0 50%", {})}
    assert svg(motif_scene(MOTIF, painted)) == svg(motif_scene(MOTIF, painted))
    assert png(chart_scene(MOTIF, painted), 3) == png(chart_scene(MOTIF, painted), 3)


def test_rows_count_from_the_bottom_and_stitches_from_the_right():
    wide = Motif("w", "w", ("." * 25,) * 34, {".": "main"})
    scene = motif_scene(wide, None)
    rows = {label.text: label.y for label in scene.labels if label.anchor == "start" and label.text.isdigit()}
    below = {label.text: label.x for label in scene.labels if label.anchor == "middle"}
    assert list(rows) == ["1", "10", "20", "30", "34"]
    assert rows["1"] > rows["10"] > rows["34"]
    assert (rows["1"] - rows["10"]) / 9 == pytest.approx(100 / 29)
    assert list(below) == ["1", "10", "20", "25"]
    assert (below["1"] - below["10"]) / 9 == pytest.approx(100 / 22)
    assert not [label for label in motif_scene(wide, None, numbers=False).labels if label.text.isdigit()]


def test_a_ten_gives_way_to_the_last_number():
    assert numbered(1, 2) == [1]
    assert numbered(20, 2) == [1, 10, 20]
    assert numbered(21, 2) == [1, 10, 21]
    assert numbered(22, 2) == [1, 10, 20, 22]


def test_bold_lines_lie_every_ten_stitches_from_the_right(seen_in):
    wide = Motif("w", "w", ("." * 25,) * 12, {".": "main"})
    scene = chart_scene(wide, None, 20, 25)
    cells = seen_in(scene)
    right, bottom = max(one.middle[0] for one in cells) + 2.5, max(one.middle[1] for one in cells) + 2
    lines = seen_in(scene, "line")
    upright = {round((right - one.middle[0]) / 5, 2) for one in lines if one.points[1][0] - one.points[0][0] < 2}
    level = {round((bottom - one.middle[1]) / 4, 2) for one in lines if one.points[1][0] - one.points[0][0] > 2}
    assert upright == {0, 10, 20, 25}
    assert level == {0, 10, 12}


def test_every_role_has_a_symbol_of_its_own(seen_in):
    symbols = seen_in(chart_scene(MOTIF, COLOURS), "symbol")
    # By hand: two stitches of contrast 1, three of contrast 2, and one of each in the list below; main has none.
    assert len(symbols) == 2 + 3 + 2
    assert len({len(one.points) for one in symbols}) == 2
    assert len(set(SYMBOLS)) == len(SYMBOLS) >= 16
    assert all(max(abs(x), abs(y)) <= 0.5 for form in SYMBOLS for x, y in form)


def test_a_chart_reads_in_grey_print(seen_in):
    """A symbol is black on a light box and white on a dark one."""
    inks = Counter(
        one.fill for one in seen_in(chart_scene(MOTIF, COLOURS | {"contrast 2": parse_colour("#111111", {})}), "symbol")
    )
    assert inks == {"#000000": 3, "#ffffff": 4}


def test_without_colours_each_role_has_a_tint_well_apart(words_in):
    assert words_in(motif_scene(MOTIF, None, numbers=False)) == ["main", "contrast 1", "contrast 2"]
    for number in range(2, 6):
        grey = [colour.parts[0][0] for colour in tints([f"role {place}" for place in range(number)]).values()]
        assert all(abs(a[0] - b[0]) > 15 for a, b in combinations(grey, 2))
    many = tints([f"role {place}" for place in range(16)]).values()
    assert len({colour.codes() for colour in many}) == 16


def test_names_stand_in_the_list_as_they_are(words_in):
    words = words_in(chart_scene(MOTIF, COLOURS, names={"main": '<b>&" navy'}))
    assert words[-3:] == ['main: <b>&" navy', "contrast 1", "contrast 2"]


@pytest.mark.parametrize("draw", [motif_scene, chart_scene])
def test_a_role_without_a_colour_is_named(draw):
    with pytest.raises(BadInput, match="contrast 1 and contrast 2"):
        draw(MOTIF, {"main": COLOURS["main"]})


@pytest.mark.parametrize(
    ("gauge", "repeats"), [((0, 29), (1, 1)), ((22, -1), (1, 1)), ((22, 29), (0, 1)), ((22, 29), (999, 999))]
)
def test_what_cannot_be_drawn_is_refused(gauge, repeats):
    with pytest.raises(BadInput):
        motif_scene(MOTIF, COLOURS, *gauge, repeats=repeats)


def test_a_chart_as_large_as_the_catalogue_allows_still_has_one_box_a_stitch(seen_in):
    large = Motif("l", "l", ("x." * 32,) * 128, {".": "main", "x": "contrast 1"})
    assert len(seen_in(chart_scene(large, None))) == 64 * 128
