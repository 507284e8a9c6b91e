"""Are the files of a bin in order, and what was made of them?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.motifs.motif import motif_of
from matcher.actions.names import near_names
from matcher.actions.reading import follows, reading_dict
from matcher.errors import Fault, MatcherError
from matcher.knitting.mending.reserve import role_known
from matcher.materials.lots import Bin, Garment
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.sheets.understood import Understood


@dataclass(frozen=True)
class Checked:
    """A bin as it was read. faults: what cannot be read; while there are any, the bin lacks those rows. follows: what
    follows from what the sheets do not say; notes: what stops nothing, but is hardly meant."""

    bin: Bin
    understood: Understood
    faults: tuple[Fault, ...] = ()
    follows: tuple[Words, ...] = ()
    notes: tuple[Words, ...] = ()

    @property
    def in_order(self) -> bool:
        """Whether all of it says plainly what it was taken for."""
        return not (self.faults or self.follows or self.understood.left_out or any(self.understood.guesses()))

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON; sentences are reasons still."""
        return {
            "ok": not self.faults,
            "in_order": self.in_order,
            "lots": len(self.bin.lots),
            "garments": len(self.bin.garments),
            "faults": [vars(fault) for fault in self.faults],
            "reading": reading_dict(self.understood),
            "follows": list(self.follows),
            "notes": list(self.notes),
        }


def check(bin: DeskLike, *, catalog: Path | str | None = None) -> Checked:
    """Read a bin for its faults, and for what was guessed and left out: all of it at once, and nothing is changed.

    Raises NotFound and BadInput where there is no bin to read, and BadSheets for the cells of a store.
    """
    desk = desk_of(bin, catalog)
    read, catalogue, beside = desk.reading, desk.catalogue, desk.folder
    said = [words for garment in read.bin.garments.values() for words in _remarks(garment, catalogue, beside)]
    said += _roles(read.bin, whole=not read.faults)
    return Checked(read.bin, read.understood, read.faults, follows(read.tables), (*read.bin.notes, *said))


def _remarks(garment: Garment, catalogue: Catalogue, beside: Path | None) -> Iterator[Words]:
    """What stops nothing yet, but is hardly meant: a kind that no repairs are known for, a motif that is not there."""
    kinds = catalogue.repairs.kinds
    folded = fold(garment.kind)
    if folded not in ("", "other") and catalogue.repairs.kind_of(garment).kind == "other":
        near = near_names(folded, kinds)
        known = reason("known are {kinds}", kinds=listed(sorted({one.repairs_of for one in kinds.values()}), "and"))
        meant = reason("did you mean {near}?", near=near[0]) if near else known
        yield reason(
            '{garment}: "{kind}" isn\'t a kind of garment known here, so less is kept to mend it; {meant}',
            garment=garment.name,
            kind=garment.kind,
            meant=meant,
        )
    if garment.motif:
        try:
            motif_of(garment, catalogue, beside)
        except MatcherError as fault:
            yield reason("{garment}: its motif can't be used: {fault}", garment=garment.name, fault=fault.said)


def _roles(bin: Bin, whole: bool) -> Iterator[Words]:
    """Roles that the repairs of a garment would not be shared out by as they are meant. whole: whether all lots could
    be read, so that one that is missing is missing."""
    roles: dict[str, set[str]] = {}
    for lot in bin.lots:
        if lot.garment:
            roles.setdefault(lot.garment, set()).add(lot.role if role_known(lot.role) else "")
            if lot.role and not role_known(lot.role):
                near = near_names(lot.role, _ROLES)
                meant = reason("did you mean {near}?", near=near[0]) if near else _KNOWN
                unknown = '{lot}: "{role}" isn\'t a role known here, so it counts as none; {meant}'
                yield reason(unknown, lot=lot.name, role=lot.role, meant=meant)
    for name, given in roles.items() if whole else ():
        garment = bin.garments.get(name)
        if garment is not None and garment.status != "gone" and not given & {"main", ""}:
            lacking = "{garment}: none of its lots has the role main, and elbows and the like are kept in main only"
            yield reason(lacking, garment=name)


_ROLES = ("main", *(f"contrast {number}" for number in range(1, 10)))
_KNOWN = reason("known are main, contrast 1, contrast 2 and so on")
