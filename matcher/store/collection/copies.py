"""Which files of a folder hold the same, byte for byte: whoever counts a copy too promises its wool twice.

Lists that are only nearly alike are two: nobody but their owners knows whether they are.
"""

from __future__ import annotations

import hashlib
import stat
from collections.abc import Sequence
from pathlib import Path


def alike(several: Sequence[Sequence[Path]]) -> list[list[int]]:
    """The places of those that hold the same, in groups, each in the order in which it is met; most groups have one.

    several : the files of each; two are alike where every file of one is a file of the other, whatever it is called.
    One without content, or that can't be read, is like no other: what is wrong with it is told of each.
    """
    sizes = [_sizes(files) for files in several]
    groups: dict[object, list[int]] = {}
    for at, size in enumerate(sizes):
        groups.setdefault(size or at, []).append(at)
    found: dict[object, list[int]] = {}
    for sign, group in groups.items():
        for at in group:
            # A file is read for this only where another has just its size.
            found.setdefault(sign if len(group) == 1 else _content(several[at]) or at, []).append(at)
    return sorted(found.values())


def _sizes(files: Sequence[Path]) -> tuple[int, ...]:
    """The bytes of each, from the smallest; none where nothing is in them, or one is no plain file."""
    try:
        found = [file.stat() for file in files]
    except OSError:
        return ()
    plain = all(stat.S_ISREG(one.st_mode) for one in found)
    return tuple(sorted(one.st_size for one in found)) if plain and any(one.st_size for one in found) else ()


def _content(files: Sequence[Path]) -> tuple[bytes, ...]:
    """A sign of what each holds, in no order of theirs; none where one can't be read."""
    signs = []
    for file in files:
        try:
            with file.open("rb") as opened:
                signs.append(hashlib.file_digest(opened, "sha256").digest())
        except OSError:
            return ()
    return tuple(sorted(signs))
