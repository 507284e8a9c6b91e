"""What is asked for, settled: the garment, the accessory, the motif, its roles' yarns, and who it is for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from matcher.actions.asked import check_sure, either_eyes
from matcher.actions.desk import Desk
from matcher.actions.meant import accessory_meant
from matcher.actions.motifs.motif import motif_asked, motif_of
from matcher.actions.names import find
from matcher.actions.partner.wearing import Worn, worn_by
from matcher.actions.partner.wishes import Wishes
from matcher.actions.reading import grouped
from matcher.actions.whom.everyone import Somebody, find_people, guesses
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.fit.fitted import in_role_order
from matcher.knitting.motifs.motif import Motif
from matcher.matching.kept import least_kept
from matcher.matching.pools import Pool
from matcher.matching.recolour.share import Leftovers, share_out
from matcher.materials.colours.vision import WHOSE
from matcher.materials.lots import Garment
from matcher.reasons.reason import Column, Field, Term, Words, reason
from matcher.store.catalogue.catalogue import Catalogue


@dataclass(frozen=True)
class Settled:
    """All that the fit and the colours start from. `leftovers`: what the garment left for each role of the motif;
    `told`: how her words were read."""

    desk: Desk
    wishes: Wishes
    garment: Garment
    accessory: Accessory
    motif: Motif
    leftovers: Leftovers
    worn: Worn
    person: Somebody | None = None
    told: tuple[Words, ...] = ()

    @cached_property
    def catalogue(self) -> Catalogue:
        """The catalogue, where those eyes decide that she asked for, else those of whom it is for; what reads by hue
        goes by the motif at its gauge."""
        catalogue, eyes = self.desk.seen_by(None), self.wishes.eyes
        if eyes is None:
            hers = WHOSE[self.person.person.eyes] if self.person is not None else ()
            eyes = either_eyes(hers, catalogue.contrast.eyes)
        gauge = self.worn.wearing.gauge
        kept = least_kept(self.motif, (gauge.stitches_10cm, gauge.rows_10cm), catalogue.spatial)
        return catalogue.seen_by(eyes).in_motif(kept)

    def suits(self, pool: Pool) -> bool:
        """Whether a yarn may be in it, as far as the skin goes of whom it is for."""
        if self.person is None or not self.accessory.next_to_skin:
            return True
        return self.person.person.bears(pool.yarn.blend)

    @cached_property
    def pools(self) -> tuple[Pool, ...]:
        """The yarns of the bin that may be in it."""
        return tuple(filter(self.suits, self.desk.shelf.pools))

    @property
    def sure_at_least(self) -> float:
        """The chance to reach, hers or the catalogue's."""
        return self.wishes.sure if self.wishes.sure is not None else self.desk.catalogue.ranking.sure_at_least

    @property
    def notes(self) -> tuple[Words, ...]:
        """What is said of how all this was settled."""
        notes = [*self.told, *grouped(self.desk.bin.notes), *self.desk.shelf.notes, *self.worn.notes]
        if self.person is not None and self.worn.like_size == self.person.size and not self.wishes.sized:
            notes += guesses([self.person])
        if self.wishes.motif is None and not self.garment.motif:
            notes.append(
                reason(
                    "{garment} has no motif written down, so the motif here is {motif}, which belongs to the "
                    "{accessory}; choose another with {field}.",
                    garment=self.garment.name,
                    motif=Term(self.motif.name),
                    accessory=Term(self.accessory.name),
                    field=Field("motif"),
                )
            )
        return tuple(notes)


def settle(desk: Desk, garment: str, accessory: str, wishes: Wishes) -> Settled:
    """Find what is named. Raises what reading a bin raises, NotFound, and BadInput for wishes that make no sense."""
    catalogue = desk.catalogue
    told: list[Words] = []
    entry = accessory_meant(accessory, catalogue, told)
    owner = desk.bin.garments[find(garment, desk.bin.garments, "garment")]
    check_sure(wishes.sure)
    motif = _motif(wishes.motif, owner, entry, desk)
    leftovers = share_out(sorted(motif.role_names, key=in_role_order), desk.shelf.pools, owner.name)
    main = next((pool.yarn for pool in leftovers.pools.values() if pool is not None), None)
    person = _person(wishes.whom, owner, desk)
    worn = worn_by(entry, owner, catalogue, wishes, main, told, person)
    return Settled(desk, wishes, owner, entry, motif, leftovers, worn, person, tuple(told))


def _person(whom: str | None, owner: Garment, desk: Desk) -> Somebody | None:
    """Who it is for: whom she names, else the wearer of the garment."""
    if whom is None and not owner.wearer:
        return None
    return find_people([whom or owner.wearer], desk.bin, desk.catalogue)[0]


def _motif(asked: str | Path | None, owner: Garment, entry: Accessory, desk: Desk) -> Motif:
    """The motif asked for, else the garment's, else the accessory's own."""
    if asked is not None:
        return motif_asked(str(asked), desk.catalogue, desk.folder)
    if owner.motif:
        return motif_of(owner, desk.catalogue, desk.folder)
    own = next((zone.motif for zone in entry.zones if zone.motif), None)
    if own is None:
        raise BadInput(
            reason("neither {garment} nor {accessory} names a motif", garment=owner.name, accessory=entry.name),
            Field("motif"),
            reason("give one here, or write it into the column {column} of the garments", column=Column("motif")),
        )
    return desk.catalogue.motifs[own]
