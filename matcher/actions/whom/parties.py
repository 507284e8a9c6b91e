"""What a search is narrowed to for those she knits for: their sizes, what their skin bears, their eyes and tastes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from matcher.actions.asked import either_eyes
from matcher.actions.desk import Desk
from matcher.actions.whom.bodies import own_variants, with_bodies
from matcher.actions.whom.everyone import ADULT, Somebody, everyone, find_people, guesses, with_size
from matcher.actions.whom.skins import no_promise
from matcher.actions.whom.tastes import Tastes, not_understood, tastes_of
from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes
from matcher.matching.ranking.scope import Party, Variants
from matcher.matching.variants import Variant
from matcher.materials.colours.vision import WHOSE
from matcher.materials.lots import Bin, Lot
from matcher.reasons.reason import Column, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue


@dataclass(frozen=True)
class Asked:
    """What she asks for in words that go before what is written of people: nothing of it is theirs to decide then.

    sizes : of the catalogue. eyes : the deficiencies, None where she asked for none. kinds, lots : whether she asked
    for any.
    """

    whom: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    eyes: tuple[str, ...] | None = None
    kinds: bool = False
    lots: bool = False


@dataclass(frozen=True)
class ForOne:
    """One person and what a search for her is narrowed to."""

    one: Somebody
    party: Party


@dataclass(frozen=True)
class Whom:
    """Whom a search is for. catalogue : with the bodies of those who were measured. people : none for anybody."""

    catalogue: Catalogue
    parties: tuple[Party, ...]
    people: tuple[ForOne, ...] = ()
    notes: tuple[Words, ...] = ()


def whom_for(desk: Desk, catalogue: Catalogue, asked: Asked, wished_eyes: tuple[str, ...] = ()) -> Whom:
    """Those she asks for by name; else anybody of the size that she asks for; else all her people; else adults.

    wished_eyes : whose decide where she asked for none, besides those of the person. Raises NotFound for a name that
    nobody has.
    """
    bin = desk.bin
    people = find_people(asked.whom, bin, catalogue) if asked.whom else everyone(bin, catalogue)
    if asked.whom and asked.sizes:
        people = tuple(sized for size in asked.sizes for sized in with_size(people, size))
    if (asked.sizes and not asked.whom) or not people:
        eyes = wished_eyes if asked.eyes is None else asked.eyes
        return Whom(catalogue, (Party("", sizes_of_anybody(catalogue, asked.sizes), eyes=eyes),))
    catalogue = replace(catalogue, sizes=with_bodies(catalogue.sizes, people))
    own = own_variants(people, catalogue, desk.history.learnt)
    found, notes, narrowed = [], list(guesses(people)), []
    for one in people:
        likes, dislikes = (tastes_of(words, bin.lots, catalogue) for words in (one.person.likes, one.person.dislikes))
        notes += not_understood(one.name, (*likes.unknown, *dislikes.unknown), catalogue)
        wished = _wished(likes, desk, asked)
        narrowed += [one.name] if wished.accessories or wished.lots else []
        party = _party(one, catalogue, bin, own.get(one.name, {}), wished, dislikes)
        eyes = either_eyes(WHOSE[one.person.eyes], wished_eyes)
        found.append(ForOne(one, replace(party, eyes=eyes if asked.eyes is None else asked.eyes)))
    if narrowed:
        notes.append(_only_liked(narrowed))
    return Whom(catalogue, tuple(_united(found)), tuple(found), (*notes, *(no_promise(people) if asked.whom else ())))


def _only_liked(names: Sequence[str]) -> Words:
    return reason(
        "For {names} only what suits their likes is listed: with {likes} left empty it is everything.",
        names=listed(names, "and", " and "),
        likes=Column("likes"),
    )


def sizes_of_anybody(catalogue: Catalogue, sizes: Sequence[str]) -> Mapping[str, frozenset[str]]:
    """By key, the sizes asked for, else those of adults and of what has one size."""
    return {
        key: frozenset(sizes).intersection(entry.sizes) if sizes else _of_adults(entry, catalogue.sizes)
        for key, entry in catalogue.accessories.items()
    }


def _of_adults(entry: Accessory, sizes: Sizes) -> frozenset[str]:
    return frozenset(size for size in entry.sizes if sizes.wearer(size) in (ADULT, "anyone"))


def _wished(likes: Tastes, desk: Desk, asked: Asked) -> Tastes:
    """What of her likes counts: nothing where kinds or lots are asked for, and no colour of which nothing is free."""
    free = {lot.name for pool in desk.shelf.pools if pool.free.mean > 0 for lot in pool.lots}
    return Tastes(frozenset() if asked.kinds else likes.accessories, frozenset() if asked.lots else likes.lots & free)


def _party(one: Somebody, catalogue: Catalogue, bin: Bin, own: Variants, likes: Tastes, dislikes: Tastes) -> Party:
    for_her = {
        key: entry
        for key, entry in catalogue.accessories.items()
        if key not in dislikes.accessories and (not likes.accessories or key in likes.accessories)
    }
    return Party(
        one.name,
        {key: _sizes(one, entry, catalogue.sizes) for key, entry in for_her.items() if key not in own},
        {key: several for key, several in own.items() if key in for_her},
        off_skin=frozenset(lot.name for lot in bin.lots if not one.person.bears(lot.yarn.blend)),
        unwanted=dislikes.lots,
        wanted=likes.lots,
    )


def _sizes(one: Somebody, entry: Accessory, sizes: Sizes) -> frozenset[str]:
    """The sizes of an accessory that are hers: her own, every adult's where it is not known, and what has one size."""
    if not one.size:
        return _of_adults(entry, sizes)
    return frozenset(size for size in entry.sizes if size == one.size or sizes.wearer(size) == "anyone")


def whom_with(who: Whom, lots: Sequence[Lot]) -> Whom:
    """The same people once these lots are there, too: what they don't bear or like of them is theirs to bar."""
    if not who.people:
        return who
    found = []
    for one in who.people:
        person, party = one.one.person, one.party
        likes, dislikes = (tastes_of(words, lots, who.catalogue) for words in (person.likes, person.dislikes))
        party = replace(
            party,
            off_skin=party.off_skin.union(lot.name for lot in lots if not person.bears(lot.yarn.blend)),
            unwanted=party.unwanted | dislikes.lots,
            wanted=party.wanted | likes.lots if party.wanted else party.wanted,
        )
        found.append(replace(one, party=party))
    return replace(who, people=tuple(found), parties=tuple(_united(found)))


def parties_with(who: Whom, lots: Sequence[Lot]) -> tuple[Party, ...]:
    """The parties of `whom_with`."""
    return whom_with(who, lots).parties


def _united(people: Sequence[ForOne]) -> Iterator[Party]:
    """One party for all of whom the same holds, with the sizes of each."""
    alike: dict[tuple[object, ...], list[Party]] = {}
    for one in people:
        party = one.party
        alike.setdefault((party.eyes, party.off_skin, party.unwanted, party.wanted), []).append(party)
    for several in alike.values():
        keys = dict.fromkeys(key for party in several for key in party.sizes)
        sizes = {key: frozenset(size for party in several for size in party.sizes.get(key, ())) for key in keys}
        own: dict[str, tuple[Variant, ...]] = {}
        for party in several:
            for key, variants in party.own.items():
                own[key] = (*own.get(key, ()), *variants)
        yield replace(several[0], name=", ".join(party.name for party in several), sizes=sizes, own=own)
