"""What an answer takes of this machine, before and after."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from matcher.actions.collection.result import Cost
from matcher.store.collection.lying import Lying

# Bytes in memory for each byte of a file: of Parquet, which is packed, and of anything else. Choices: a million lots in
# 61 MB of Parquet took 4.2 GB, of sheets and stores nothing was measured.
_PARQUET, _OTHER = 100, 300
_SHARE = 0.5  # of the machine's memory that an answer may take; a choice


def too_large(lying: Sequence[Lying], memory_bytes: int | None = None) -> bool:
    """Whether all files at once would take more of this machine's memory than they may."""
    there = _memory_bytes() if memory_bytes is None else memory_bytes
    return bool(there) and _bytes_of(lying) > _SHARE * there


def _bytes_of(lying: Sequence[Lying]) -> int:
    return sum((_PARQUET if one.of_many else _OTHER) * one.size for one in lying)


def cost_of(parts: int) -> Cost:
    """parts : into so many the rows were cut."""
    return Cost(parts, _peak_bytes())


def _memory_bytes() -> int:
    """The memory of this machine; 0 where the system does not say."""
    try:
        return os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    except (AttributeError, OSError, ValueError):
        return 0


def _peak_bytes() -> int:
    """The most memory that this process had at any time; 0 where the system does not say."""
    try:
        from resource import RUSAGE_SELF, getrusage
    except ImportError:
        return 0
    most = getrusage(RUSAGE_SELF).ru_maxrss
    return most if sys.platform == "darwin" else 1024 * most
