"""Rows of a programme, written down one after the other, and its solver."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from threading import RLock, Thread
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


@dataclass
class Rows:
    """Rows `coefficients . variables <= limit`, written down one after the other."""

    row: list[Indexes] = field(default_factory=list)
    column: list[Indexes] = field(default_factory=list)
    value: list[Floats] = field(default_factory=list)
    limits: list[Floats] = field(default_factory=list)
    number: int = 0

    def add(self, row: Indexes, column: Indexes, value: Floats, limits: Floats) -> slice:
        """Rows of the numbers in `row`, from 0; where they stand among all."""
        self.row.append(np.asarray(row) + self.number)
        self.column.append(np.asarray(column))
        self.value.append(np.broadcast_to(np.asarray(value, dtype=float), np.shape(row)))
        self.limits.append(np.asarray(limits, dtype=float))
        start, self.number = self.number, self.number + len(limits)
        return slice(start, self.number)

    def matrix(self, variables: int) -> csr_array:
        """All of them."""
        from scipy.sparse import csr_array

        row, column, value = (np.concatenate(one) for one in (self.row, self.column, self.value))
        return csr_array((value, (row, column)), shape=(self.number, variables))


def aside(work: Callable[[], Any], stopped: Callable[[], bool] = lambda: False) -> Any:
    """Do some work in a thread of its own, so that she can stop it: the solver itself hears nothing meanwhile.

    Raises KeyboardInterrupt as soon as `stopped` says so; the thread comes to its end by itself, and is not waited for.
    """
    found: list[Any] = []
    thread = Thread(target=lambda: found.append(work()), daemon=True)
    with _without_its_words():
        thread.start()
        while thread.is_alive():
            thread.join(0.1)
            if thread.is_alive() and stopped():
                raise KeyboardInterrupt
    return found[0]


_silence = RLock()
_openings: list[Callable[[], None]] = []  # one for each that is at it: several sets may be looked for at once


@contextmanager
def _without_its_words() -> Iterator[None]:
    """The solver now and then writes a line of its own to the output of the whole process, past Python, although it is
    told to be silent: it would stand amidst her JSON. The first of several shuts the output, the last opens it."""
    with _silence:
        _openings.append(_nothing if _openings else _shut())
    try:
        yield
    finally:
        with _silence:
            _openings.pop()()


def _nothing() -> None:
    """Opens what is open."""


def _shut() -> Callable[[], None]:
    """Shut the output of the whole process; what comes back opens it again."""
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except (OSError, ValueError):  # closed, or full
        return _nothing
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)

    def opened() -> None:
        if os.name == "posix":
            ctypes.CDLL(None).fflush(None)
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)

    return opened
