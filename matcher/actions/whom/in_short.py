"""Somebody in a line: size, measures, skin, eyes, tastes."""

from __future__ import annotations

from matcher.actions.whom.everyone import Somebody
from matcher.materials.people import ORDINARY
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Term, Words, listed, reason


def in_short(one: Somebody) -> Words:
    """All that counts in a search, the size first."""
    who = one.person
    size: Words = Term(one.size) if one.size else reason("size not known")
    if one.guessed:
        size = reason("{size}, guessed from what they wear", size=size)
    told: list[Words] = [size]
    told += [reason("{body} {measure}", body=Term(body), measure=Measure(cm)) for body, cm in who.measures.items()]
    if who.unsuited:
        told.append(reason("no {names} on the skin", names=listed(map(Term, who.unsuited), "or")))
    if who.eyes != ORDINARY:
        told.append(reason("eyes: {eyes}", eyes=Term(who.eyes)))
    if who.likes:
        told.append(reason("likes {names}", names=listed(who.likes)))
    if who.dislikes:
        told.append(reason("doesn't want {names}", names=listed(who.dislikes)))
    return listed(told, between="; ")
