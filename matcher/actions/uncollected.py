"""Making many things that all stay, without a look for garbage among them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Thousands of objects are made here, and all of them stay: looking for garbage among them doubles the time.

    Advice on 10,000 lots, put into a dict, took 2.8 s of one processor; without looking 1.9 s; and 1.5 s with `freeze`,
    which spares the first look afterwards too (medians of five). To read, lay out and pool 50,000 took 13.7 s,
    and without 9.5 s.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.freeze()  # all of it counts as old
            gc.unfreeze()
            gc.enable()
