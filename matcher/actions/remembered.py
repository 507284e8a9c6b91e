"""What she said of her sheets when they were taken in, so that whatever reads them reads them the same way."""

from __future__ import annotations

from pathlib import Path

from matcher.errors import BadInput
from matcher.store.database.store import is_store, open_store, store_path
from matcher.store.readings import said_of
from matcher.store.sheets.said import NOTHING_SAID, Said


def remembered(sheets: Path) -> Said:
    """Her answers about these sheets, kept in her store; nothing where she has none, or it cannot be opened, which it
    says itself when it is asked for. Raises as reading the sheets does."""
    own = store_path()
    if not is_store(own):
        return NOTHING_SAID
    try:
        store = open_store(own)
    except BadInput:
        return NOTHING_SAID
    with store:
        return said_of(store, sheets)
