"""What is left of a motif's colours at a distance: what must hold of every motif, gauge and pair of colours."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.materials.colours.cielab import lab_from_code, lab_from_srgb
from matcher.materials.colours.difference import ciede2000
from matcher.materials.colours.distance import Grid, elements, remains, roles_of, seen, view
from matcher.materials.colours.eye import angle_deg, blurred
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
RULES = CATALOGUE.spatial
MOTIFS = {key: roles_of(motif.grid, list(motif.roles)) for key, motif in CATALOGUE.motifs.items()}
GAUGES = [(14, 19), (22, 29), (32, 42)]
DK = (10 / 22, 10 / 29)
# Plain colours that yarn comes in, from cream to dark brown.
YARN_LABS = np.array(
    [
        lab_from_code(code)
        for code in (
            *("efe6d0", "d9d2b8", "7f8285", "3d4044", "1b1b1d", "1f2a4a", "1f5563", "27696b", "2f9aa0", "8fb3cf"),
            *("9c4a24", "c8992b", "b3262e", "e24f92", "e9b7c0", "5b2a4a", "6b7f4a", "3f6b2a", "4f9a4a", "46322a"),
        )
    ]
)
OPPONENT = RULES.opponent(YARN_LABS)
GRIDS = st.integers(2, 6).flatmap(
    lambda width: st.lists(st.lists(st.integers(0, 1), min_size=width, max_size=width), min_size=1, max_size=6)
).map(lambda rows: np.array(rows, dtype=np.intp)).filter(lambda grid: 0 < grid.sum() < grid.size)  # fmt: skip
DISTANCES_M = RULES.distances_m
DISTANCES = st.sampled_from(DISTANCES_M)


def shares(grid: Grid, metres: float, stitch_cm: tuple[float, float] = DK) -> np.ndarray:
    return view(grid, stitch_cm, metres, RULES).shares(1, 0)


def kept(grid: Grid, metres: float, stitch_cm: tuple[float, float] = DK) -> np.ndarray:
    return np.subtract(*shares(grid, metres, stitch_cm))


# What a motif keeps ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", MOTIFS)
def test_what_is_kept_is_a_share_and_hue_goes_first(key: str):
    for stitches, rows in GAUGES:
        for metres in RULES.distances_m:
            light, red, blue = kept(MOTIFS[key], metres, (10 / stitches, 10 / rows))
            assert 1.0 >= light >= red > 0.0
            assert light >= blue > 0.0


@pytest.mark.parametrize("key", MOTIFS)
def test_from_further_away_less_is_kept(key: str):
    """Within 0.015: the filters are cut to a square of one degree, whose edge lets a little more through again."""
    for stitches, rows in GAUGES[::2]:
        found = [kept(MOTIFS[key], metres, (10 / stitches, 10 / rows)) for metres in np.geomspace(0.2, 20, 30)]
        assert np.diff(found, axis=0).max() < 0.015
        assert (found[0] > found[-1] + 0.3).all()


@pytest.mark.parametrize("metres", RULES.distances_m)
def test_a_finer_gauge_is_a_longer_distance(metres: float):
    for grid in MOTIFS.values():
        assert kept(grid, metres, (10 / 28, 10 / 37)) == pytest.approx(
            kept(grid, metres * 28 / 14, (10 / 14, 20 / 37)), abs=0.005
        )


@pytest.mark.parametrize("metres", RULES.distances_m)
def test_single_stitches_blur_before_small_checks_and_those_before_diamonds(metres: float):
    single = kept(roles_of(["x.", ".x"], ".x"), metres)
    checks, diamonds = kept(MOTIFS["checks"], metres), kept(MOTIFS["little-diamonds"], metres)
    assert (single <= checks).all()
    assert (checks <= diamonds).all()
    assert (single[1:] < diamonds[1:] - 0.05).all()


def test_single_stitches_and_diamonds_of_one_yoke_are_told_apart():
    """Across a room the diamonds keep their hue better than the single stitches between them, by a third at least."""
    grid = MOTIFS["yoke-two"]
    far = view(grid, DK, RULES.across_a_room_m, RULES)
    by_size = {one.stitches: np.subtract(*far.shares(1, 0, one.cells)) for one in elements(grid, 1)}
    assert set(by_size) >= {1, 13}
    assert (by_size[13][1:] > 1.33 * by_size[1][1:]).all()
    assert by_size[13][0] > by_size[1][0] > 0.75


def test_an_element_is_compared_with_the_stitches_that_touch_it():
    """A dot in a corner of the ground: the eight stitches round it count, and not the large block further off."""
    grid = roles_of(["........", ".x......", "........", "....xxxx", "....xxxx", "....xxxx"], ".x")
    found = view(grid, DK, 3.0, RULES)
    dot = next(one for one in elements(grid, 1) if one.stitches == 1)
    own = found.mixed[:, 1]
    around = [own[:, row, column] for row in (0, 1, 2) for column in (0, 1, 2) if (row, column) != (1, 1)]
    assert found.shares(1, 0, dot.cells) == pytest.approx(np.array([own[:, 1, 1], np.mean(around, axis=0)]), abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(GRIDS, DISTANCES)
def test_mirrored_turned_and_repeated_motifs_are_alike(grid: Grid, metres: float):
    plain = shares(grid, metres)
    turned = np.roll(grid, (1, 2), axis=(0, 1))
    for other in (grid[::-1], grid[:, ::-1], turned, np.tile(grid, (2, 3))):
        assert shares(other, metres) == pytest.approx(plain, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(GRIDS, DISTANCES)
def test_it_does_not_matter_which_role_is_asked_first(grid: Grid, metres: float):
    found = view(grid, DK, metres, RULES)
    assert found.shares(0, 1) == pytest.approx(1.0 - found.shares(1, 0)[::-1], abs=1e-12)
    one, other = OPPONENT[:10], OPPONENT[10:]
    there = remains(one, other, found.shares(1, 0)[None], RULES)
    back = remains(other, one, found.shares(0, 1)[None], RULES)
    assert there[0] == pytest.approx(back[0], abs=1e-6)
    assert there[1] == pytest.approx(back[1], abs=1e-9)


@pytest.mark.parametrize("key", ["yoke-five", "bands-three", "split-diamonds"])
def test_what_each_role_counts_for_makes_one(key: str):
    for metres in RULES.distances_m:
        assert view(MOTIFS[key], DK, metres, RULES).mixed.sum(axis=1) == pytest.approx(1.0, abs=1e-12)


def test_a_third_colour_counts_half_for_either_side():
    """Stripes 0 1 2: seen from 0 and 1 the stripe of 2 is half of each, whichever way round they are asked for."""
    grid = roles_of(["..", "xx", "oo"], ".xo")
    found = view(grid, DK, 3.0, RULES)
    assert found.shares(1, 0) == pytest.approx(1.0 - found.shares(0, 1)[::-1], abs=1e-12)
    own, other = found.shares(1, 0)
    assert own - 0.5 == pytest.approx(0.5 - other, abs=1e-12)
    assert found.shares(1, 0) == pytest.approx(found.shares(2, 1), abs=1e-12)


# What is left of colours ----------------------------------------------------------------------------------


def left(grid: Grid, opponent: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Of every colour as the motif on every other as its ground, at the three distances: arrays (3, n, n)."""
    at = np.stack([shares(grid, metres) for metres in RULES.distances_m])
    return remains(opponent[:, None], opponent[None], at, RULES)


@pytest.mark.parametrize("key", ["seeds", "little-diamonds", "lattice", "even-stripes"])
def test_no_difference_grows_with_the_distance(key: str):
    """The bound that a search may rest on: side by side two colours differ the most. Of any colours of a screen."""
    labs = lab_from_srgb(np.random.default_rng(12).uniform(0, 1, (150, 3)))
    delta_e, delta_l = left(MOTIFS[key], RULES.opponent(labs))
    assert (delta_e[0] <= ciede2000(labs[:, None], labs[None]) + 1e-9).all()
    assert (delta_l[0] <= np.abs(labs[:, None, 0] - labs[None, :, 0]) + 1e-9).all()
    assert (np.diff(delta_e, axis=0) <= 0).all()
    assert (np.diff(delta_l, axis=0) <= 0).all()


@pytest.mark.parametrize("key", ["seeds", "checks", "little-diamonds", "lattice", "dots", "even-stripes"])
def test_the_filters_alone_lessen_the_difference_of_most_yarns(key: str):
    """Each distance by itself: a few grow from one to the next, by 5.5 of CIEDE2000 at most, 1.5 of L*: dark on vivid."""
    found = [remains(OPPONENT[:, None], OPPONENT[None], shares(MOTIFS[key], one)[None], RULES) for one in DISTANCES_M]
    for (near_e, near_l), (far_e, far_l) in pairwise(found):
        assert (far_e <= near_e + 5.5).all()
        assert (far_l <= near_l + 1.5).all()
        assert (far_e <= near_e)[near_e > 0].mean() > 0.8
        assert far_e.mean() < 0.95 * near_e.mean()


def test_the_view_and_the_shares_agree():
    """In two colours, the mean of the stitches in the picture is what the shares say, channel by channel."""
    grid, pair = MOTIFS["crosses"], np.array([2, 12])
    picture = RULES.opponent(seen(grid, YARN_LABS[pair], DK, 3.0, RULES))
    ground, figure = OPPONENT[pair]
    for cells, share in zip((grid == 1, grid == 0), shares(grid, 3.0), strict=True):
        assert picture[cells].mean(axis=0) == pytest.approx(ground + share * (figure - ground), abs=1e-9)


def test_pink_on_green_of_one_lightness_reads_by_its_hue_alone():
    """Side by side about 70 apart, with no lightness at all between them; single stitches lose more of it than diamonds."""
    pink, green = YARN_LABS[[13, 18]]
    assert abs(pink[0] - green[0]) < 2
    pair = RULES.opponent(np.array([green, pink]))
    fine, large = (left(MOTIFS[key], pair)[0][:, 1, 0] for key in ("seeds", "little-diamonds"))
    assert fine == pytest.approx([59, 52, 29], abs=1)
    assert large == pytest.approx([66, 58, 41], abs=1)


# The picture ----------------------------------------------------------------------------------------------


def test_at_arms_length_the_picture_is_the_chart_and_from_afar_one_colour():
    grid, labs = MOTIFS["checks"], YARN_LABS[[0, 6]]
    near, far = (seen(grid, labs, DK, metres, RULES, samples=3) for metres in (0.05, 60.0))
    assert near[1::3, 1::3] == pytest.approx(labs[grid], abs=1e-6)
    mean = RULES.lab(RULES.opponent(labs).mean(axis=0))
    assert far == pytest.approx(np.broadcast_to(mean, far.shape), abs=1.5)


# Elements -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "sizes"),
    [
        ("seeds", [(1, 1, 1)] * 2),
        ("checks", [(8, 4, 4)]),  # they touch at their corners
        ("columns", [(4, 2, 2)]),
        ("little-diamonds", [(13, 5, 5)]),
        ("dotted-diamonds", [(1, 1, 1), (1, 1, 1), (14, 8, 8)]),
        ("narrow-stripes", [(4, 2, 2)]),
        ("crosses", [(5, 3, 3)] * 2),
    ],
)
def test_elements_of_the_catalogue(key: str, sizes: list[tuple[int, int, int]]):
    found = [(one.stitches, one.columns, one.rows) for one in elements(MOTIFS[key], 1)]
    assert sorted(found) == sorted(sizes)


@settings(max_examples=60, deadline=None)
@given(GRIDS)
def test_every_stitch_of_a_role_is_in_one_element(grid: Grid):
    found = list(elements(grid, 1))
    assert (sum(one.cells.astype(int) for one in found) == grid).all()
    assert [int(one.cells.sum()) for one in found] == [one.stitches for one in found]


def test_the_size_of_an_element_is_its_smaller_side():
    diamond = next(elements(MOTIFS["little-diamonds"], 1))
    assert diamond.least_deg(DK, 1.0) == pytest.approx(angle_deg(5 * 10 / 29, 1.0))
    single = next(elements(MOTIFS["seeds"], 1))
    assert single.least_deg((0.3, 0.4), 2.0) == pytest.approx(angle_deg(0.3, 2.0))


def test_a_mark_that_names_no_role():
    with pytest.raises(ValueError):
        roles_of(["x?"], ".x")


def test_a_large_grid_of_her_own_is_quick_enough():
    """400 by 400 stitches, the largest that is read: no more memory than a few grids, and done at once."""
    grid = np.random.default_rng(4).integers(0, 2, (400, 400))
    assert blurred((grid == 1)[None].astype(float), (0.1, 0.07), RULES).shape == (3, 1, 400, 400)
