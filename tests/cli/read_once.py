"""A photograph is read once in a process, however many screens and pages show what it says.

What is seen follows from the pixels, the rules and what was asked. How it is read is held where reading itself is tested.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import blake2b
from typing import Any

import pytest

from matcher.photographs.photo import Reading, read_colours
from matcher.photographs.pixels import Photograph

_READ: dict[tuple[object, ...], Reading] = {}


def _once(photo: Photograph, rules: Any, *asked: Any) -> Reading:
    pixels = blake2b(photo.pixels.tobytes(), digest_size=20).digest()
    key = pixels, photo.pixels.shape, repr(photo.notes), repr(rules), repr(asked)
    if key not in _READ:
        _READ[key] = read_colours(photo, rules, *asked)
    return _READ[key]


@contextmanager
def read_once() -> Iterator[None]:
    """While this is open, `photo` and `whose` read no photograph twice in the same way."""
    from matcher.actions.colours import photo, scrap

    with pytest.MonkeyPatch.context() as patch:
        for room in (photo, scrap):
            patch.setattr(room, "read_colours", _once)
        yield
