"""The least amount that is enough, by doubling and then halving the gap."""

from __future__ import annotations

import math
from collections.abc import Callable


def least_that(enough: Callable[[float], bool], most: float, within: float) -> float:
    """The least amount for which `enough` holds, at most `within` above it; infinite where none up to `most` does.

    enough : false up to some amount and true from there on. most, within : in the unit of the amount.
    """
    if enough(0.0):
        return 0.0
    low, high = 0.0, min(1.0, most)
    while not enough(high):
        if high >= most:
            return math.inf
        low, high = high, min(2 * high, most)
    while high - low > within:
        middle = (low + high) / 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high
