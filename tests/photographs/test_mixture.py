"""Clusters of colours against scikit-learn, a library of learning methods, and against sets of known parts."""

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
def test_the_mixture_is_that_of_scikit_learn(number: int):
    from sklearn.mixture import GaussianMixture

    points, _ = drawn(number, seed=number)
    mine, criterion = fit(points, number, 0.5)
    theirs = GaussianMixture(
        number, reg_covar=0.5, means_init=mine.means, weights_init=mine.weights, random_state=0, tol=1e-6
    ).fit(points)
    assert mine.means == pytest.approx(theirs.means_, abs=0.6)
    assert mine.weights == pytest.approx(theirs.weights_, abs=0.02)
    assert mine.covariances == pytest.approx(theirs.covariances_, abs=3.0)
    assert criterion == pytest.approx(theirs.bic(points), rel=2e-3)
    assert (mine.label(points) == theirs.predict(points)).mean() > 0.98


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_the_criterion_finds_how_many_there_are(number: int):
    points, owner = drawn(number, seed=10 + number)
    found = best_mixture(points, 5, 0.5)
    assert len(found.weights) == number
    label = found.label(points)
    for one in range(number):
        assert np.bincount(label[owner == one]).max() > 0.95 * (owner == one).sum()


def test_few_points_are_one_colour():
    points = drawn(4)[0][:39]
    assert len(best_mixture(points, 5, 0.5).weights) == 1


def test_points_that_are_all_alike_are_one_colour():
    assert len(best_mixture(np.tile(CENTRES[1], (300, 1)), 5, 0.5).weights) == 1


@pytest.mark.parametrize("number", [2, 3, 4])
def test_clusters_come_as_near_as_those_of_scikit_learn(number: int):
    from sklearn.cluster import KMeans

    points, _ = drawn(4, seed=20 + number, spread=8.0)
    centres, label = kmeans(points, number)
    inertia = ((points - centres[label]) ** 2).sum()
    theirs = KMeans(number, n_init=10, random_state=0).fit(points).inertia_
    assert inertia <= 1.005 * theirs
    assert (label == ((points[:, None] - centres[None]) ** 2).sum(axis=2).argmin(axis=1)).all()


def test_clusters_are_the_same_every_time():
    points, _ = drawn(4, spread=8.0)
    assert (kmeans(points, 3)[0] == kmeans(points, 3)[0]).all()
