"""The four tables of the catalogue that reading a lot needs, without its accessories and motifs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from matcher.materials.fibre import Fibre
from matcher.materials.yarn import MeasuringRules, WeightClass


@dataclass(frozen=True)
class LotStandards:
    """What the cells of a lot may name, and how yarn is measured."""

    classes: tuple[WeightClass, ...]
    fibres: tuple[Fibre, ...]
    measuring: MeasuringRules
    colour_words: Mapping[str, str]


@lru_cache(maxsize=1)
def load_standards() -> LotStandards:
    """Read them from the catalogue that comes with the program; raises CatalogueError as `load_catalogue` does."""
    from matcher.store.catalogue import tables
    from matcher.store.catalogue.catalogue import catalogue_folder
    from matcher.store.catalogue.rows import Reader, read_sources

    folder = catalogue_folder()
    reader = Reader(folder, read_sources(folder / "sources.toml"))
    measuring = "standards/measuring.csv"
    return LotStandards(
        tables.classes(reader),
        tables.fibres(reader),
        tables.settings(MeasuringRules, measuring, reader.values(measuring)),
        tables.colour_words(reader),
    )
