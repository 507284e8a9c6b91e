"""Words that somebody likes or not: kinds of accessory, accessories, colours, fibres; and which lots are of these."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from matcher.actions.names import near_names
from matcher.knitting.accessory import KINDS
from matcher.materials.colours.families import colours_called, sought
from matcher.materials.fibre import find_fibre
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unclear, Unreadable
from matcher.reasons.reason import Words, reason
from matcher.store.catalogue.catalogue import Catalogue


@dataclass(frozen=True)
class Tastes:
    """What words name: keys of accessories, names of lots; unknown: the others."""

    accessories: frozenset[str] = frozenset()
    lots: frozenset[str] = frozenset()
    unknown: tuple[str, ...] = ()


def tastes_of(words: Iterable[str], lots: Sequence[Lot], catalogue: Catalogue) -> Tastes:
    """What somebody's words name."""
    accessories: set[str] = set()
    named: set[str] = set()
    unknown = []
    for word in words:
        keys = set(accessories_called(word, catalogue))
        of_colour = None if keys else lots_of_colour(word, lots, catalogue)
        accessories |= keys
        named |= set(of_colour or ())
        if not keys and of_colour is None:
            unknown.append(word)
    return Tastes(frozenset(accessories), frozenset(named), tuple(unknown))


def accessories_called(word: str, catalogue: Catalogue) -> Iterator[str]:
    """Keys of the accessories that a word means: a kind ("hats"), an entry's name or key, a word of its name."""
    forms = _forms(word)
    called = {**{kind: kind for kind in KINDS}, **catalogue.accessory_words}
    kinds = {called[form] for form in forms if form in called}
    for key, entry in catalogue.accessories.items():
        names = {fold(key), fold(entry.name)}
        if entry.kind in kinds or forms & names or (not kinds and forms & set(fold(entry.name).split())):
            yield key


def _forms(word: str) -> set[str]:
    """A word as it may stand in the catalogue: in the singular, in the plural, without "things" behind it."""
    folded = fold(word).removesuffix(" things").removesuffix(" thing")
    singular = re.sub("ies$", "y", folded)  # cosies
    return {folded, singular, folded.removesuffix("s"), folded.removesuffix("es"), f"{folded}s"}


def lots_of_colour(word: str, lots: Sequence[Lot], catalogue: Catalogue) -> tuple[str, ...] | None:
    """Names of the lots of a colour or fibre: by name, or by what they are called. None for any other word."""
    named = {lot.name for lot in lots if f" {fold(word)} " in f" {fold(lot.colour_name)} {fold(lot.name)} "}
    try:
        colour = sought(word, catalogue.families, catalogue.colour_words).value
    except Unreadable:
        of_fibre = lots_of_fibre(word, lots, catalogue)
        return tuple(sorted(named.union(of_fibre or ()))) if named or of_fibre is not None else None
    return tuple(
        lot.name for lot in lots if lot.name in named or colour.fits(colours_called(lot.colour, catalogue.families))
    )


def lots_of_fibre(word: str, lots: Iterable[Lot], catalogue: Catalogue) -> set[str] | None:
    """Names of the lots with a fibre in them, or with one of several that a word stands for. None for no fibre's."""
    group = next((one for one in catalogue.fibre_groups if fold(word) in one.words), None)
    try:
        fibres = set(group.fibres) if group else {find_fibre(word, catalogue.fibres).name}
    except Unclear:
        return None
    return {lot.name for lot in lots if any(one.name in fibres for one, share in lot.yarn.blend.parts if share > 0)}


def not_understood(name: str, words: Sequence[str], catalogue: Catalogue) -> Iterator[Words]:
    """That words of somebody's likes name nothing that is known, with the nearest that would."""
    known = [*KINDS, *(one.name for one in catalogue.accessories.values())]
    known += list(dict.fromkeys(one.family for one in catalogue.families))
    for word in words:
        said = reason('{person}: "{word}" is no kind, accessory, colour or fibre known here', person=name, word=word)
        near = near_names(word, known)
        yield reason("{said}; did you mean {near}?", said=said, near=near[0]) if near else said
