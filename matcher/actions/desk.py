"""What every action starts from: the catalogue, the bin, what its reserves leave free."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from matcher.errors import NotFound
from matcher.knitting.calibration import Calibration
from matcher.knitting.mending.reserve import ReserveGroup, reserves, surplus
from matcher.matching.pools import Pool, pools_of
from matcher.matching.variants import Knowledge, Variant, variants_of
from matcher.materials.lots import Bin
from matcher.materials.uncertain import Estimate
from matcher.store.catalogue.catalogue import Catalogue, demo_folder, load_catalogue
from matcher.store.database.bin import read_store
from matcher.store.database.store import STORE_ENDINGS, is_store, store_path
from matcher.store.sheets.read import read_bin as read_sheets

BinLike = Bin | Path | str | None


def catalogue_for(catalog: Path | str | None) -> Catalogue:
    """The catalogue, with the knitter's own folder added to it when one is given."""
    return load_catalogue(Path(catalog) if catalog is not None else None)


def read_bin(source: BinLike = None, catalog: Path | str | None = None) -> Bin:
    """Read a bin: a store, a folder with `lots.csv` and `garments.csv`, or one spreadsheet.

    None reads the store where there is one (`own_bin`), else the demo. Raises BadSheets with every fault at once,
    NotFound, or BadInput for what is no bin.
    """
    if isinstance(source, Bin):
        return source
    catalogue = catalogue_for(catalog)
    place = Path(source).expanduser() if source is not None else own_bin() or demo_folder()
    if is_store(place) or place.suffix.casefold() in STORE_ENDINGS:
        return read_store(place, catalogue)
    return read_sheets(place, catalogue)


def own_bin() -> Path | None:
    """What is read when no bin is named: her store, or what MATCHER_BIN names; None while there is none."""
    place = store_path()
    try:
        return place if place.exists() else None
    except OSError:  # a name too long for the disk
        return None


def reads_demo(source: BinLike) -> bool:
    """Whether it is the demo that `read_bin` reads, which a face then says."""
    return source is None and own_bin() is None


def knowledge_of(catalogue: Catalogue, calibration: Calibration | None = None) -> Knowledge:
    """The part of the catalogue that the matching works with, and how this knitter knits (`history_of`)."""
    return Knowledge(catalogue.sizes, catalogue.motifs, catalogue.fabric, catalogue.classes, calibration)


_variants: list[tuple[Catalogue, Calibration | None, dict[str, tuple[Variant, ...]]]] = []


def all_variants(catalogue: Catalogue, calibration: Calibration | None = None) -> dict[str, tuple[Variant, ...]]:
    """Every variant of every accessory, by key; worked out once for a catalogue and a history."""
    for kept, history, worked in _variants:
        if kept is catalogue and history == calibration:
            return worked
    knowledge = knowledge_of(catalogue, calibration)
    worked = {key: variants_of(one, knowledge) for key, one in catalogue.accessories.items()}
    _variants[:] = [(catalogue, calibration, worked)]
    return worked


@dataclass(frozen=True)
class Shelf:
    """A bin with its reserves laid and its like lots put together."""

    bin: Bin
    groups: tuple[ReserveGroup, ...]
    free: Mapping[str, Estimate]  # metres of each lot that no reserve holds
    pools: tuple[Pool, ...]


def shelf_of(bin: Bin, catalogue: Catalogue) -> Shelf:
    """Lay the reserves, and put what stays free together."""
    groups = tuple(reserves(bin, catalogue.repairs, catalogue.fabric, catalogue.sizes))
    free = surplus(bin, groups)
    return Shelf(bin, groups, free, pools_of(bin.lots, free, catalogue.measuring.tail_m))


def near_names(name: str, names: Iterable[str]) -> tuple[str, ...]:
    """Names most like the one asked for: spelled alike, or with it inside."""
    known, folded = list(dict.fromkeys(names)), name.casefold().strip()
    inside = [one for one in known if folded and folded in one.casefold()]
    alike = difflib.get_close_matches(name, known, n=3, cutoff=0.5)
    return tuple(dict.fromkeys([*inside, *alike]))[:3]


def find(name: str, names: Iterable[str], what: str) -> str:
    """The name as it is written in `names`, whatever its case; raises NotFound with the nearest ones."""
    known = list(names)
    folded = {one.casefold(): one for one in known}
    if name.casefold().strip() in folded:
        return folded[name.casefold().strip()]
    raise NotFound(f'there is no {what} "{name}"', near=near_names(name, known))
