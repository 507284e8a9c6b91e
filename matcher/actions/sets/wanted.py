"""What she wants a set to hold, in her words: "2 hats for adults, mitts for my father, something for a friend"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matcher.actions.meant import accessory_meant, kind_meant, size_meant
from matcher.actions.names import find
from matcher.actions.whom.everyone import everyone
from matcher.errors import BadInput, NotFound
from matcher.knitting.accessory import Accessory
from matcher.materials.lots import Bin
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Field, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue

_NUMBERS = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_PAIR = re.compile(r"^(?:a |one )?pairs? of ")
_EXAMPLE = '"2 hats for adults, mitts for my father"'
_NAME_SOME = reason("name accessories, such as hats or mitts")
_MOST = 50  # of one want; more is no gift list
_ANYTHING = frozenset(("something", "anything", "thing", "things", "gift", "gifts", "present", "presents", ""))
_ANYBODY = frozenset(("anybody", "anyone", "everyone", "adult", "adults", "grown-ups", ""))
_CHILDREN = {"baby": "baby", "babies": "baby", "child": "child", "children": "child", "kids": "child"}


@dataclass(frozen=True)
class Wanted:
    """So many things. text : her words. entries : of the catalogue that will do, all of them where she left it open.

    person : whom it is for, "" for anybody; sizes : for anybody, those that will do, empty for any adult's.
    """

    text: str
    number: int
    entries: tuple[Accessory, ...]
    person: str = ""
    sizes: tuple[str, ...] = ()


def wanted_of(texts: Sequence[str], bin: Bin, catalogue: Catalogue, told: list[Words]) -> tuple[Wanted, ...]:
    """Read wants; told : is given how other words were read. Raises NotFound, BadInput."""
    parts = [part.strip() for text in texts for part in re.split(r"[,;]| and (?=\d|an? )", text)]
    if texts and not any(parts):
        raise BadInput(reason("no thing is named"), Field("want", _EXAMPLE), _NAME_SOME)
    return tuple(one for part in parts if part for one in _wanted(part, bin, catalogue, told))


def _wanted(text: str, bin: Bin, catalogue: Catalogue, told: list[Words]) -> Iterator[Wanted]:
    found = re.match(r"^(?:(-?\d+(?:\.\d+)?)\s*x?\s+)?(.*?)(?:\s+for\s+(.+))?$", text, re.IGNORECASE)
    assert found is not None
    count, what, whom = found[1], fold(found[2]), (found[3] or "").strip()
    first, _, rest = what.partition(" ")
    number = 1 if not count else int(count) if count.isdecimal() and len(count) < 4 else 0
    if not count and first in _NUMBERS:
        number, what = _NUMBERS[first], rest
    if not 1 <= number <= _MOST:
        raise BadInput(
            reason('"{text}" wants none, or too many of it', text=text),
            Field("want"),
            reason("give a whole number from 1 to {most}", most=_MOST),
        )
    what = _PAIR.sub("", what)
    entries = _entries(what, catalogue, told)
    if not entries:
        raise BadInput(
            reason('nothing is called "{what}"', what=what),
            Field("want", _EXAMPLE),
            _NAME_SOME,
        )
    yield Wanted(text, number, entries, *_whom(whom, bin, catalogue, told))


def _entries(what: str, catalogue: Catalogue, told: list[Words]) -> tuple[Accessory, ...]:
    every = tuple(catalogue.accessories.values())
    if what in _ANYTHING:
        return every
    try:
        kind = kind_meant(what, catalogue, told)
    except NotFound as fault:
        try:
            return (accessory_meant(what, catalogue, told),)
        except NotFound as other:
            # Of two ways to say that there is none, the one that has something near is of more use.
            raise (other if other.near or not fault.near else fault) from None
    return tuple(entry for entry in every if entry.kind == kind)


def _whom(whom: str, bin: Bin, catalogue: Catalogue, told: list[Words]) -> tuple[str, tuple[str, ...]]:
    """The person, or the sizes of anybody."""
    folded = re.sub(r"^(?:an?|any) ", "", fold(whom))
    sizes = catalogue.sizes
    if folded in _ANYBODY:
        return "", ()
    if folded in _CHILDREN:
        return "", tuple(size for size in sizes.names if sizes.wearer(size) == _CHILDREN[folded])
    people = [one.name for one in everyone(bin, catalogue, of_gone=True)]
    try:
        return find(whom, people, "person"), ()
    except NotFound as fault:
        try:
            return "", (size_meant(re.sub(r"s$", "", folded), sizes, sizes.names, "size", told),)
        except NotFound:
            todo: Words = "" if fault.near else reason("give a size, or one of {people}", people=listed(people, "or"))
            raise NotFound(fault.what, fault.where, fault.near, todo if people else "") from None
