"""Which lots are meant: by where they lie, how thick they are, what colour they are called, how much is free."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from matcher.actions.looking.lines import LotLine
from matcher.actions.names import near_names, unreadable
from matcher.errors import BadInput, NotFound
from matcher.materials.colours.families import sought
from matcher.materials.reading.names import fold
from matcher.materials.reading.units import Unreadable, parse_length_m
from matcher.materials.thickness import heard_thickness
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue

Fits = Callable[[LotLine], bool]


@dataclass(frozen=True)
class Which:
    """What she asked for, each as something that a lot fits or not; `notes` say how a word was taken."""

    fits: tuple[Fits, ...]
    notes: tuple[Words, ...] = ()

    def of(self, lots: tuple[LotLine, ...]) -> tuple[LotLine, ...]:
        """The lots that fit all of it."""
        return tuple(one for one in lots if all(fits(one) for fits in self.fits))


def which(
    lots: tuple[LotLine, ...],
    catalogue: Catalogue,
    *,
    place: str | None,
    weight_class: str | None,
    colour: str | None,
    free: str | None,
) -> Which:
    """Read what she asked for. Raises NotFound for a place where nothing lies, BadInput for what cannot be read."""
    notes: list[Words] = []
    fits: list[Fits] = []
    if place is not None:
        fits.append(_at(place, lots))
    if weight_class is not None:
        fits.append(_thick(weight_class, catalogue, notes))
    if colour is not None:
        fits.append(_coloured(colour, catalogue, notes))
    if free is not None:
        fits.append(_free(free))
    return Which(tuple(fits), tuple(notes))


def _at(place: str, lots: tuple[LotLine, ...]) -> Fits:
    """Lots of that place; where none is called exactly so, of those that have the word in their name."""
    places = list(dict.fromkeys(one.lot.place for one in lots if one.lot.place))
    folded = fold(place)
    meant = [one for one in places if fold(one) == folded] or [one for one in places if folded and folded in fold(one)]
    if not meant:
        near = near_names(place, places)
        todo: Words = ""
        if not near and places:
            todo = reason("there are: {places}", places=listed(sorted(places)))
        raise NotFound(reason('nothing lies in "{place}"', place=place), Field("place"), near, todo)
    return lambda one: one.lot.place in meant


def _thick(text: str, catalogue: Catalogue, notes: list[Words]) -> Fits:
    try:
        heard = heard_thickness(text, catalogue.classes, catalogue.yarn_names)
    except Unreadable as fault:
        raise unreadable(fault, Field("class")) from None
    if heard.taken:
        notes.append(reason('"{text}" is looked for as {taken}', text=text, taken=heard.taken))
    return lambda one: one.lot.yarn.weight_class in heard.value.classes


def _coloured(text: str, catalogue: Catalogue, notes: list[Words]) -> Fits:
    """A family, dark or pale if she says so; any other colour stands for what it is called."""
    try:
        heard = sought(text, catalogue.families, catalogue.colour_words)
    except Unreadable as fault:
        families = listed(map(Term, dict.fromkeys(one.family for one in catalogue.families)), "or")
        todo = reason("give one of {families}, also dark or pale", families=families)
        raise BadInput(reason('"{found}" isn\'t a colour', found=fault.found), Field("colour"), todo) from None
    if heard.taken:
        notes.append(reason('"{colour}" is looked for as {called}', colour=text, called=heard.taken))
    return lambda one: heard.value.fits(one.colours)


def _free(text: str) -> Fits:
    try:
        least = parse_length_m(text)
    except Unreadable as fault:
        raise unreadable(fault, Field("free")) from None
    return lambda one: one.free_m >= least


SORTS = ("name", "place", "class", "colour", "lightness", "garment", "free", "grams")


def sorted_lots(lots: tuple[LotLine, ...], by: str, catalogue: Catalogue) -> tuple[LotLine, ...]:
    """In the order asked for; equal ones stay by name."""
    families = list(dict.fromkeys(one.family for one in catalogue.families))
    keys: dict[str, Callable[[LotLine], tuple[Any, ...]]] = {
        "name": lambda one: (fold(one.lot.name),),
        "place": lambda one: (not one.lot.place, fold(one.lot.place)),
        "class": lambda one: (one.lot.yarn.weight_class,),
        "colour": lambda one: (families.index(one.colours[0].split()[-1]), one.lot.colour.mean()[0]),
        "lightness": lambda one: (one.lot.colour.mean()[0],),
        "garment": lambda one: (not one.lot.garment, fold(one.lot.garment)),
        "free": lambda one: (-one.free_m,),
        "grams": lambda one: (-one.lot.mass_g,),
    }
    return tuple(sorted(lots, key=keys[by]))


def group_of(line: LotLine, by: str, catalogue: Catalogue) -> Words:
    """The heading under which a lot stands in that order; "" where the order makes no groups."""
    lot = line.lot
    if by == "place":
        return lot.place or reason("no place written down")
    if by == "garment":
        return lot.garment or reason("from no garment")
    if by == "colour":
        return Term(line.colours[0].split()[-1])
    if by == "class":
        number = lot.yarn.weight_class
        name = next((one.name for one in catalogue.classes if one.number == number), "")
        return reason("class {number}, {name}", number=number, name=Term(name))
    return ""


def asked_sort(by: str) -> str:
    """One of `SORTS`; raises BadInput."""
    if by not in SORTS:
        todo = reason("give {ways}", ways=listed(map(Term, SORTS), "or"))
        raise BadInput(reason('nothing is sorted by "{by}"', by=by), Field("sort"), todo)
    return by
