"""Errors of measurements on a scrap, against draws of the measuring itself."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.materials.clues import Weighed, thickness_weighed, thickness_wound
from matcher.store.catalogue.catalogue import load_catalogue

RULES = load_catalogue().identify


@pytest.mark.parametrize("wraps", [2.0, 5.0, 20.0])
def test_wraps_are_counted_to_the_half(wraps: float):
    """Wound by hands that differ, counted to the nearest half: the spread of what comes out is the stated one."""
    rng = np.random.default_rng(5)
    counted = wraps * rng.normal(1.0, RULES.wraps_sd_fraction, 40_000) + rng.uniform(-0.25, 0.25, 40_000)
    spread = np.log(counted[counted > 0.1]).std() / abs(RULES.wraps_power)  # wraps go with this power of tex
    assert thickness_wound(wraps, RULES).sd == pytest.approx(spread, rel=0.06)


@pytest.mark.parametrize(("length_m", "mass_g", "step_g"), [(12.0, 5.1, 0.1), (2.0, 1.0, 1.0), (30.0, 12.0, 1.0)])
def test_a_scale_shows_steps(length_m: float, mass_g: float, step_g: float):
    rng = np.random.default_rng(6)
    true_g = mass_g + rng.uniform(-step_g / 2, step_g / 2, 40_000)
    ratio = true_g / mass_g / rng.normal(1.0, RULES.length_sd_fraction, 40_000)
    found = thickness_weighed(Weighed(length_m, mass_g, step_g), RULES)
    assert np.exp(found.mean) == pytest.approx(1000 * mass_g / length_m)
    assert found.sd == pytest.approx(ratio.std(), rel=0.06)
