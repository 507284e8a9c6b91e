"""Which lot or colour each role of a motif is shown in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matcher.actions.desk import Desk
from matcher.actions.names import near_names
from matcher.errors import BadInput, NotFound
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.motifs.files import ReadMotif


@dataclass(frozen=True)
class RoleColour:
    """What a role is shown in: a lot of her bin, or a colour given or read from the picture (`lot` False)."""

    name: str
    colour: Colour
    lot: bool

    @property
    def called(self) -> Words:
        """Its name, and whether its colour is guessed, as a picture says it."""
        return reason("{name} (colour guessed)", name=self.name) if self.colour.guessed else self.name


def colours_painted(read: ReadMotif, catalogue: Catalogue) -> dict[str, RoleColour]:
    """The colours that a motif's own picture has; none for a text."""
    words = catalogue.colour_words
    return {role: RoleColour(code, parse_colour(code, words), lot=False) for role, code in read.colours.items()}


def colours_given(
    motif: Motif, lots: Sequence[str], bin_named: bool, desk: Desk, *, whole: bool = True
) -> dict[str, RoleColour]:
    """What each role is shown in, as somebody asked for it.

    lots: one for each role, "ROLE=LOT", or in the order of the roles that are not named. A name is a lot of the
    bin if there is such a one, else it is read as a colour. whole: whether each role must have one.
    Raises BadInput or NotFound for a role without a lot,
    a lot without a role, a name that is neither; BadSheets for the bin.
    """
    roles = {fold(role): role for role in motif.role_names}
    given: dict[str, str] = {}
    in_order = []
    for one in lots:
        head, sign, tail = one.partition("=")
        role = roles.get(fold(head))
        if not sign or role is None:
            in_order.append(one)
        elif role in given:
            twice = reason("{role} is given two lots", role=Term(role))
            raise BadInput(twice, Field("lots"), reason("give one for each role"))
        else:
            given[role] = tail.strip()
    names = listed(map(Term, motif.role_names))
    free = [role for role in motif.role_names if role not in given]
    if len(in_order) > len(free):
        extra = in_order[len(free)]
        left = reason('no role is left for "{lot}"', lot=extra)
        raise BadInput(left, Field("lots"), reason("the roles are {roles}", roles=names))
    given |= dict(zip(free, in_order, strict=False))
    missing = [role for role in motif.role_names if role not in given]
    if missing and whole:
        none = reason("no lot for {roles}", roles=listed(map(Term, missing), "and", " and "))
        todo = reason("give one for each of {roles}, in this order or as ROLE=LOT", roles=names)
        raise BadInput(none, Field("lots"), todo)
    known: dict[str, RoleColour] = {}
    if bin_named or not all(name.startswith("#") for name in given.values()):
        known = {fold(lot.name): RoleColour(lot.name, lot.colour, lot=True) for lot in desk.bin.lots}
    return {role: _colour(role, given[role], known, desk.catalogue) for role in motif.role_names if role in given}


def _colour(role: str, name: str, lots: Mapping[str, RoleColour], catalogue: Catalogue) -> RoleColour:
    if fold(name) in lots:
        return lots[fold(name)]
    try:
        return RoleColour(name, parse_colour(name, catalogue.colour_words), lot=False)
    except Unreadable as fault:
        near = near_names(name, [one.name for one in lots.values()])
        where = listed((Field("lots"), Term(role)))
        if not near:
            raise BadInput(fault.said, where, reason("name a lot of the bin or a colour")) from None
        raise NotFound(reason('"{name}" isn\'t a lot or a colour', name=name), where, near=near) from None
