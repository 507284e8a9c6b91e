"""Work that forks by the hundred, in a process that holds little: a fork takes the longer the more its process holds,
and one that has collected all tests holds ten times as much as this.

Run as a program, this is that process: it reads what is to be done, and writes what that gave.
"""

from __future__ import annotations

import importlib
import os
import pickle
import subprocess
import sys
from collections.abc import Callable
from typing import Any, TypeVar

Answer = TypeVar("Answer")


def in_a_small_process(work: Callable[..., Answer], *given: object) -> Answer:
    """What a function of a module that stands in one of pytest's folders gives. What fails in it is told on stderr."""
    asked = pickle.dumps((sys.path, work.__module__, work.__name__, given))
    done = subprocess.run([sys.executable, __file__], input=asked, stdout=subprocess.PIPE, check=False)
    assert done.returncode == 0, f"{work.__name__} failed in its own process, as told on stderr"
    return pickle.loads(done.stdout)


def main() -> None:
    answer = os.dup(1)
    os.dup2(2, 1)  # what the work prints is no answer
    path, module, name, given = pickle.load(sys.stdin.buffer)
    sys.path[:] = path
    work: Any = getattr(importlib.import_module(module), name)
    said = work(*given)
    with os.fdopen(answer, "wb") as there:
        pickle.dump(said, there)


if __name__ == "__main__":
    main()
