"""What a cell can mean; read by itself, weighing a ball loads no more of the catalogue and no numpy."""

from __future__ import annotations

from functools import lru_cache

from matcher.materials.rules import SheetLimits
from matcher.store.catalogue.folders import catalogue_folder
from matcher.store.catalogue.rows import Reader, read_sources, settings


@lru_cache(maxsize=1)
def load_limits() -> SheetLimits:
    """The limits of the catalogue that comes with the program; raises CatalogueError as `load_catalogue` does."""
    folder = catalogue_folder()
    return sheet_limits(Reader(folder, read_sources(folder / "sources.toml")))


def sheet_limits(reader: Reader) -> SheetLimits:
    """The limits of a catalogue."""
    file = "standards/sheet_limits.csv"
    return settings(SheetLimits, file, reader.values(file))
