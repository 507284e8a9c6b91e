"""A hat, a cowl and mitts to match a sweater: its motif fitted to each, and its leftovers shared out among the roles.

Which lots could be in which role of which fit is tried out here, by the rules of a partner; which of them go together
is for the planner to choose.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from matcher.actions.desk import Desk
from matcher.actions.motifs.motif import motif_of
from matcher.actions.names import find
from matcher.actions.partner.fitting import fitting_of
from matcher.actions.partner.settle import Settled, settle
from matcher.actions.partner.wishes import Wishes
from matcher.actions.ranking.why import yours
from matcher.actions.sets.orders import Order, Orders
from matcher.actions.sets.sharings import Tried, knitted, tried_fit
from matcher.actions.whom.bodies import body_of, made_to_measure, with_bodies
from matcher.actions.whom.parties import Asked, ForOne, whom_for
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.fit.cast_ons import Wearing
from matcher.knitting.motifs.motif import Motif
from matcher.matching.pools import Pool, Stock
from matcher.matching.ranking.scope import Party
from matcher.matching.variants import Variant
from matcher.materials.lots import Garment
from matcher.reasons.reason import Column, Field, Term, Words, counted, reason
from matcher.store.catalogue.catalogue import Catalogue

KINDS = ("hat", "cowl", "mitts")
_CALLED = {"hat": "a hat", "cowl": "a cowl", "mitts": "mitts"}


@dataclass(frozen=True)
class Matching:
    """All that was tried for one sweater.

    tried : by kind, fits within the ease. outside : by kind, the nearest fits of those that have none. pot : pools of
    what the sweater left.
    """

    garment: Garment
    motif: Motif
    who: tuple[ForOne, ...]
    pot: tuple[Pool, ...]
    tried: Mapping[str, tuple[Tried, ...]]
    outside: Mapping[str, tuple[Tried, ...]]
    notes: tuple[Words, ...]

    def told_in(self, orders: Orders) -> Orders:
        """All wants, with what is said of how these were looked for."""
        tried = [one for several in self.tried.values() for one in several]
        said = reason(
            "What matches {garment} is chosen among {fits} and {ways} to share its colours out; what is said of the "
            "best that there could be holds for these.",
            garment=self.garment.name,
            fits=counted(len(tried), "{n} fit", "{n} fits"),
            ways=counted(sum(len(one.ways) for one in tried), "{n} way", "{n} ways"),
        )
        notes = tuple(dict.fromkeys((*orders.notes, *self.notes, said)))
        return replace(orders, catalogue=self.known_to(orders.catalogue), notes=notes)

    def known_to(self, known: Catalogue) -> Catalogue:
        """A catalogue that has the motif too, and the body of whom it is for."""
        people = [one.one for one in self.who if body_of(one.one.name) not in known.sizes.table]
        motifs = {**known.motifs, self.motif.key: self.motif}
        return replace(known, motifs=motifs, sizes=with_bodies(known.sizes, people))

    @property
    def orders(self) -> tuple[Order, ...]:
        """A want for each kind."""
        return tuple(self._order(kind) for kind in KINDS)

    def _order(self, kind: str) -> Order:
        text = reason("{thing} to match {garment}", thing=Term(_CALLED[kind]), garment=yours(self.garment.name))
        own: dict[str, tuple[Variant, ...]] = {}
        for one in self.tried[kind]:
            key = one.variant.accessory.key
            own[key] = (*own.get(key, ()), one.variant)
        party = Party(", ".join(one.one.name for one in self.who), {}, own)
        if not self.who:
            return Order(text, 1, party)
        # What her tastes say of colours and things is for those that are found for her; this one she names.
        hers = replace(self.who[0].party, sizes={}, own=own, unwanted=frozenset(), wanted=frozenset())
        return Order(text, 1, hers, (replace(self.who[0], party=hers),))


def matching_of(
    desk: Desk, catalogue: Catalogue, stock: Stock, garment: str, whom: str | None, eyes: tuple[str, ...] | None
) -> Matching:
    """Fit the motif of a garment to everything of the three kinds that has a size for the wearer.

    catalogue : as those eyes see it that decide. stock : what may be used. whom : in place of the garment's wearer.
    eyes : as she asks, None for those of the wearer. Raises NotFound, and BadInput for a garment that has no motif or
    of which nothing is free.
    """
    owner = desk.bin.garments[find(garment, desk.bin.garments, "garment")]
    if not owner.motif:
        what = reason("{garment} has no motif written down", garment=owner.name)
        todo = reason("write it into the column {column} of the garments", column=Column("motif"))
        raise BadInput(what, Field("match"), todo)
    pot = tuple(pool for pool in stock.pools if any(lot.garment == owner.name for lot in pool.lots))
    if not pot:
        what = reason("nothing that {garment} left is free", garment=owner.name)
        raise BadInput(what, Field("match"), reason("name a garment whose leftovers may be used"))
    name = whom or owner.wearer
    who: tuple[ForOne, ...] = ()
    notes: tuple[Words, ...] = ()
    if name:
        asked = whom_for(desk, catalogue, Asked((name,), (), eyes, True, True), catalogue.contrast.eyes)
        who, notes = asked.people, asked.notes
    tried: dict[str, list[Tried]] = {kind: [] for kind in KINDS}
    outside: dict[str, list[Tried]] = {kind: [] for kind in KINDS}
    known: set[object] = set()
    motif = _named_apart(motif_of(owner, desk.catalogue, desk.folder), owner, catalogue)
    for entry in _entries(desk, catalogue, who):
        try:
            worn = _worn(settle(desk, owner.name, entry.key, Wishes(eyes=eyes, whom=name or None)), who)
            if worn is None:
                continue
            fitting = fitting_of(worn)
        except BadInput:  # a garter cowl has no tube, and some thumbs nobody can knit
            continue
        fits = fitting.fits if fitting.chosen.off_by_cm == 0 else ()
        for one in fits or (fitting.chosen,):
            if (alike := knitted(one)) in known:
                continue
            known.add(alike)
            made = tried_fit(worn, replace(fitting, chosen=one), motif, pot)
            (tried if fits else outside)[entry.kind].append(made)
    return Matching(
        owner,
        motif,
        who,
        pot,
        {kind: tuple(several) for kind, several in tried.items()},
        {kind: tuple(several) for kind, several in outside.items()},
        notes,
    )


def _entries(desk: Desk, catalogue: Catalogue, who: tuple[ForOne, ...]) -> list[Accessory]:
    """What there is of the kinds and suits her taste: of entries that are knitted alike the plainest comes first."""
    hers = [{*one.party.sizes, *one.party.own} for one in who]
    found = [
        entry
        for key, entry in catalogue.accessories.items()
        if entry.kind in KINDS and key in desk.variants and all(key in keys for keys in hers)
    ]
    return sorted(found, key=lambda entry: len(entry.roles))


def _named_apart(motif: Motif, owner: Garment, catalogue: Catalogue) -> Motif:
    """The motif by a key that no other has."""
    other = catalogue.motifs.get(motif.key, motif) != motif
    return replace(motif, key=f"{motif.key} ({owner.name})") if other else motif


def _worn(settled: Settled, who: tuple[ForOne, ...]) -> Settled | None:
    """The same in the wearer's own size: to her measures, or of the table; None where it is not made for her."""
    entry, wearing, catalogue = settled.accessory, settled.worn.wearing, settled.desk.catalogue
    size, sizes = catalogue.repairs.kind_of(settled.garment).size, catalogue.sizes
    for one in (found.one for found in who):
        size = one.size or size
        sizes = with_bodies(sizes, [one])
        if one.person.measures and made_to_measure(one, entry, sizes):
            return _in_size(settled, replace(wearing, size=body_of(one.name), sizes=sizes))
    fitting = [one for one in entry.sizes if one == size or sizes.wearer(one) == "anyone"]
    return _in_size(settled, replace(wearing, size=fitting[0], sizes=sizes)) if fitting else None


def _in_size(settled: Settled, wearing: Wearing) -> Settled:
    return replace(settled, worn=replace(settled.worn, wearing=wearing))
