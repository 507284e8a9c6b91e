"""The part of the catalogue that reading sheets needs, without its accessories and motifs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

from matcher.knitting.bodies import Sizes
from matcher.knitting.mending.repairs import GarmentKind
from matcher.materials.colours.words import ColourWords
from matcher.materials.fibre import Fibre
from matcher.materials.people import FibreGroup
from matcher.materials.reading.amounts import AmountWords
from matcher.materials.rules import SheetLimits
from matcher.materials.yarn import MeasuringRules, WeightClass
from matcher.store.catalogue.amounts import amounts
from matcher.store.catalogue.classes import weight_classes, yarn_names
from matcher.store.catalogue.folders import catalogue_folder
from matcher.store.catalogue.limits import sheet_limits
from matcher.store.catalogue.rows import Reader, read_sources, settings


class Standards(Protocol):
    """What the cells of a sheet may name, and how yarn is measured: of the whole catalogue, or read by itself."""

    @property
    def classes(self) -> Sequence[WeightClass]: ...
    @property
    def yarn_names(self) -> Mapping[str, tuple[int, ...]]: ...
    @property
    def garment_kinds(self) -> Mapping[str, GarmentKind]: ...
    @property
    def fibres(self) -> Sequence[Fibre]: ...
    @property
    def fibre_groups(self) -> Sequence[FibreGroup]: ...
    @property
    def sizes(self) -> Sizes: ...
    @property
    def measuring(self) -> MeasuringRules: ...
    @property
    def limits(self) -> SheetLimits: ...
    @property
    def amounts(self) -> AmountWords: ...
    @property
    def colour_words(self) -> ColourWords: ...


@dataclass(frozen=True)
class LotStandards:
    """The same, read by itself."""

    classes: tuple[WeightClass, ...]
    yarn_names: Mapping[str, tuple[int, ...]]
    fibres: tuple[Fibre, ...]
    fibre_groups: tuple[FibreGroup, ...]
    sizes: Sizes
    garment_kinds: Mapping[str, GarmentKind]
    measuring: MeasuringRules
    limits: SheetLimits
    amounts: AmountWords
    colour_words: ColourWords


@lru_cache(maxsize=1)
def load_standards() -> LotStandards:
    """Read them from the catalogue that comes with the program; raises CatalogueError as `load_catalogue` does."""
    from matcher.store.catalogue import tables

    folder = catalogue_folder()
    reader = Reader(folder, read_sources(folder / "sources.toml"))
    measuring = "standards/measuring.csv"
    fibres = tables.fibres(reader)
    return LotStandards(
        weight_classes(reader),
        yarn_names(reader),
        fibres,
        tables.fibre_groups(reader, fibres),
        (sizes := tables.sizes(reader)),
        tables.garment_kinds(reader, sizes),
        settings(MeasuringRules, measuring, reader.values(measuring)),
        sheet_limits(reader),
        amounts(reader),
        tables.colour_words(reader),
    )
