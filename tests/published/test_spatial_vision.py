"""The spatial extension of CIELAB against what is published; each row of `spatial_vision.csv` names its source.

Brute force: the kernel as a square of pixels laid on the cells, no separation, no error function. Pixels are 0.0025
degrees and their edges fall on those of the cells, so that the sum is within 0.0003 of the integral.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from matcher.materials.colours.difference import ciede2000
from matcher.materials.colours.distance import remains, roles_of, seen, view
from matcher.materials.colours.eye import CHANNELS, SpatialRules, angle_deg, blurred
from matcher.store.catalogue.catalogue import load_catalogue

RULES = load_catalogue().spatial
with Path(__file__).with_name("spatial_vision.csv").open(encoding="utf-8", newline="") as file:
    PUBLISHED = {row["key"]: float(row["value"]) for row in csv.DictReader(file)}
CUTOFF = (PUBLISHED["colour_cutoff_from"], PUBLISHED["colour_cutoff_to"])
LABS = np.array([(50.0, 0.0, 0.0), (40.0, 55.0, 32.0), (45.0, -35.0, 30.0), (18.0, 6.0, -21.0), (90.0, 0.0, 9.0)])


@pytest.mark.parametrize("key", [key for key in PUBLISHED if hasattr(RULES, key)])
def test_the_catalogue_holds_the_published_figures(key: str):
    assert getattr(RULES, key) == PUBLISHED[key]


def test_all_but_the_distances_is_published():
    own = {"in_the_hand_m", "across_a_table_m", "across_a_room_m"}
    assert set(SpatialRules.__dataclass_fields__) - own == {key for key in PUBLISHED if hasattr(RULES, key)}


def test_the_angle_of_a_stitch():
    for metres in (1, 3):
        assert 60 * angle_deg(10 / 22, metres) == pytest.approx(PUBLISHED[f"stitch_at_{metres}_m"], abs=0.05)


# The filters ----------------------------------------------------------------------------------------------


def test_weights_sum_to_one():
    assert len(RULES.kernels) == len(CHANNELS)
    for kernels in RULES.kernels:
        assert sum(weight for _, weight in kernels) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("cell_deg", [(0.004, 0.003), (0.09, 0.07), (0.26, 0.2), (0.65, 0.5), (3.0, 2.0)])
@pytest.mark.parametrize("samples", [1, 3])
def test_the_filters_integrate_to_one(cell_deg: tuple[float, float], samples: int):
    assert blurred(np.ones((1, 3, 4)), cell_deg, RULES, samples) == pytest.approx(1.0, abs=1e-12)


def test_a_width_is_the_full_width_at_half_height():
    """One narrow line seen through one Gaussian alone: at half its width beside the line, half of the peak is left."""
    line = np.zeros((1, 1, 1400))
    line[0, 0, 700] = 1.0
    for channel, name in enumerate(("light", "red_green", "blue_yellow")):
        width = getattr(RULES, f"{name}_1_deg")
        alone = {f"{name}_{number}_weight": 0.0 for number in (2, 3) if hasattr(RULES, f"{name}_{number}_weight")}
        one = replace(RULES, **{f"{name}_1_weight": 1.0, **alone})
        profile = blurred(line, (width / 100, 1.0), one)[channel, 0, 0]
        assert profile[750] == pytest.approx(profile[700] / 2, rel=1e-3)


def by_brute_force(masks: np.ndarray, cell_deg: tuple[float, float], row: int, column: int) -> np.ndarray:
    """What the eye makes of the centre of one cell: array (3, k). Pixels must divide half a cell."""
    pixel, half = 0.0025, RULES.cut_deg / 2
    offsets = (np.arange(round(2 * half / pixel)) + 0.5) * pixel - half
    columns = np.floor((offsets + (column + 0.5) * cell_deg[0]) / cell_deg[0]).astype(int) % masks.shape[2]
    rows = np.floor((offsets + (row + 0.5) * cell_deg[1]) / cell_deg[1]).astype(int) % masks.shape[1]
    under = masks[:, rows[:, None], columns[None, :]]
    squared = offsets[:, None] ** 2 + offsets[None, :] ** 2
    found = []
    for kernels in RULES.kernels:
        kernel = np.zeros_like(squared)
        for width, weight in kernels:
            gauss = 0.5 ** (4 * squared / width**2)
            kernel += weight * gauss / gauss.sum()
        found.append((under * kernel).sum(axis=(1, 2)))
    return np.array(found)


@pytest.mark.parametrize("cell_deg", [(0.1, 0.07), (0.06, 0.045), (0.3, 0.25), (1.2, 0.9)])
@pytest.mark.parametrize("shape", [(5, 4), (1, 2), (3, 1)])
def test_the_same_by_brute_force(cell_deg: tuple[float, float], shape: tuple[int, int]):
    rng = np.random.default_rng(1997)
    masks = rng.uniform(0, 1, (2, *shape))
    ours = blurred(masks, cell_deg, RULES)
    for row in range(shape[0]):
        for column in range(shape[1]):
            assert ours[:, :, row, column] == pytest.approx(by_brute_force(masks, cell_deg, row, column), abs=3e-4)


def test_more_points_in_a_stitch_show_the_same_picture():
    """Of three points along a side the middle one is the centre; two grids of half the stitches show the same."""
    rng = np.random.default_rng(5)
    masks = rng.uniform(0, 1, (1, 4, 3))
    fine = blurred(masks, (0.1, 0.07), RULES, samples=3)
    assert fine[..., 1::3, 1::3] == pytest.approx(blurred(masks, (0.1, 0.07), RULES), abs=1e-12)
    halves = masks.repeat(2, axis=1).repeat(2, axis=2)
    assert blurred(masks, (0.1, 0.07), RULES, samples=2) == pytest.approx(blurred(halves, (0.05, 0.035), RULES))


# The colours ----------------------------------------------------------------------------------------------


def test_opponent_channels_lead_back_to_the_colour():
    assert RULES.lab(RULES.opponent(LABS)) == pytest.approx(LABS, abs=1e-9)


def test_white_has_hardly_any_hue_in_the_published_matrix():
    """With a minus sign at `o2_z`, as some programs have it, white would be a quarter green."""
    white = np.array([0.9505, 1.0, 1.089])
    published = np.array([[PUBLISHED[f"o{channel}_{axis}"] for axis in "xyz"] for channel in (1, 2, 3)]) @ white
    assert np.abs(published[1:] / published[0]).max() < 0.07
    assert RULES.opponent(np.array([100.0, 0.0, 0.0])) == pytest.approx([published[0], 0.0, 0.0], abs=1e-4)


def test_uniform_patches_give_plain_differences():
    """A colour that fills the view is that colour; two of them differ by their CIEDE2000 and L*."""
    for lab in LABS:
        plain = seen(np.zeros((2, 3), dtype=np.intp), lab[None], (0.45, 0.34), 1.0, RULES, samples=2)
        assert plain == pytest.approx(np.broadcast_to(lab, plain.shape), abs=1e-6)
    close = view(roles_of(["x.", "x."], ".x"), (0.45, 0.34), 0.01, RULES).shares(1, 0)
    assert close == pytest.approx(np.array([[1, 1, 1], [0, 0, 0]]), abs=1e-9)
    opponent = RULES.opponent(LABS)
    delta_e, delta_l = remains(opponent[:, None], opponent[None], close[None], RULES)
    assert delta_e[0] == pytest.approx(ciede2000(LABS[:, None], LABS[None]), abs=1e-6)
    assert delta_l[0] == pytest.approx(np.abs(LABS[:, None, 0] - LABS[None, :, 0]), abs=1e-6)


def grating(cycles_per_deg: float) -> np.ndarray:
    """Shares of two colours in upright stripes of that many pairs a degree."""
    wide = 1 / (2 * cycles_per_deg)
    at_1_m = 2 * 100 * np.tan(np.radians(wide) / 2)
    return view(roles_of(["x."], ".x"), (at_1_m, at_1_m), 1.0, RULES).shares(1, 0)


@pytest.mark.parametrize("cycles", CUTOFF)
def test_a_grating_beyond_the_cutoff_of_colour_keeps_lightness_and_loses_hue(cycles: float):
    shares = grating(cycles)
    kept = np.subtract(*shares)
    assert kept[0] > 0.35, "a third of the lightness is left: eyes resolve far finer stripes of light and dark"
    assert kept[1] < 0.11
    assert kept[2] < 0.03
    greys = RULES.opponent(np.array([(40.0, 0.0, 0.0), (70.0, 0.0, 0.0)]))
    assert remains(greys[0], greys[1], shares[None], RULES)[1] > 10
    # Two colours that differ in the hue channels alone: 66 apart side by side, 15 and 11 in stripes at the cut-off.
    hues = np.array([(0.2, 0.05, 0.02), (0.2, -0.05, -0.02)])
    plain = float(ciede2000(*RULES.lab(hues)))
    delta_e, delta_l = remains(hues[0], hues[1], shares[None], RULES)
    assert plain > 50
    assert delta_e < plain / 4
    assert delta_l < 2


def test_a_coarse_grating_keeps_its_hue():
    assert (np.subtract(*grating(0.5)) > 0.9).all()
    assert (np.subtract(*grating(2.0)) > 0.5).all()


def test_a_fine_grating_loses_all():
    assert np.subtract(*grating(60.0)) == pytest.approx(0.0, abs=0.01)


def test_hue_is_lost_before_lightness_at_every_width():
    for cycles in (1, 2, 4, 8, 16):
        light, red, blue = np.subtract(*grating(cycles))
        assert light > red > blue - 0.05


def test_a_pattern_in_greys_stays_grey():
    grid = roles_of(["x...", ".x..", "..oo", "..oo"], ".xo")
    labs = np.array([(92.0, 0.0, 0.0), (20.0, 0.0, 0.0), (55.0, 0.0, 0.0)])
    for metres in RULES.distances_m:
        assert seen(grid, labs, (0.45, 0.34), metres, RULES, samples=4)[..., 1:] == pytest.approx(0.0, abs=1e-6)
