"""Where a bin lies, and which store is its own: answered here and nowhere else. Nothing heavy is imported."""

from __future__ import annotations

from pathlib import Path

from matcher.materials.lots import Bin
from matcher.store.database.store import STORE_ENDINGS, is_store, store_path

BinLike = Bin | Path | str | None


def own_bin() -> Path | None:
    """What is read when no bin is named: her store, or what MATCHER_BIN names; None while there is none."""
    place = store_path()
    try:
        return place if place.exists() else None
    except OSError:  # a name too long for the disk
        return None


def reads_demo(bin: BinLike) -> bool:
    """Whether it is the demo that is read, which a face then says."""
    return bin is None and own_bin() is None


def place_of(bin: BinLike) -> Path | None:
    """The store, folder or workbook of a bin; her own when none is named; None where she has none, or it is nowhere."""
    if isinstance(bin, Bin):
        return Path(bin.source) if bin.source else None
    return Path(bin).expanduser() if bin is not None else own_bin()


def names_store(place: Path) -> bool:
    """Whether a place is, or is meant to be, a store rather than sheets."""
    return is_store(place) or place.suffix.casefold() in STORE_ENDINGS


def store_of(bin: BinLike) -> Path | None:
    """The store that holds a bin; None where it is in sheets, or in memory only."""
    place = place_of(bin)
    return place if place is not None and is_store(place) else None
