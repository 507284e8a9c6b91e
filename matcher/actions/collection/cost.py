"""What an answer took of this machine."""

from __future__ import annotations

import sys

from matcher.actions.collection.result import Cost


def cost_of(parts: int) -> Cost:
    """parts : into so many the rows were cut."""
    return Cost(parts, _peak_bytes())


def _peak_bytes() -> int:
    """The most memory that this process had at any time; 0 where the system does not say."""
    try:
        from resource import RUSAGE_SELF, getrusage
    except ImportError:
        return 0
    most = getrusage(RUSAGE_SELF).ru_maxrss
    return most if sys.platform == "darwin" else 1024 * most
