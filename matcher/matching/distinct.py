"""Distinct numbers of many, most of which differ."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Indexes = npt.NDArray[np.intp]


def distinct(numbers: Indexes) -> Indexes:
    """The distinct of whole numbers (n,), rising.

    As `np.unique`, which from NumPy 2.3 on looks for doubles in a table: quick where few differ, but of a million that
    do it takes twenty times as long as to sort them.
    """
    ordered = np.sort(numbers)
    return ordered[np.append(True, ordered[1:] != ordered[:-1])] if len(ordered) else ordered


def both(one: Indexes, other: Indexes) -> Indexes:
    """What is in either of two arrays of whole numbers (n,) and (m,), rising, each once."""
    return distinct(np.concatenate([one, other]))
