"""The desk: one bin laid out, with all that an action may need of it, each worked out once and only when asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TypeAlias

from matcher.actions.learning.history import History, history_at, no_history
from matcher.actions.place import BinLike, names_store, place_of, store_of
from matcher.knitting.calibration import Calibration
from matcher.knitting.mending.reserve import ReserveGroup, reserves, surplus
from matcher.matching.pools import Pool, pools_of
from matcher.matching.variants import Knowledge, Variant, variants_of
from matcher.materials.lots import Bin
from matcher.materials.uncertain import Estimate
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue
from matcher.store.catalogue.folders import demo_folder
from matcher.store.database.bin import read_store
from matcher.store.sheets.read import bin_from_sheets


@dataclass(frozen=True)
class Shelf:
    """A bin with its reserves laid and its like lots put together."""

    bin: Bin
    groups: tuple[ReserveGroup, ...]
    free: Mapping[str, Estimate]  # metres of each lot that no reserve holds
    pools: tuple[Pool, ...]


class Desk:
    """One bin: its catalogue, the store it came from, its lots and garments, shelf, history and variants.

    bin: a store, a folder with `lots.csv` and `garments.csv`, one spreadsheet, or a `Bin`; None is her store where
    there is one, else the demo. catalog: a folder of her own entries, added to the catalogue's; or a whole catalogue.

    Nothing is read before it is asked for; then BadSheets with every fault at once, CatalogueError, NotFound, or
    BadInput for what is no bin.
    """

    def __init__(self, bin: BinLike = None, catalog: Catalogue | Path | str | None = None) -> None:
        self._given, self._catalog = bin, catalog

    def forget(self) -> None:
        """Drop what was read of the bin, since an action has changed it; the catalogue stays."""
        for name in ("bin", "shelf", "history", "place", "store", "folder"):
            self.__dict__.pop(name, None)

    @cached_property
    def catalogue(self) -> Catalogue:
        """The catalogue, with the knitter's own folder added to it when one is given."""
        if isinstance(self._catalog, Catalogue):
            return self._catalog
        return load_catalogue(Path(self._catalog) if self._catalog is not None else None)

    @cached_property
    def place(self) -> Path | None:
        """Where the bin lies; None for a bin in memory."""
        return place_of(self._given) or (demo_folder() if self._given is None else None)

    @cached_property
    def store(self) -> Path | None:
        """The store that the bin is from; None for sheets, the demo, and a bin in memory."""
        return store_of(self._given)

    @cached_property
    def folder(self) -> Path | None:
        """Where files beside the bin are looked for, such as a garment's motif."""
        return self.place if self.place is None or self.place.is_dir() else self.place.parent

    @cached_property
    def bin(self) -> Bin:
        """Its lots and garments."""
        if isinstance(self._given, Bin):
            return self._given
        place = place_of(self._given) or demo_folder()
        return read_store(place, self.catalogue) if names_store(place) else bin_from_sheets(place, self.catalogue)

    @cached_property
    def shelf(self) -> Shelf:
        """Its lots with the reserves laid, and what stays free put together."""
        groups = tuple(reserves(self.bin, self.catalogue.repairs, self.catalogue.fabric, self.catalogue.sizes))
        free = surplus(self.bin, groups)
        return Shelf(self.bin, groups, free, pools_of(self.bin.lots, free, self.catalogue.measuring.tail_m))

    @cached_property
    def history(self) -> History:
        """What her finished pieces and swatches tell of how she knits."""
        return history_at(self.store, self.catalogue) if self.store is not None else no_history(self.catalogue)

    @property
    def variants(self) -> Mapping[str, tuple[Variant, ...]]:
        """Every variant of every accessory by key, as she knits."""
        return _all_variants(self.catalogue, self.history.learnt)


DeskLike: TypeAlias = "Desk | BinLike"


def desk_of(bin: DeskLike = None, catalog: Path | str | None = None) -> Desk:
    """The desk of a bin; one that is open already is used as it is."""
    return bin if isinstance(bin, Desk) else Desk(bin, catalog)


def read_bin(source: BinLike = None, catalog: Path | str | None = None) -> Bin:
    """Read a bin: a store, a folder with `lots.csv` and `garments.csv`, or one spreadsheet.

    None reads the store where there is one, else the demo. Raises BadSheets with every fault at once, NotFound, or
    BadInput for what is no bin.
    """
    return Desk(source, catalog).bin


_variants: list[tuple[Catalogue, Calibration | None, dict[str, tuple[Variant, ...]]]] = []


def _all_variants(catalogue: Catalogue, calibration: Calibration | None) -> dict[str, tuple[Variant, ...]]:
    """Worked out once for a catalogue and a history, whatever the bin."""
    for kept, history, worked in _variants:
        if kept is catalogue and history == calibration:
            return worked
    knowledge = Knowledge(catalogue.sizes, catalogue.motifs, catalogue.fabric, catalogue.classes, calibration)
    worked = {key: variants_of(one, knowledge) for key, one in catalogue.accessories.items()}
    _variants[:] = [(catalogue, calibration, worked)]
    return worked
