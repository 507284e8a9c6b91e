"""What keeps an accessory or a lot from those it would be for: a size, a dislike, a like for other things, a skin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matcher.actions.ranking.question import Laid, Question
from matcher.actions.whom.parties import ForOne
from matcher.actions.whom.tastes import accessories_called
from matcher.actions.wished import never_wanted
from matcher.knitting.accessory import Accessory
from matcher.matching.pools import Pool
from matcher.matching.why.because import Because
from matcher.materials.fibre import Blend
from matcher.reasons.reason import Term, listed, reason
from matcher.store.catalogue.catalogue import Catalogue


def out_of_reach(question: Question, entry: Accessory, laid: Laid) -> Iterator[Because]:
    """Why an accessory is not looked for at all."""
    if entry.key in laid.scope.variants:
        return
    name = Term(entry.name)
    if entry.key in never_wanted(question.desk.wishes, laid.catalogue):
        never = listed(
            word for word in question.desk.wishes.never if entry.key in accessories_called(word, laid.catalogue)
        )
        said = reason("you never want {things}, as you wished once", things=never)
        yield Because("wish", name, never, said)
    if all(role.bring for role in entry.roles):
        yield Because("yarn", name, name, reason("it takes nothing of your lots"))
    sizes, comes_in = question.wishes.sizes, listed(map(Term, entry.sizes), "and")
    if sizes and not set(sizes) & set(entry.sizes):
        asked = listed(map(Term, sizes), "or")
        said = reason("it comes in {sizes}, and you ask for {asked}", sizes=comes_in, asked=asked)
        yield Because("size", comes_in, asked, said)
        return
    others = [one.one for one in laid.who.people if entry.key in one.party.sizes]
    if others:
        people = listed(
            (reason("{who} ({size})", who=one.name, size=Term(one.size or "adult")) for one in others), "and"
        )
        said = reason("it comes in {sizes}, and is looked for in the sizes of {people}", sizes=comes_in, people=people)
        yield Because("size", comes_in, people, said)
    for one in laid.who.people:
        if entry.key not in one.party.sizes:
            yield _not_for(one, entry, laid.catalogue)
    if not laid.who.people and not sizes:
        said = reason("it comes in {sizes}, and is looked for in the sizes of adults", sizes=comes_in)
        yield Because("size", comes_in, Term("adult"), said)


def _not_for(one: ForOne, entry: Accessory, catalogue: Catalogue) -> Because:
    """Why an accessory is not for somebody in any size."""
    person, name = one.one.person, Term(entry.name)
    disliked = [word for word in person.dislikes if entry.key in accessories_called(word, catalogue)]
    if disliked:
        words = listed(disliked)
        return Because("dislike", name, words, reason("{who} dislikes {words}", who=one.one.name, words=words))
    words = listed(person.likes)
    said = reason("of what there is, {who} gets only what suits the likes: {words}", who=one.one.name, words=words)
    return Because("like", name, words, said)


def not_for_anybody(pool: Pool, entry: Accessory, laid: Laid) -> Iterator[Because]:
    """Why a lot is for none of those whom the accessory could be for, with what each of them bears or likes."""
    names = {lot.name for lot in pool.lots}
    could = {one.party for one in laid.scope.variants.get(entry.key, ())}
    told = [
        reason_
        for one in laid.who.people
        if any(one.one.name in party.split(", ") for party in could)
        for reason_ in (_bars(one, names, pool, entry),)
    ]
    if told and all(told):
        yield from (one for one in told if one)


def _bars(one: ForOne, names: set[str], pool: Pool, entry: Accessory) -> Because | None:
    who = one.one.name
    if names & one.party.unwanted:
        words = listed(one.one.person.dislikes)
        return Because("dislike", pool.name, words, reason("{who} dislikes {words}", who=who, words=words))
    if entry.next_to_skin and names & one.party.off_skin:
        fibres = listed(_unsuited(pool.yarn.blend, one.one.person.unsuited), "and")
        said = reason(
            "{lot} has {fibres} in it, which {who} does not bear on the skin", lot=pool.name, fibres=fibres, who=who
        )
        return Because("skin", fibres, listed(map(Term, one.one.person.unsuited)), said)
    return None


def _unsuited(blend: Blend, unsuited: Sequence[str]) -> list[Term]:
    return [Term(fibre.name) for fibre, share in blend.parts if share > 0 and fibre.name in unsuited]
