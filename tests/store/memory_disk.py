"""Places for stores: in memory, where the system has such a disk, and on one that keeps what is written.

Stores in memory are as safe from a killed process as elsewhere; only a power cut would lose them, and no test makes one.
"""

from __future__ import annotations

import os
from pathlib import Path

_IN_MEMORY, _ON_DISK = Path("/dev/shm"), Path("/var/tmp")


def quick_disk(room_bytes: int = 0) -> str | None:
    """The folder for `tempfile.TemporaryDirectory`, with so much room; None for the usual one."""
    if not _IN_MEMORY.is_dir() or not os.access(_IN_MEMORY, os.W_OK):
        return None
    disk = os.statvfs(_IN_MEMORY)
    enough = disk.f_bavail * disk.f_frsize >= room_bytes and not disk.f_flag & os.ST_NOEXEC
    return str(_IN_MEMORY) if enough else None


def slow_disk() -> str | None:
    """The same for a disk on which committing takes its time."""
    return str(_ON_DISK) if os.access(_ON_DISK, os.W_OK) else None
