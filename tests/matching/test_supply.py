"""What pools bring to many needs at once is what the plain rules say of each."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.matching.ranking.score import leftover_value, use_value
from matcher.matching.ranking.supply import Supply
from matcher.materials.uncertain import margin


@pytest.mark.parametrize("least_z", [-0.5, 1.645])
def test_parts_and_reach_are_those_of_the_plain_rules(least_z: float) -> None:
    rng = np.random.default_rng(11)
    free, spread, usable = rng.uniform(20, 400, 60), rng.uniform(0.0, 0.4, 60), rng.uniform(5, 90, 60)
    free[:3], usable[:3] = 100.0, 60.0  # with the need of 40 m exactly what is still of use is left
    scarcity, count = rng.uniform(0, 1, 60), rng.integers(1, 4, 60).astype(float)
    count[:3] = 1.0
    need = np.array([40.0, 13.7, 170.0, 22.2]).reshape(2, 2, 1)
    variance = np.array([0.02, 0.02, 0.03, 0.02]).reshape(2, 2, 1)
    weight = np.array([0.3, 0.4, 0.7, 0.6]).reshape(2, 2, 1)
    supply = Supply(free, spread, usable, use_value(free, free, scarcity), count)
    z = margin(free, need * count) / np.sqrt(variance + spread**2)
    enough = need <= supply.reach(variance, least_z)
    assert (enough == (z >= least_z - 1e-9)).all()
    assert 0.1 < enough.mean() < 0.9
    left = free - need * count
    plain = 0.15 * weight * use_value(need * count, free, scarcity)
    plain += 0.1 * weight * leftover_value(np.maximum(left, 0.0), usable)
    found = supply.parts(need, 0.15 * weight, 0.1 * weight, least_z)
    np.testing.assert_allclose(found[enough], plain[enough], rtol=0, atol=1e-14)
