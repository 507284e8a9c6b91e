"""The wants of a set as they are looked for: which accessories, how many, and whom each is for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from matcher.actions.asked import eyes_asked
from matcher.actions.desk import Desk
from matcher.actions.names import find
from matcher.actions.sets.wanted import Wanted
from matcher.actions.whom.everyone import everyone
from matcher.actions.whom.parties import Asked, ForOne, Whom, sizes_of_anybody, whom_for
from matcher.errors import BadInput
from matcher.matching.ranking.scope import Party
from matcher.matching.sets.aims import FEW, USE_UP
from matcher.reasons.reason import Action, Field, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue

YOKE = "yoke"
"""A part of a garment, and no thing by itself."""


@dataclass(frozen=True)
class Order:
    """One want. text : to name it. number : of things, None for any. party : whom it is for, of a name of its own, with
    the accessories that will do. people : one for each of the things, nobody for anybody."""

    text: Words
    number: int | None
    party: Party
    people: tuple[ForOne, ...] = ()


@dataclass(frozen=True)
class Orders:
    """All wants, and everybody whom they are for. catalogue : with the bodies of those who were measured."""

    orders: tuple[Order, ...]
    catalogue: Catalogue
    notes: tuple[Words, ...]


@dataclass(frozen=True)
class Asking:
    """What she asks for. whom : names, as for a list. eyes : whose decide, None for those of the people."""

    wanted: tuple[Wanted, ...]
    people: bool
    whom: tuple[str, ...]
    eyes: str | None
    aim: str


def orders_of(desk: Desk, catalogue: Catalogue, asking: Asking, given: Sequence[Order] = ()) -> Orders:
    """given : further wants, the last of all.

    Raises NotFound for a person whom nobody knows, BadInput where there is nobody for whom something is asked."""
    seen = None if asking.eyes is None else eyes_asked(asking.eyes)
    every = _things(desk, small=asking.aim in (USE_UP, FEW))
    orders: list[Order] = []
    notes: list[Words] = []

    def who_are(names: Sequence[str], kinds: bool) -> Whom:
        found = whom_for(desk, catalogue, Asked(tuple(names), (), seen, kinds), catalogue.contrast.eyes)
        notes.extend(found.notes)
        return found

    known = [one.name for one in everyone(desk.bin, catalogue)]
    names = [find(one, known, "person") for one in asking.whom]
    bodies = catalogue
    theirs = [one.person for one in asking.wanted if one.person]
    if theirs:
        who = who_are(list(dict.fromkeys(theirs)), kinds=True)
        bodies, people = who.catalogue, {one.one.name: one for one in who.people}
    for one in asking.wanted:
        keys = _will_do(one, desk)
        if one.person:
            orders.append(
                Order(one.text, one.number, _with(people[one.person].party, keys), (people[one.person],) * one.number)
            )
        else:
            eyes = catalogue.contrast.eyes if seen is None else seen
            party = Party("", sizes_of_anybody(catalogue, one.sizes), eyes=eyes)
            orders.append(Order(one.text, one.number, _with(party, keys)))
    if asking.people:
        if not known:
            raise BadInput(
                reason("nobody is written down in this bin"),
                Field("people"),
                reason("write them into a sheet, or with {person}", person=Action("person")),
            )
        everybody = who_are(list(dict.fromkeys((*(names or known), *theirs))), kinds=False)
        bodies, asked = everybody.catalogue, set(names or known)
        for alike in _alike([one for one in everybody.people if one.one.name in asked]):
            text = listed((one.one.name for one in alike), "and")
            orders.append(
                Order(reason("something for {people}", people=text), len(alike), _with(alike[0].party, every), alike)
            )
    if not (orders or given) or asking.aim in (USE_UP, FEW):
        who = who_are(names, kinds=False)
        bodies = who.catalogue
        orders += [Order("", None, _with(party, every), who.people) for party in who.parties]
    named = tuple(
        replace(one, party=replace(one.party, name=f"{place}: {one.party.name}"))
        for place, one in enumerate((*orders, *given))
    )
    return Orders(named, bodies, tuple(dict.fromkeys(notes)))


def _things(desk: Desk, small: bool) -> frozenset[str]:
    """What is a thing by itself and takes nothing but her lots; small things only where any use is welcome."""
    entries = desk.catalogue.accessories
    return frozenset(
        key
        for key in desk.variants
        if key in entries
        and entries[key].kind != YOKE
        and (small or not entries[key].small)
        and not any(role.bring for role in entries[key].roles)
    )


def _will_do(wanted: Wanted, desk: Desk) -> frozenset[str]:
    """Of what she names all, where anything of it takes nothing but her lots only that; where she left it open, all but
    small things, yokes and what she never wants."""
    every = len(wanted.entries) == len(desk.catalogue.accessories)
    if every:
        return _things(desk, small=False)
    of_lots = frozenset(one.key for one in wanted.entries if not any(role.bring for role in one.roles))
    return of_lots or frozenset(one.key for one in wanted.entries)


def _with(party: Party, keys: frozenset[str]) -> Party:
    """The same with no more than some accessories."""
    return replace(
        party,
        sizes={key: sizes for key, sizes in party.sizes.items() if key in keys},
        own={key: several for key, several in party.own.items() if key in keys},
    )


def _alike(people: Sequence[ForOne]) -> list[tuple[ForOne, ...]]:
    """People of whom the same holds, so that it makes no difference who of them gets which."""
    groups: list[list[ForOne]] = []
    for one in people:
        same = [of for of in groups if replace(of[0].party, name=one.party.name) == one.party]
        if not same:
            groups.append([])
        (same or groups[-1:])[0].append(one)
    return [tuple(of) for of in groups]
