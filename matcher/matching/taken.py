"""Some things of a sequence, or those of several one after the other, none made before it is asked for."""

from __future__ import annotations

from abc import abstractmethod
from bisect import bisect_right
from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import Any, Protocol, TypeVar, overload, runtime_checkable

import numpy as np
import numpy.typing as npt

T = TypeVar("T", covariant=True)
Indexes = npt.NDArray[np.intp]


class _Lazy(Sequence[T]):
    """What one place holds is told by `_at`."""

    @abstractmethod
    def _at(self, place: int) -> T: ...

    @overload
    def __getitem__(self, place: int) -> T: ...
    @overload
    def __getitem__(self, place: slice) -> tuple[T, ...]: ...
    def __getitem__(self, place: int | slice) -> T | tuple[T, ...]:
        places = range(len(self))[place]
        return self._at(places) if isinstance(places, int) else tuple(map(self._at, places))

    def __reduce__(self) -> tuple[Callable[..., Any], tuple[Any, ...]]:
        # What is sent elsewhere takes no more with it than it holds.
        return tuple, (tuple(self),)


class _Taken(_Lazy[T]):
    def __init__(self, whole: Sequence[T], at: Indexes) -> None:
        self.whole, self.at = whole, at

    def __len__(self) -> int:
        return len(self.at)

    def _at(self, place: int) -> T:
        return self.whole[int(self.at[place])]


class _Joined(_Lazy[T]):
    def __init__(self, parts: Sequence[Sequence[T]]) -> None:
        self.parts, self.ends = parts, [*accumulate(map(len, parts))]

    def __len__(self) -> int:
        return self.ends[-1] if self.ends else 0

    def _at(self, place: int) -> T:
        part = bisect_right(self.ends, place)
        return self.parts[part][place - self.ends[part]]


@runtime_checkable
class Takes(Protocol[T]):
    """What can be taken from itself, so that no more is kept than was taken."""

    def take(self, at: Indexes) -> Sequence[T]: ...


def taken(whole: Sequence[T], at: Indexes) -> Sequence[T]:
    """The things at some places, in that order."""
    if isinstance(whole, Takes):
        found: Sequence[T] = whole.take(at)
        return found
    return _Taken(whole.whole, whole.at[at]) if isinstance(whole, _Taken) else _Taken(whole, at)


def one_after_another(parts: Sequence[Sequence[T]]) -> Sequence[T]:
    """All things of all parts; of parts that were taken from one whole again a part of it."""
    several = [one for one in parts if isinstance(one, _Taken)]
    if len(several) == len(parts) and len({id(one.whole) for one in several}) == 1:
        return _Taken(several[0].whole, np.concatenate([one.at for one in several]))
    return _Joined(parts)
