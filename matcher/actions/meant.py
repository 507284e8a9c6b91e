"""What she means by a class, a kind, a size or an accessory: the words that her sheets take, and what is spelled nearly
right. Whatever is not what she typed is told."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from matcher.actions.names import find, near_names, read_as
from matcher.errors import BadInput, NotFound
from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes, parse_size
from matcher.materials.reading.names import fold, slip_of
from matcher.materials.reading.numerals import Unreadable
from matcher.materials.thickness import heard_thickness
from matcher.reasons.reason import Field, Term, Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue

_IDLE = frozenset(("a", "an", "the", "with", "of", "in", "for", "to", "my", "and", "some"))


def class_meant(text: str | int, catalogue: Catalogue, told: list[Words]) -> int:
    """One weight class from "3", "DK", "4ply"; told: is given how other words were read. Raises BadInput."""
    field = Field("class")
    try:
        heard = heard_thickness(str(text), catalogue.classes, catalogue.yarn_names)
    except Unreadable as fault:
        what = reason('there is no yarn weight class "{text}"', text=str(text))
        raise BadInput(what, field, reason("give {expected}", expected=fault.expected)) from None
    classes = heard.value.classes
    if len(classes) > 1:
        several = listed((str(one) for one in classes), "or")
        what = reason('"{text}" may be class {classes}', text=str(text), classes=several)
        raise BadInput(what, field, reason("give one of them"))
    told += read_as(str(text), heard.taken, heard.sure)
    return classes[0]


def size_meant(text: str, sizes: Sizes, among: Iterable[str], what: Words, told: list[Words]) -> str:
    """One of the sizes `among` from "adult medium", "M", "size M", "age 5". Raises NotFound with those there are."""
    known = list(among)
    plain = re.sub(r"^size\s+", "", fold(text))
    slip = slip_of(plain, [*sizes.names, *sizes.words])
    for word in (text, plain, slip):
        try:
            heard = parse_size(word, sizes)
        except Unreadable:
            continue
        if heard.value in known:
            if word is slip or heard.taken:
                told += read_as(text, heard.taken or Term(heard.value), heard.sure and word is not slip)
            return heard.value
        break
    return _find(text, known, what)


def kind_meant(text: str, catalogue: Catalogue, told: list[Words]) -> str:
    """A kind of accessory from "hat", "hats", "beanie", "jumper". Raises NotFound."""
    kinds = list(dict.fromkeys(one.kind for one in catalogue.accessories.values()))
    folded = fold(text)
    if folded in kinds:
        return folded
    words = {**{kind: kind for kind in kinds}, **catalogue.accessory_words}
    found = next((words[one] for one in _spellings(folded) if one in words), None)
    slip = "" if found else slip_of(folded, words)
    kind = found or words.get(slip, "")
    if kind not in kinds:
        return _find(text, kinds, "kind of accessory")
    if folded not in (f"{kind}s", kind.removesuffix("s")):
        told += read_as(text, Term(kind), sure=bool(found))
        told += _less(folded if found else slip, kind, catalogue)
    return kind


def _less(word: str, kind: str, catalogue: Catalogue) -> Iterator[Words]:
    """That the catalogue has less than was asked for, such as no whole jumper; nothing where she has her own."""
    but = next((catalogue.accessory_buts[one] for one in _spellings(word) if one in catalogue.accessory_buts), None)
    if but is not None and not any(one.own and one.kind == kind for one in catalogue.accessories.values()):
        yield but


def kinds_meant(texts: Iterable[str], catalogue: Catalogue, told: list[Words]) -> tuple[str, ...]:
    """Several of them, each once."""
    return tuple(dict.fromkeys(kind_meant(one, catalogue, told) for one in texts))


def sizes_meant(texts: Iterable[str], sizes: Sizes, told: list[Words]) -> tuple[str, ...]:
    """Several sizes of the catalogue, each once."""
    return tuple(dict.fromkeys(size_meant(one, sizes, sizes.names, "size", told) for one in texts))


def accessory_meant(name: str, catalogue: Catalogue, told: list[Words]) -> Accessory:
    """The entry of this key or name; else the only one whose name has all these words, which is told.

    Raises NotFound where there is none, with the nearest ones; where there are several, with all of them.
    """
    entries = catalogue.accessories
    folded = fold(name)
    for key, entry in entries.items():
        if folded in (fold(key), fold(entry.name)):
            return entry
    found = _with_words(folded, catalogue)
    if len(found) == 1:
        told += read_as(name, reason("the {accessory}", accessory=Term(found[0].name)), sure=True)
        return found[0]
    if found:
        several = '"{name}" may be {n} of the accessories'
        what = counted(len(found), several, several, name=name)
        names = listed(sorted(one.name for one in found), "or", "; ")
        raise NotFound(what, near=(one.name for one in found), todo=reason("say which: {names}", names=names))
    named = {fold(one.name): one for one in entries.values()}
    slip = slip_of(folded, named)
    if slip:
        told += read_as(name, reason("the {accessory}", accessory=Term(named[slip].name)), sure=False)
        return named[slip]
    near = near_names(folded, [*entries, *(one.name for one in entries.values())])
    known = reason("the catalogue has: {names}", names=listed(sorted(entries)))
    raise NotFound(reason('there is no accessory "{name}"', name=name), near=near, todo="" if near else known)


def _find(text: str, known: Sequence[str], what: Words) -> str:
    """The name among those that are known; where none is near, all of them are told."""
    try:
        return find(text, known, what)
    except NotFound as fault:
        todo: Words = "" if fault.near else reason("give one of {names}", names=listed(map(Term, known), "or"))
        raise NotFound(fault.what, fault.where, fault.near, todo) from None


def _with_words(folded: str, catalogue: Catalogue) -> Sequence[Accessory]:
    """Accessories whose name, key and kind have all the words; a word for a kind stands for the kind."""
    of_kind = catalogue.accessory_words.get(folded)
    asked = {of_kind} if of_kind else set(_words(folded))
    entries = tuple(catalogue.accessories.values())
    holding = {entry.key: {*_words(f"{entry.key} {entry.name}"), entry.kind} for entry in entries}
    vocabulary = sorted({word for words in holding.values() for word in words})
    wanted: set[str] = set()
    for word in asked:
        meant = next((one for one in _spellings(word) if one in vocabulary), None)
        meant = meant or catalogue.accessory_words.get(word)
        if not meant:
            slip = slip_of(word, [*vocabulary, *catalogue.accessory_words])
            meant = catalogue.accessory_words.get(slip, slip)
        if not meant:
            return ()
        wanted.add(meant)
    if not wanted:
        return ()
    return [entry for entry in entries if wanted <= holding[entry.key]]


def _words(text: str) -> list[str]:
    return [word for word in re.findall(r"[^\W_]+", fold(text)) if word not in _IDLE]


def _spellings(word: str) -> tuple[str, ...]:
    """A word as it is, and as one of many or many of one."""
    return (word, word.removesuffix("s"), word.removesuffix("es"), f"{word}s")
