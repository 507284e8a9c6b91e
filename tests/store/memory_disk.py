"""A place for stores that are written thousands of times: in memory where the system has such a disk.

Stores there are as safe from a killed process as elsewhere; only a power cut would lose them, and no test makes one.
"""

from __future__ import annotations

import os
from pathlib import Path

_IN_MEMORY = Path("/dev/shm")


def quick_disk() -> str | None:
    """The folder for `tempfile.TemporaryDirectory`; None for the usual one."""
    return str(_IN_MEMORY) if _IN_MEMORY.is_dir() and os.access(_IN_MEMORY, os.W_OK) else None
