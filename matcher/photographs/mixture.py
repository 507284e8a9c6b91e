"""Clusters of colours: k-means, and a mixture of normal distributions whose number is chosen by a criterion.

Both are textbook methods on plain arrays: a library of learning methods takes longer to load than a photograph takes to
read. A test holds the mixture to that library's.
"""

from __future__ import annotations

import math
import warnings
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

_STARTS, _ROUNDS = 8, 25  # of k-means: more rounds move no centre by what could be seen
_MOST_STEPS, _SETTLED = 60, 1e-2  # a mixture that has not quite settled is good enough


def kmeans(points: Floats, number: int) -> tuple[Floats, Indexes]:
    """Centres (number, d), and for each point (n, d) its centre: the best of several starts, the same every time."""
    from scipy.cluster.vq import kmeans2, vq

    best: tuple[float, Floats, Indexes] | None = None
    for seed in range(_STARTS):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a centre that has lost all its points stays where it was
            centres, _ = kmeans2(points, number, iter=_ROUNDS, minit="++", seed=seed)
        label, apart = vq(points, centres)
        inertia = float((apart**2).sum())
        if best is None or inertia < best[0]:
            best = (inertia, centres, label.astype(np.intp))
    assert best is not None
    return best[1], best[2]


@dataclass(frozen=True)
class Mixture:
    """Normal distributions: weights (k,), means (k, d), covariances (k, d, d)."""

    weights: Floats
    means: Floats
    covariances: Floats

    def log_parts(self, points: Floats) -> Floats:
        """Logarithm of weight x density of each distribution at each point (n, d): array (n, k)."""
        size = points.shape[1]
        found = np.empty((len(points), len(self.weights)))
        for place, (mean, covariance) in enumerate(zip(self.means, self.covariances, strict=True)):
            root = np.linalg.cholesky(covariance)
            square = (np.linalg.solve(root, (points - mean).T) ** 2).sum(axis=0)
            found[:, place] = -0.5 * (size * math.log(2 * math.pi) + square) - np.log(np.diag(root)).sum()
        return found + np.log(self.weights)

    def label(self, points: Floats) -> Indexes:
        """The distribution that each point (n, d) most likely belongs to."""
        return np.asarray(self.log_parts(points).argmax(axis=1), dtype=np.intp)


def fit(points: Floats, number: int, least_variance: float) -> tuple[Mixture, float]:
    """A mixture of `number` normal distributions by expectation and maximisation, begun at k-means; and its criterion.

    points (n, d); least_variance is added to the variance along each axis. The criterion is the Bayesian one (Schwarz
    1978, Annals of Statistics 6(2):461-464): less is better. Source of the steps: Dempster, Laird and Rubin 1977, J. R.
    Stat. Soc. B 39(1):1-38.
    """
    many, size = points.shape
    _, label = kmeans(points, number)
    belongs = np.eye(number)[label]
    before = -math.inf
    for _ in range(_MOST_STEPS):
        mixture = _moments(points, belongs, least_variance)
        parts = mixture.log_parts(points)
        total = np.logaddexp.reduce(parts, axis=1)
        belongs = np.exp(parts - total[:, None])
        likelihood = float(total.mean())
        if likelihood - before < _SETTLED:
            break
        before = likelihood
    free = number * (size + size * (size + 1) // 2) + number - 1
    return mixture, -2 * likelihood * many + free * math.log(many)


def best_mixture(points: Floats, most: int, least_variance: float) -> Mixture:
    """The mixture of least criterion, of 1 to `most` distributions, with 20 points (n, d) each or more."""
    best, least = fit(points, 1, least_variance)
    for number in range(2, most + 1):
        if len(points) < 20 * number:
            break
        found, criterion = fit(points, number, least_variance)
        if criterion < least:
            best, least = found, criterion
        elif number > 2:
            break
    return best


def _moments(points: Floats, belongs: Floats, least_variance: float) -> Mixture:
    counts = belongs.sum(axis=0) + 1e-12
    means = (belongs.T @ points) / counts[:, None]
    covariances = np.empty((len(counts), points.shape[1], points.shape[1]))
    for place, mean in enumerate(means):
        off = points - mean
        covariances[place] = (belongs[:, place, None] * off).T @ off / counts[place]
    covariances += least_variance * np.eye(points.shape[1])
    return Mixture(counts / counts.sum(), means, covariances)
