"""Where a bin lies, and which store is its own: answered here and nowhere else. Nothing heavy is imported."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, TypeAlias, runtime_checkable

from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import Action, reason
from matcher.store.database.store import is_store, store_path
from matcher.store.places import STORE_ENDINGS, is_there, no_such_bin, to_read

if TYPE_CHECKING:  # a bin's lots bring numpy, which quick actions need not load
    from matcher.materials.lots import Bin


@runtime_checkable
class OnDesk(Protocol):
    """A desk that is open, as far as its place goes."""

    @property
    def place(self) -> Path | None:
        """Where its bin lies."""

    def forget(self) -> None:
        """Read anew what is asked next."""


BinLike: TypeAlias = "Bin | Path | str | None"
Place: TypeAlias = "OnDesk | Bin | Path | str | None"


def own_bin() -> Path | None:
    """What is read when no bin is named: her store, or what MATCHER_BIN names; None while there is no store of hers.

    Raises NotFound when MATCHER_BIN names what is not there: a bin that is named is never another one.
    """
    place = store_path()
    there = is_there(place)
    if not there and os.environ.get("MATCHER_BIN"):
        raise NotFound(
            reason("there is no bin {place}, which MATCHER_BIN names", place=str(place)),
            todo=reason(
                "name the right one, or begin it with {add} or {intake}", add=Action("add"), intake=Action("intake")
            ),
        )
    return place if there else None


def reads_demo(bin: BinLike) -> bool:
    """Whether it is the demo that is read, which a face then says."""
    return bin is None and own_bin() is None


def place_of(bin: Place) -> Path | None:
    """The store, folder or workbook of a bin; her own when none is named; None where she has none, or it is nowhere."""
    if bin is None:
        return own_bin()
    if isinstance(bin, str | Path):
        return to_read(bin)
    if isinstance(bin, OnDesk):
        return bin.place
    return Path(bin.source) if bin.source else None


def names_store(place: Path) -> bool:
    """Whether a place is, or is meant to be, a store rather than sheets."""
    return is_store(place) or place.suffix.casefold() in STORE_ENDINGS


def to_begin(bin: Path | str | None) -> Path | None:
    """The store that a bin which she names is to become; None where it is there, or she names none.

    Raises NotFound for one that isn't there and is called as no store is: nothing could be begun in it.
    """
    place = None if bin is None else to_read(bin)
    if place is None or is_there(place):
        return None
    if not names_store(place):
        raise no_such_bin(place)
    return place


def store_of(bin: Place) -> Path | None:
    """The store that holds a bin; None where it is in sheets, or in memory only."""
    place = place_of(bin)
    return place if place is not None and is_store(place) else None


def store_file(bin: Place) -> Path:
    """The file that an action on the store works on, there already or not: a bin's own; hers when none is named.

    Raises BadInput for a bin in memory, which no action can change.
    """
    place = store_path() if bin is None else place_of(bin)
    if place is None:
        raise BadInput(reason("a bin in memory isn't a store"), "", reason("name the store that it is from"))
    return place
