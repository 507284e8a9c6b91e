"""An accessory begun for somebody: the size or body that it is knitted to, and yarn that must not lie on their skin."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from matcher.actions.meant import size_meant
from matcher.actions.whom.bodies import body_of, made_to_measure, with_bodies
from matcher.actions.whom.everyone import Somebody
from matcher.actions.whom.skins import unsuited
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.materials.lots import Lot
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue


def sized_for(
    one: Somebody, entry: Accessory, size: str | None, catalogue: Catalogue, told: list[Words]
) -> tuple[str, Catalogue]:
    """The size of an accessory for somebody, and the catalogue that knows it; `size` goes before theirs.

    told: is given how the words for a size were read.

    Raises NotFound for a size that the accessory is not made in, BadInput where nothing tells which it is.
    """
    if size is not None:
        what = reason("size of {accessory}", accessory=entry.name)
        return size_meant(size, catalogue.sizes, entry.sizes, what, told), catalogue
    measured = replace(catalogue, sizes=with_bodies(catalogue.sizes, [one]))
    if one.person.measures and made_to_measure(one, entry, measured.sizes):
        return body_of(one.name), measured
    if one.size in entry.sizes:
        return one.size, catalogue
    if len(entry.sizes) == 1:
        return entry.sizes[0], catalogue
    what = reason("the size of {person} is not written down", person=one.name)
    if one.size:
        said = "{accessory} is not made in {size}, the size of {person}"
        what = reason(said, accessory=entry.name, size=Term(one.size), person=one.name)
    raise BadInput(what, Field("size"), reason("give one of {sizes}", sizes=listed(map(Term, entry.sizes))))


def check_skin(one: Somebody, entry: Accessory, lots: Iterable[Lot]) -> None:
    """Refuse yarn that must not lie on somebody's skin, in what does. Raises BadInput."""
    what = next(unsuited(one, lots), None) if entry.next_to_skin else None
    if what is not None:
        raise BadInput(what, Field("lots"), reason("choose another lot, or add {anyway}", anyway=Field("anyway")))
