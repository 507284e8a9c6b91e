"""Everybody she knits for: those written down, and wearers of garments of whom no more than the name is known."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import mean

from matcher.actions.names import find
from matcher.knitting.bodies import Sizes, parse_size
from matcher.materials.lots import Bin, Garment
from matcher.materials.people import Person
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Action, Term, Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue

ADULT, GONE = "adult", "gone"
_BEHIND = re.compile(
    r".*\S\s*[(,]\s*((?:aged? )?\d[\d.,]* ?(?:months?|mths?|mos?|m|weeks?|wks?|years?|yrs?|y\.?o\.?)?|[^\d(),]+)\)?\s*"
)


@dataclass(frozen=True)
class Somebody:
    """A person with the size that is taken for theirs. guessed: it follows from their garments alone."""

    person: Person
    size: str = ""
    guessed: bool = False

    @property
    def name(self) -> str:
        return self.person.name


def everyone(bin: Bin, catalogue: Catalogue, *, of_gone: bool = False) -> tuple[Somebody, ...]:
    """Those written down, then wearers of garments, in order of their names.

    of_gone : wearers of garments that are gone, too; nobody needs to be thought of who only wore one of these.
    """
    worn: dict[str, list[Garment]] = {}
    for garment in sorted(bin.garments.values(), key=lambda one: one.name):
        if garment.wearer:
            worn.setdefault(fold(garment.wearer), []).append(garment)
    people = {fold(name): person for name, person in sorted(bin.people.items())}
    for folded, garments in sorted(worn.items()):
        if folded not in people and (of_gone or any(one.status != GONE for one in garments)):
            people[folded] = Person(garments[0].wearer)
    return tuple(_sized(person, worn.get(folded, ()), catalogue) for folded, person in people.items())


def not_thought_of(bin: Bin, catalogue: Catalogue) -> frozenset[str]:
    """Sizes that are no example of what yarn could become: a baby's, which ask for care of their own, and a child's
    where no child of that size is there."""
    sizes, theirs = catalogue.sizes, {one.size for one in everyone(bin, catalogue)}
    return frozenset(
        size
        for size in sizes.names
        if sizes.wearer(size) == "baby" or (sizes.wearer(size) == "child" and size not in theirs)
    )


def find_people(names: Iterable[str], bin: Bin, catalogue: Catalogue) -> tuple[Somebody, ...]:
    """The people of these names, whatever their case; raises NotFound with the nearest names."""
    known = {one.name: one for one in everyone(bin, catalogue, of_gone=True)}
    return tuple(known[find(name, known, "person")] for name in names)


def _sized(person: Person, garments: Sequence[Garment], catalogue: Catalogue) -> Somebody:
    sizes = catalogue.sizes
    if person.size:
        return Somebody(person, person.size)
    if sizes.named(person.name) in sizes.names:  # a garment may name a size as its wearer
        return Somebody(person, sizes.named(person.name))
    if size := _beside_name(person.name, sizes):
        return Somebody(person, size)
    if "chest" in person.measures:
        return Somebody(person, _by_chest(person.measures["chest"], sizes))
    size = _by_garments([one for one in garments if one.status != GONE], catalogue)
    return Somebody(person, size, guessed=bool(size))


def _beside_name(name: str, sizes: Sizes) -> str:
    """The size that stands behind a name, "Lily (age 6)", "Tom, 8 years"; "" where none does."""
    found = _BEHIND.fullmatch(name)
    if found is None:
        return ""
    try:
        return parse_size(found[1], sizes).value
    except Unreadable:
        return ""


def _by_garments(garments: Sequence[Garment], catalogue: Catalogue) -> str:
    """The size that somebody's garments tell: a child's kind is a child's, else by what is left for the chest."""
    kinds = [catalogue.repairs.kind_of(one) for one in garments]
    of_children = [kind.size for kind in kinds if catalogue.sizes.wearer(kind.size) != ADULT]
    if of_children:
        return of_children[0]
    chests = [
        one.chest_cm - kind.chest_ease_cm for one, kind in zip(garments, kinds, strict=True) if one.chest_cm is not None
    ]
    return _by_chest(mean(chests), catalogue.sizes) if chests else ""


def _by_chest(chest_cm: float, sizes: Sizes) -> str:
    """The grown size of the nearest chest; "" for one that is clearly no grown person's."""
    grown = [size for size in sizes.names if sizes.wearer(size) == ADULT and sizes.has(size, "chest")]
    chests = sorted(sizes.dimension(size, "chest") for size in grown)
    if not chests or chest_cm < 2 * chests[0] - chests[1]:
        return ""
    return min(grown, key=lambda size: abs(sizes.dimension(size, "chest") - chest_cm))


def guesses(people: Sequence[Somebody]) -> Iterator[Words]:
    """That sizes were guessed, and how to say what they are."""
    guessed = [reason("{person} {size}", person=one.name, size=Term(one.size)) for one in people if one.guessed]
    if guessed:
        yield counted(
            len(guessed),
            "A size is guessed from the garments: {people}. Write it down for them, in your sheets or with {person}.",
            "Sizes are guessed from the garments: {people}. Write them down, in your sheets or with {person}.",
            people=listed(guessed),
            person=Action("person"),
        )


def with_size(people: Sequence[Somebody], size: str) -> tuple[Somebody, ...]:
    """The same people, each taken to be of one size, whatever is written down."""
    return tuple(Somebody(replace(one.person, size=size, measures={}), size) for one in people)
