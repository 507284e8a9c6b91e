"""The desk: one bin laid out, with all that an action may need of it, each worked out once and only when asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from copy import copy
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TypeAlias

from matcher.actions.asked import eyes_asked, mending_asked
from matcher.actions.learning.history import History, history_at, no_history
from matcher.actions.place import BinLike, names_store, place_of, store_of
from matcher.actions.reading import NO_GARMENTS, remark
from matcher.actions.remembered import remembered
from matcher.actions.uncollected import uncollected
from matcher.actions.wished import apart, never_wanted, wishes_in
from matcher.errors import BadSheets
from matcher.knitting.calibration import Calibration
from matcher.knitting.mending.reserve import ReserveGroup, reserves, surplus
from matcher.matching.pools import Pool, pools_of
from matcher.matching.variants import Knowledge, Variant, variants_of
from matcher.materials.lots import KEEP, USUAL, Bin, Decision
from matcher.materials.uncertain import Estimate
from matcher.materials.wishes import StandingWishes
from matcher.reasons.reason import Action, Field, Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue
from matcher.store.catalogue.folders import demo_folder
from matcher.store.database.bin import read_store
from matcher.store.sheets.read import Reading, reading_of
from matcher.store.sheets.understood import Understood

_MOST_TOLD = 4  # lots that are named in a remark; of more their number is told


@dataclass(frozen=True)
class Shelf:
    """A bin with its reserves laid and its like lots put together; nothing is free of what she decided to keep."""

    bin: Bin
    groups: tuple[ReserveGroup, ...]
    free: Mapping[str, Estimate]  # metres of each lot that neither a reserve nor her decision holds
    pools: tuple[Pool, ...]
    kept: Mapping[str, Words]  # why lots are kept though no reserve holds them, by their names

    @property
    def wholly_kept(self) -> Iterator[str]:
        """Names of lots of which something is left and nothing free: a reserve or her own decision holds all of it."""
        for pool in self.pools:
            if pool.free.mean <= 0 and (pool.reserve_m > 0 or pool.name in self.kept):
                yield from (lot.name for lot in pool.lots)

    @property
    def notes(self) -> tuple[Words, ...]:
        """What to tell her wherever lots are offered: whether any of it is guessed, that nothing is kept for garments
        that no lot names, which lots her own decision keeps off, and the way back."""
        read_with: tuple[Words, ...] = (self.bin.read_with,) if self.bin.read_with else ()
        mended = any(garment.status != "gone" for garment in self.bin.garments.values())
        if mended and not any(lot.garment for lot in self.bin.lots):
            read_with += (NO_GARMENTS,)
        told, more = sorted(self.kept)[:_MOST_TOLD], len(self.kept) - _MOST_TOLD
        if not told:
            return read_with
        lots: Words = listed(told, "" if more > 0 else "and")
        if more > 0:
            lots = reason("{lots} and {more} more", lots=lots, more=more)
        one = "{lots} isn't offered, because you decided to keep it; {again} offers it again"
        many = "{lots} aren't offered, because you decided to keep them; {again} offers one again"
        return (*read_with, counted(len(self.kept), one, many, lots=lots, again=OFFER_AGAIN))


OFFER_AGAIN = Action("triage", (Field("lot", "LOT"), Field("undecide")))


@uncollected()
def shelf_of(bin: Bin, catalogue: Catalogue, *, mending: str = USUAL, decided: bool = True) -> Shelf:
    """Lay a bin out.

    mending: which repairs yarn is kept for, where nothing is written down. decided: what she decided to keep is not
    free; otherwise as the figures alone say.
    """
    groups = tuple(reserves(bin, catalogue.repairs, catalogue.fabric, catalogue.sizes, mending))
    free, tail_m = surplus(bin, groups), catalogue.measuring.tail_m
    kept: dict[str, Words] = {
        name: reason("kept by your decision of {day}", day=one.made_on)
        for name, one in bin.decisions.items()
        if decided and one.advice == KEEP
    }
    if not kept:
        return Shelf(bin, groups, free, pools_of(bin.lots, free, tail_m), kept)
    free |= {name: Estimate(0.0, free[name].sd) for name in kept}
    groups = tuple(replace(one, freed={lot: min(m, free[lot].mean) for lot, m in one.freed.items()}) for one in groups)
    # What stays is no part of a thread made of others like it.
    offered = pools_of([lot for lot in bin.lots if lot.name not in kept], free, tail_m)
    staying = (pools_of([lot], free, tail_m)[0] for lot in bin.lots if lot.name in kept)
    pools = [*offered, *(replace(pool, kept=kept[pool.name]) for pool in staying)]
    pools.sort(key=lambda pool: min(lot.name for lot in pool.lots))
    return Shelf(bin, groups, free, tuple(pools), kept)


class Desk:
    """One bin: its catalogue, the store it came from, its lots and garments, decisions, shelf, history and variants.

    bin: a store, a folder with `lots.csv` and `garments.csv`, one spreadsheet, or a `Bin`; None is her store where
    there is one, else the demo. catalog: a folder of her own entries, added to the catalogue's; or a whole catalogue.
    mending: one of `MENDING`, which repairs to keep yarn for where a garment's own row leaves it open; None is as she
    wishes.

    Nothing is read before it is asked for; then BadSheets with every fault at once, CatalogueError, NotFound, or
    BadInput for what is no bin.
    """

    def __init__(
        self, bin: BinLike = None, catalog: Catalogue | Path | str | None = None, mending: str | None = None
    ) -> None:
        self._given, self._catalog = bin, catalog
        self._mending = mending_asked(mending)

    def forget(self) -> None:
        """Drop what was read of the bin, since an action has changed it; the catalogue stays."""
        for name in ("bin", "reading", "shelf", "undecided", "history", "place", "store", "folder", "wishes"):
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
        if names_store(place):
            with uncollected():
                return read_store(place, self.catalogue)
        if self.reading.faults:
            raise BadSheets(self.reading.faults, str(place))
        return replace(self.reading.bin, read_with=remark(self.reading.understood))

    @property
    def read_with(self) -> Words:
        """How much of what was read of the bin is guessed; "" for none, or where nothing was read."""
        return self.bin.read_with if "bin" in self.__dict__ else ""

    @cached_property
    def reading(self) -> Reading:
        """A bin with what was made of its headings and cells; that of sheets with faults as values."""
        if isinstance(self._given, Bin):
            return Reading(self._given, Understood())
        place = place_of(self._given) or demo_folder()
        if names_store(place):
            return Reading(read_store(place, self.catalogue, understood := Understood()), understood)
        with uncollected():
            return reading_of(place, self.catalogue, remembered(place))

    @cached_property
    def wishes(self) -> StandingWishes:
        """What she wishes of every command, as her store keeps it; nothing where the bin is in sheets."""
        return wishes_in(self.store)

    def seen_by(self, eyes: str | None) -> Catalogue:
        """The catalogue as she wishes it: those eyes decide, hers where none are asked for; some yarns never meet.

        Raises BadInput for eyes that are none.
        """
        catalogue = self.catalogue.seen_by(eyes_asked(eyes if eyes is not None else self.wishes.eyes or None))
        if not self.wishes.apart:
            return catalogue
        together = replace(catalogue.together, never_meet=apart(self.wishes, self.bin.lots, catalogue))
        return replace(catalogue, together=together)

    @property
    def mending(self) -> str:
        """Which repairs yarn is kept for where a garment's own row leaves it open."""
        return self._mending or self.wishes.mending or USUAL

    @cached_property
    def shelf(self) -> Shelf:
        """Its lots with the reserves laid and her decisions kept, and what stays free put together."""
        return shelf_of(self.bin, self.catalogue, mending=self.mending) if self.decisions else self.undecided

    @cached_property
    def undecided(self) -> Shelf:
        """The same as the figures alone say, for what asks which lots are there and not which may be used."""
        return shelf_of(self.bin, self.catalogue, mending=self.mending, decided=False)

    @property
    def decisions(self) -> Mapping[str, Decision]:
        """What she decided about lots, by their names."""
        return self.bin.decisions

    @cached_property
    def history(self) -> History:
        """What her finished pieces and swatches tell of how she knits."""
        return history_at(self.store, self.catalogue) if self.store is not None else no_history(self.catalogue)

    def with_mending(self, mending: str | None) -> Desk:
        """The same bin with other repairs kept for."""
        other = copy(self)
        other._mending = mending_asked(mending)
        for name in ("shelf", "undecided"):
            other.__dict__.pop(name, None)
        return other

    def with_(self, *, bin: Bin | None = None, wishes: StandingWishes | None = None) -> Desk:
        """The same desk with other lots or decisions on it, or other wishes; how she knits stays. For trying things."""
        other = copy(self)
        for name, value in (("bin", bin), ("wishes", wishes)):
            if value is not None:
                other.__dict__[name] = value
        for name in ("shelf", "undecided"):
            other.__dict__.pop(name, None)
        return other

    @property
    def every_variant(self) -> Mapping[str, tuple[Variant, ...]]:
        """Every variant of every accessory by key, as she knits."""
        return _all_variants(self.catalogue, self.history.learnt)

    @property
    def variants(self) -> Mapping[str, tuple[Variant, ...]]:
        """The same without what she never wants."""
        never = never_wanted(self.wishes, self.catalogue)
        return {key: several for key, several in self.every_variant.items() if key not in never}


DeskLike: TypeAlias = "Desk | BinLike"


def desk_of(bin: DeskLike = None, catalog: Catalogue | Path | str | None = None, mending: str | None = None) -> Desk:
    """The desk of a bin; one that is open already is used as it is, but for the mending where that is asked for."""
    if not isinstance(bin, Desk):
        return Desk(bin, catalog, mending)
    return bin if mending in (None, bin.mending) else bin.with_mending(mending)


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
    with uncollected():
        worked = {key: variants_of(one, knowledge) for key, one in catalogue.accessories.items()}
    _variants[:] = [(catalogue, calibration, worked)]
    return worked
