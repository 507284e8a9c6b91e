"""Tests that fork by the hundred, each in a process that holds little: a fork takes the longer the more its process holds,
and one that has collected all tests holds ten times as much as this.

Run as a program, this is that process: it reads which test is to be done, and does it.
"""

from __future__ import annotations

import importlib.util
import os
import pickle
import subprocess
import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any


def in_a_small_process(test: Callable[..., None]) -> Callable[..., None]:
    """A test that is done there; what it is given must be plain values. What fails in it is told on stderr."""

    @wraps(test)
    def asked(**given: object) -> None:
        told = pickle.dumps((sys.path, test.__code__.co_filename, test.__name__, given))
        done = subprocess.run([sys.executable, __file__], input=told, check=False)
        assert done.returncode == 0, "it failed in its own process, as told on stderr"

    return asked


def main() -> None:
    path, file, name, given = pickle.load(sys.stdin.buffer)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    sys.path[:] = path
    here = importlib.util.spec_from_file_location(Path(file).stem, file)
    assert here is not None
    assert here.loader is not None
    sys.modules[here.name] = module = importlib.util.module_from_spec(here)
    here.loader.exec_module(module)
    asked: Any = getattr(module, name)
    asked.__wrapped__(**given)


if __name__ == "__main__":
    main()
