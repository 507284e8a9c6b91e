"""What a cell can mean; read by itself, weighing a ball loads no more of the catalogue and no numpy."""

from __future__ import annotations

from functools import lru_cache

from matcher.materials.rules import SheetLimits
from matcher.store.catalogue.folders import catalogue_folder
from matcher.store.catalogue.rows import Reader, read_values, settings

_FILE = "standards/sheet_limits.csv"


@lru_cache(maxsize=1)
def load_limits() -> SheetLimits:
    """The limits of the catalogue that comes with the program; raises CatalogueError as `load_catalogue` does.

    Their sources are looked at when the whole catalogue is loaded; reading all sources takes longer than weighing.
    """
    return settings(SheetLimits, _FILE, read_values(catalogue_folder(), _FILE))


def sheet_limits(reader: Reader) -> SheetLimits:
    """The limits of a catalogue."""
    return settings(SheetLimits, _FILE, reader.values(_FILE))
