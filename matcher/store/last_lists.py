"""Her last list and her last set of each bin, as files in her own folder.

Not in the store: whoever only looks writes nothing there, so that a list is given of a store that is read-only or in
use, and undo, the journal and copies know nothing of it.
"""

from __future__ import annotations

import os
from hashlib import sha256
from pathlib import Path

from matcher.store.files import read_file
from matcher.store.places import own_folder
from matcher.store.under_way import begin_file, sweep

LAST_LIST, LAST_SET = "", " set"
"""What is kept, as the names of their files end."""
_FOLDER = "last lists"
_UNDER_WAY = ".list-under-way-"
_MOST_BYTES = 16_000_000  # a choice, far above what hundreds of suggestions take


def list_file(bin: Path, kept: str = LAST_LIST) -> Path:
    """Where the last list or set of a bin lies, by the bin's place. Raises BadInput where her home is not known."""
    return own_folder() / _FOLDER / f"{sha256(os.fsencode(bin.resolve())).hexdigest()[:16]}{kept}.json"


def keep_list(bin: Path, text: str, kept: str = LAST_LIST) -> None:
    """Keep one in place of the one before, whole or not at all. Raises OSError, and BadInput as `list_file`."""
    place = list_file(bin, kept)
    for folder in (place.parent.parent, place.parent):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    sweep(place.parent, _UNDER_WAY)
    under_way = begin_file(place.parent, _UNDER_WAY)
    try:
        under_way.write_text(text, encoding="utf-8")
        os.replace(under_way, place)
    finally:
        under_way.unlink(missing_ok=True)


def kept_list(bin: Path, kept: str = LAST_LIST) -> str:
    """The last list or set of a bin; "" where none was kept, or it can no longer be read."""
    try:
        return read_file(list_file(bin, kept), _MOST_BYTES).decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return ""
