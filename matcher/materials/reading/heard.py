"""What a cell was taken to say: its value, and, where that is not plain from the cell, what was made of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from matcher.reasons.reason import Words

V = TypeVar("V")


@dataclass(frozen=True)
class Heard(Generic[V]):
    """A value with the reading that gave it.

    taken: what was made of an odd cell, such as "40 g, give or take 5 g"; "" where it says just that. sure: False for
    a guess, which she should look at.
    """

    value: V
    taken: Words = ""
    sure: bool = True
