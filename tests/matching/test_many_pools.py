"""What is taken quicker of very many pools is the same as one by one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from matcher.matching import colour_table
from matcher.matching.colour_table import ColourTable
from matcher.matching.kindred import Kindred
from matcher.matching.ranking import tex_steps
from matcher.matching.ranking.tex_steps import TexSteps
from matcher.store.catalogue.catalogue import load_catalogue


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


@pytest.mark.parametrize("words", [False, True])
def test_some_colours_of_a_table_read_as_in_the_whole(words: bool) -> None:
    rng, rules = np.random.default_rng(5), load_catalogue()
    labs = np.column_stack([rng.uniform(10, 95, 40), rng.normal(0, 25, (40, 2))])
    sds = np.where(rng.random((40, 1)) < 0.5 * words, 3.0, 0.0) * np.ones(3)
    whole = ColourTable(labs, sds, rules.vision, replace(rules.contrast, eyes=("deutan",)), 0.0)
    at = np.sort(rng.permutation(40)[:9])
    assert whole.most(2) > 0  # and so what is remembered of the whole is there
    some = whole.of(at)
    for one in range(9):
        others = np.delete(np.arange(9), one)
        assert np.array_equal(some.readings(one, others), whole.readings(int(at[one]), at[others]))
        assert (some.potential()[one] >= some.readings(one, others)).all()
    assert some.most(2) <= whole.most(2)


@pytest.mark.parametrize("kept", [0, 10**6])
def test_few_colours_read_as_many(kept: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is remembered of a few, or forgotten for want of room, is what is worked out anew."""
    rng, rules = np.random.default_rng(7), load_catalogue()
    labs = np.column_stack([rng.uniform(30, 70, 12), rng.normal(0, 25, (12, 2))])
    sds = np.where(rng.random((12, 1)) < 0.3, 3.0, 0.0) * np.ones(3)
    few, many = (ColourTable(labs, sds, rules.vision, rules.contrast, 0.0) for _ in range(2))
    for _ in range(30):
        number = int(rng.integers(1, 60))
        part, others = rng.integers(0, 12, number), rng.integers(0, 12, number)
        hue_kept = rng.choice(np.array([None, 0.5, 0.9]))
        told = []
        for table, limit in ((few, 12), (many, 11)):
            monkeypatch.setattr(colour_table, "_FEW_COLOURS", limit)
            monkeypatch.setattr(colour_table, "_KEPT", kept)
            told.append([table.readings(part, others, hue_kept), table.hope(part, others)])
        np.testing.assert_array_equal(*told)
