"""Rows of a programme, written down one after the other, and its solver."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from threading import Thread
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


def aside(work: Callable[[], Any]) -> Any:
    """Do some work in a thread of its own, so that she can stop it: the solver itself hears nothing meanwhile."""
    found: list[Any] = []
    thread = Thread(target=lambda: found.append(work()), daemon=True)
    with _without_its_words():
        thread.start()
        while thread.is_alive():
            thread.join(0.1)
    return found[0]


@contextmanager
def _without_its_words() -> Iterator[None]:
    """The solver now and then writes a line of its own to the output of the whole process, past Python, although it is
    told to be silent: it would stand amidst her JSON."""
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except (OSError, ValueError):  # closed, or full
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    try:
        yield
    finally:
        if os.name == "posix":
            ctypes.CDLL(None).fflush(None)
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
