"""What is taken quicker of very many pools is the same as one by one."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.matching.kindred import Kindred
from matcher.matching.ranking import tex_steps
from matcher.matching.ranking.tex_steps import TexSteps


def test_steps_of_many_yarns_are_those_of_each(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(3)
    windows = np.sort(rng.uniform(30.0, 900.0, (60, 2)), axis=1)
    steps, ends = TexSteps(map(tuple, windows.tolist())), windows.ravel()
    near = np.concatenate([ends, np.nextafter(ends, 0.0), np.nextafter(ends, 1e9)])
    tex = np.concatenate([near, rng.uniform(5.0, 2000.0, 5_000), [0.0, 1e9]])
    each = np.array([int(steps.at(np.array([one]))[0]) for one in tex])
    monkeypatch.setattr(tex_steps, "_MANY", 1)
    assert steps.at(tex).tolist() == each.tolist()


@pytest.mark.parametrize("seed", range(6))
def test_how_many_belong_to_a_pool_is_counted_as_by_pairs(seed: int) -> None:
    """Garments of one yarn, of several, pools without a garment or a yarn."""
    rng = np.random.default_rng(seed)
    homes, yarns = rng.integers(-1, 5, (14, 1)), rng.integers(-1, 3, 14)
    yarns = np.where(homes[:, 0] == 0, 1, yarns)
    kindred = Kindred(homes, yarns, 0.5)
    every = np.arange(14)
    pairs = kindred.of(every[:, None], every)
    np.fill_diagonal(pairs, 0.0)
    for others in (1, 2, 4):
        most = -np.sort(-pairs, axis=1)[:, :others].sum(axis=1)
        assert np.allclose(kindred.most(others), most)
        some = rng.permutation(14)[:9]
        among = -np.sort(-pairs[np.ix_(some, some)], axis=1)[:, :others].sum(axis=1)
        assert np.allclose(kindred.most_among(some, others), among)
    near = kindred.near(every, every[:3])
    of_one = (pairs[:, :3] > 0).any(axis=1)
    assert all(near[of_one])
    assert not near[(homes[:, 0] < 0) & (yarns < 0)].any()
    assert not near[3:][~of_one[3:]].any()
