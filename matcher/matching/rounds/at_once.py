"""Work that may go on on all cores at once: sums over long arrays, during which other threads run on."""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Iterable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

R = TypeVar("R")

# More threads than this mostly wait for each other. It changes how long a search takes, never what it finds.
_MOST = 4


def at_once(works: Iterable[Callable[[], R]]) -> Generator[R, None, None]:
    """What comes of each, in their order; once no more are asked for, what isn't begun is let go."""
    threads = ThreadPoolExecutor(min(_MOST, os.cpu_count() or 1), "rounds")
    try:
        begun = [threads.submit(work) for work in works]
        for one in begun:
            yield one.result()
    finally:
        threads.shutdown(cancel_futures=True)
