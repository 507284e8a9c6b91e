"""A quantity with its standard deviation; by itself, so that weighing a ball loads no more."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class Estimate:
    """A mean and its standard deviation, both in the unit that the field holding it names."""

    mean: float
    sd: float

    def __add__(self, other: Estimate) -> Estimate:
        """Sum of two independent quantities."""
        return Estimate(self.mean + other.mean, math.hypot(self.sd, other.sd))

    def times(self, factor: float) -> Estimate:
        """The quantity scaled by an exact number."""
        return Estimate(self.mean * factor, self.sd * abs(factor))

    def product(self, factor: Estimate) -> Estimate:
        """The quantity times another that is independent of it."""
        own, other = self.mean * factor.sd, factor.mean * self.sd
        return Estimate(self.mean * factor.mean, math.hypot(own, other, self.sd * factor.sd))


def evenly(low: float, high: float) -> Estimate:
    """Anything from low to high, each as likely: the range over the root of 12."""
    return Estimate((low + high) / 2.0, (high - low) / math.sqrt(12.0))
