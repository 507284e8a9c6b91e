"""Clusters of colours, by scikit-learn: k-means, and mixtures of normal distributions, as many as a criterion finds."""

from __future__ import annotations

import warnings
from contextlib import AbstractContextManager
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from sklearn.mixture import GaussianMixture
    from threadpoolctl import ThreadpoolController

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

_STARTS, _ROUNDS = 8, 25  # of k-means: more rounds move no centre by what could be seen
_MOST_STEPS, _SETTLED = 60, 1e-2  # a mixture that has not quite settled is good enough


def _one_thread() -> AbstractContextManager[object]:
    """So few points are worked through sooner by one thread: on a busy machine several wait for one another (measured:
    25 times as long with two, and 40 times the work)."""
    limits: AbstractContextManager[object] = _threads().limit(limits=1)
    return limits


@cache
def _threads() -> ThreadpoolController:
    """The libraries that share work out among threads, looked for once: to look takes as long as a mixture."""
    # Imported for what importing does, and so unused (F401): their libraries are found only once they are loaded.
    import sklearn.cluster
    import sklearn.mixture  # noqa: F401  # as above
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()


def kmeans(points: Floats, number: int) -> tuple[Floats, Indexes]:
    """Centres (number, d), and for each point (n, d) its centre: the best of several starts, the same every time."""
    from sklearn.cluster import KMeans

    with _one_thread():
        found = KMeans(number, n_init=_STARTS, max_iter=_ROUNDS, random_state=0).fit(points)
    return found.cluster_centers_, found.labels_.astype(np.intp)


def fit(points: Floats, number: int, least_variance: float) -> GaussianMixture:
    """A mixture of `number` normal distributions; least_variance is added to the variance along each axis.

    It begins at what the k-means above finds: by other beginnings mixtures were found that took the blocks of a
    compressed black patch for two colours. There are `number` different points or more.
    """
    from sklearn.exceptions import ConvergenceWarning
    from sklearn.mixture import GaussianMixture

    label = kmeans(points, number)[1] if number > 1 else np.zeros(len(points), dtype=np.intp)
    parts = [points[label == one] for one in range(number)]
    least = least_variance * np.eye(points.shape[1])
    begin = GaussianMixture(
        number,
        reg_covar=least_variance,
        tol=_SETTLED,
        max_iter=_MOST_STEPS,
        weights_init=np.array([len(part) for part in parts]) / len(points),
        means_init=np.array([part.mean(axis=0) for part in parts]),
        precisions_init=np.array([np.linalg.inv(np.cov(part.T, bias=True) + least) for part in parts]),
        random_state=0,
    )
    with _one_thread(), warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)  # a mixture that is cut short
        return begin.fit(points)


def best_mixture(points: Floats, most: int, least_variance: float) -> GaussianMixture:
    """The mixture of 1 to `most` distributions, with 20 points (n, d) each or more, of least Bayesian criterion.

    Schwarz 1978, Annals of Statistics 6(2):461-464.
    """
    best = fit(points, 1, least_variance)
    least = best.bic(points)
    most = min(most, len(points) // 20, len(np.unique(points, axis=0)))
    for number in range(2, most + 1):
        found = fit(points, number, least_variance)
        criterion = found.bic(points)
        if criterion < least:
            best, least = found, criterion
        elif number > 2:
            break
    return best
