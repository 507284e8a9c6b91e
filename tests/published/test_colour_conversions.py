"""sRGB to CIELAB and back against colour-science, on 10,000 random colours.

Sources: IEC 61966-2-1 (sRGB) and CIE 15 (CIELAB), as implemented by colour-science 0.4 (a test dependency).

Tolerance. Both use the matrix of IEC 61966-2-1 with its four decimals and the same transfer curve. They differ in
the white: colour-science takes the chromaticity x 0.3127, y 0.3290, this project the sum of the matrix's rows, so
that #ffffff has no tint. The two whites differ by 0.000044 in X and 0.000058 in Z. Measured on 10,000 colours: L*
agrees to rounding, a* within 0.0076, b* within 0.0036, which is at most 0.011 CIEDE2000; the way back within 0.001
of a channel, a quarter of one step of a hex code. D50 in place of D65 would be off by 5 units as a rule.
"""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from matcher.materials.colours.cielab import (
    hex_from_lab,
    lab_from_linear,
    lab_from_srgb,
    linear_from_srgb,
    srgb_from_lab,
    srgb_from_linear,
)
from matcher.materials.colours.difference import ciede2000

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message=".*[Mm]atplotlib.*")
    import colour

WHITES = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
TOLERANCE = np.array([1e-9, 0.008, 0.004])  # L*, a*, b*
CHANNEL = 0.00125
RGB = np.random.default_rng(1931).uniform(0, 1, (10_000, 3))


def theirs(srgb: np.ndarray, white: str = "D65") -> np.ndarray:
    return colour.XYZ_to_Lab(colour.sRGB_to_XYZ(srgb), WHITES[white])


def test_lab_of_ten_thousand_colours():
    assert (np.abs(lab_from_srgb(RGB) - theirs(RGB)) <= TOLERANCE).all()


def test_dark_colours_where_both_curves_are_straight_lines():
    dark = RGB * 0.05
    assert (np.abs(lab_from_srgb(dark) - theirs(dark)) <= TOLERANCE).all()


def test_srgb_of_ten_thousand_colours():
    back = colour.XYZ_to_sRGB(colour.Lab_to_XYZ(theirs(RGB), WHITES["D65"]))
    assert np.abs(srgb_from_lab(theirs(RGB)) - back).max() <= CHANNEL


def test_the_transfer_curve_of_srgb_both_ways():
    linear = colour.models.eotf_sRGB(RGB)
    assert linear_from_srgb(RGB) == pytest.approx(linear, abs=1e-12)
    assert srgb_from_linear(linear) == pytest.approx(RGB, abs=1e-7)


def test_the_way_there_and_back_is_closed():
    assert srgb_from_lab(lab_from_srgb(RGB)) == pytest.approx(RGB, abs=1e-9)


def test_every_grey_code_comes_back_and_has_no_tint():
    for step in range(256):
        lab = lab_from_srgb(np.full(3, step / 255))
        assert np.abs(lab[1:]).max() < 1e-9
        assert hex_from_lab((float(lab[0]), float(lab[1]), float(lab[2]))) == "#" + 3 * f"{step:02x}"
    assert lab[0] == pytest.approx(100.0)


@pytest.mark.parametrize("white", ["D50", "D55", "D75", "C", "E"])
def test_another_white_would_be_caught(white: str):
    """CIELAB with any other usual white lies outside the tolerance for all but the darkest colours."""
    wrong = np.abs(theirs(RGB, white) - theirs(RGB)) > TOLERANCE
    bright = theirs(RGB)[:, 0] > 5
    assert wrong.any(axis=1)[bright].all()
    apart = ciede2000(theirs(RGB[:50]), theirs(RGB[:50], white))
    assert np.median(apart) > 100 * 0.011


def test_srgb_that_runs_to_255_would_be_caught():
    assert lab_from_srgb(255 * RGB)[:, 0].min() > 100


def test_colours_that_no_screen_shows_are_clipped_not_wrapped():
    green = lab_from_linear(np.array([-0.2, 1.0, -0.1]))
    assert srgb_from_lab(green) == pytest.approx([0.0, 1.0, 0.0], abs=1e-6)
