"""Clusters of colours against sets of known parts."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.photographs.mixture import best_mixture, fit, kmeans

CENTRES = np.array([[20.0, 2.0, -4.0], [52.0, -8.0, 25.0], [84.0, 0.0, 12.0], [42.0, 45.0, 25.0]])


def drawn(number: int, seed: int = 0, spread: float = 3.0) -> tuple[np.ndarray, np.ndarray]:
    """Points around the first so many centres, and whose each is; long in lightness, as a ball's shadow is."""
    rng = np.random.default_rng(seed)
    owner = rng.choice(number, 900, p=np.arange(1, number + 1) / (number * (number + 1) / 2))
    return CENTRES[owner] + rng.normal(size=(900, 3)) * [2 * spread, spread, spread], owner


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_the_mixture_finds_what_was_drawn(number: int):
    """Means, shares and spreads of the drawing itself; reg_covar adds 0.5 to each variance."""
    points, owner = drawn(number, seed=number)
    found = fit(points, number, 0.5)
    order = [int(((found.means_ - centre) ** 2).sum(axis=1).argmin()) for centre in CENTRES[:number]]
    assert sorted(order) == list(range(number))
    for one, place in enumerate(order):
        mine = points[owner == one]
        assert found.means_[place] == pytest.approx(mine.mean(axis=0), abs=0.6)
        assert found.weights_[place] == pytest.approx(len(mine) / len(points), abs=0.02)
        assert found.covariances_[place] == pytest.approx(np.cov(mine.T) + 0.5 * np.eye(3), abs=4.0)


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_the_criterion_finds_how_many_there_are(number: int):
    points, owner = drawn(number, seed=10 + number)
    found = best_mixture(points, 5, 0.5)
    assert found.n_components == number
    label = found.predict(points)
    for one in range(number):
        assert np.bincount(label[owner == one]).max() > 0.95 * (owner == one).sum()


def test_few_points_are_one_colour():
    points = drawn(4)[0][:39]
    assert best_mixture(points, 5, 0.5).n_components == 1


def test_points_that_are_all_alike_are_one_colour():
    assert best_mixture(np.tile(CENTRES[1], (300, 1)), 5, 0.5).n_components == 1


@pytest.mark.parametrize("number", [2, 3, 4])
def test_clusters_come_as_near_as_many_more_starts_do(number: int):
    """scipy's k-means from 60 starts; each point belongs to its nearest centre, but for the last bit of rounds saved."""
    from scipy.cluster.vq import kmeans as many_starts

    points, _ = drawn(4, seed=20 + number, spread=8.0)
    centres, label = kmeans(points, number)
    inertia = ((points - centres[label]) ** 2).sum()
    theirs, _ = many_starts(points, number, iter=60, seed=0)
    least = ((points[:, None] - theirs[None]) ** 2).sum(axis=2).min(axis=1).sum()
    assert inertia <= 1.005 * least
    assert (label == ((points[:, None] - centres[None]) ** 2).sum(axis=2).argmin(axis=1)).all()


def test_clusters_are_the_same_every_time():
    points, _ = drawn(4, spread=8.0)
    assert (kmeans(points, 3)[0] == kmeans(points, 3)[0]).all()
