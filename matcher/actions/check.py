"""Are the files of a bin in order?"""

from __future__ import annotations

from pathlib import Path

from matcher.actions.context import BinLike, read_bin
from matcher.materials.lots import Bin


def check(bin: BinLike, *, catalog: Path | str | None = None) -> Bin:
    """Read a bin for its faults: raises BadSheets with all of them at once; remarks are in the bin's `notes`."""
    return read_bin(bin, catalog)
