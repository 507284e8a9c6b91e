"""What every action starts from: the catalogue, the bin, what its reserves leave free."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from matcher.errors import NotFound
from matcher.knitting.reserve import ReserveGroup, reserves, surplus
from matcher.matching.pools import Pool, pools_of
from matcher.matching.variants import Knowledge, Variant, variants_of
from matcher.materials.lots import Bin
from matcher.store.catalogue import Catalogue, demo_folder, load_catalogue
from matcher.store.sheets import read_bin as read_sheets

BinLike = Bin | Path | str | None


def catalogue_for(catalog: Path | str | None) -> Catalogue:
    """The catalogue, with the knitter's own folder added to it when one is given."""
    return load_catalogue(Path(catalog) if catalog is not None else None)


def read_bin(source: BinLike = None, catalog: Path | str | None = None) -> Bin:
    """Read a bin: a folder with `lots.csv` and `garments.csv`, or one spreadsheet; None reads the demo.

    Raises BadSheets with every fault at once, or NotFound.
    """
    if isinstance(source, Bin):
        return source
    return read_sheets(Path(source) if source is not None else demo_folder(), catalogue_for(catalog))


def knowledge_of(catalogue: Catalogue) -> Knowledge:
    """The part of the catalogue that the matching works with."""
    return Knowledge(catalogue.sizes, catalogue.motifs, catalogue.fabric, catalogue.classes)


_variants: dict[int, tuple[Catalogue, dict[str, tuple[Variant, ...]]]] = {}


def all_variants(catalogue: Catalogue) -> dict[str, tuple[Variant, ...]]:
    """Every variant of every accessory, by key; worked out once for a catalogue."""
    if id(catalogue) not in _variants:
        knowledge = knowledge_of(catalogue)
        worked = {key: variants_of(one, knowledge) for key, one in catalogue.accessories.items()}
        _variants.clear()
        _variants[id(catalogue)] = (catalogue, worked)
    return _variants[id(catalogue)][1]


@dataclass(frozen=True)
class Shelf:
    """A bin with its reserves laid and its like lots put together."""

    bin: Bin
    groups: tuple[ReserveGroup, ...]
    pools: tuple[Pool, ...]


def shelf_of(bin: Bin, catalogue: Catalogue) -> Shelf:
    """Lay the reserves, and put what stays free together."""
    groups = tuple(reserves(bin, catalogue.repairs, catalogue.fabric, catalogue.sizes))
    free = surplus(bin, groups)
    return Shelf(bin, groups, pools_of(bin.lots, free, catalogue.measuring.tail_m))


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
