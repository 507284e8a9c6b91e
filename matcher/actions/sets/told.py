"""What is said of a set: how good it is and could be at most, how sure it is, and how another differs from it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable

from matcher.actions.partner.words import fit_words, placed_words
from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.sets.result import PlannedSet
from matcher.matching.sets.aims import BEST, FEW, USE_UP
from matcher.matching.variants import InMotif
from matcher.reasons.quantities import Chance, Number, Share
from matcher.reasons.reason import Words, counted, listed, reason

_A_HAIR = 1e-6


def chance_beside(chance: float, asked: float) -> Chance:
    """A chance with as many decimals as it takes to be read as no less than the one that was asked for."""
    return Chance(chance, int(math.floor(100.0 * chance + _A_HAIR) < 100.0 * asked - _A_HAIR))


def sure_words(planned: PlannedSet, asked: float = 0.0) -> Words:
    """How many things there are, from how many lots, and how sure they all are at once. asked : how sure at least."""
    return reason(
        "{things} from {lots}; {sure} sure that the yarn lasts for all",
        things=counted(len(planned), "{n} thing", "{n} things"),
        lots=counted(len(planned.lots), "{n} lot", "{n} lots"),
        sure=chance_beside(planned.sure, asked),
    )


def how_good(planned: PlannedSet, aim: str) -> Words:
    """What a set reaches of its aim, and what no set can pass; "the best there is" only of one that is proved."""
    unknown = reason("time was up before it was known how good a set can be")
    if aim == BEST:
        if math.isinf(planned.bound):
            return unknown
        if planned.proved:
            return _the_best(planned)
        return reason("as things are ranked, no set can be better by more than {part}", part=_more(planned))
    reached = _whole(aim, planned.objective, math.floor)
    does = _does(aim, reached)
    if math.isinf(planned.bound):
        return reason("{reached}; {most}", reached=does, most=unknown)
    most = _whole(aim, planned.bound, math.ceil if aim == USE_UP else math.floor)
    if planned.proved:
        return reason("{reached}: {best}", reached=does, best=_the_best(planned))
    if most <= reached:
        return reason("{reached}, and no set does more", reached=does)
    return reason("{reached}; {most}", reached=does, most=_cannot(aim, most))


def _the_best(planned: PlannedSet) -> Words:
    return reason("the best of the fits that were tried") if planned.of_fits else reason("the best there is")


def in_motif(put_in: InMotif) -> tuple[Words, ...]:
    """How a motif that was put in comes out: repeats and girth, and what of it is knitted."""
    return *fit_words(put_in.fitted), placed_words(put_in.fitted, put_in.motif)


def how_near(other: PlannedSet, best: PlannedSet, aim: str) -> Words:
    """What another set reaches of the aim."""
    if aim != BEST:
        return _does(aim, _whole(aim, other.objective, math.floor))
    part = other.objective / best.objective if best.objective > 0 else 1.0
    return reason("as things are ranked it is worth {part} of the first", part=Share(math.floor(100 * part) / 100))


def so_far(aim: str, objective: float, bound: float) -> Words:
    """The same in a few words, while it is looked for."""
    said = {BEST: "scores {found}", USE_UP: "uses {found}", FEW: "lots used up: {found}"}.get(aim, "things: {found}")
    found = reason(said, found=_figure(aim, objective))
    if math.isinf(bound):
        return reason("{found} so far", found=found)
    most, gap = _figure(aim, bound), Share(max(0.0, 1.0 - objective / bound) if bound > 0 else 0.0, 1)
    return reason("{found} so far; at most {bound}; gap {gap}", found=found, bound=most, gap=gap)


def _figure(aim: str, value: float) -> Number | Share:
    if aim == USE_UP:
        return Share(min(1.0, value))
    return Number(value, 2) if aim == BEST else Number(float(math.floor(value + _A_HAIR)))


def how_it_differs(other: PlannedSet, best: PlannedSet) -> Words:
    """What another set leaves out of the best one, and what it has in its place."""
    here, there = Counter(map(_same, other)), Counter(map(_same, best))
    new = [one for one in other if not _taken(there, one)]
    gone = [one for one in best if not _taken(here, one)]
    if not new and not gone:
        return reason("the same things")
    without = listed((str(one.rank) for one in gone), "and")
    instead = listed(map(_with_lots, new), between="; ")
    if not gone:
        return reason("besides: {instead}", instead=instead)
    if not new:
        return reason("without {numbers}", numbers=without)
    return reason("instead of {numbers}: {instead}", numbers=without, instead=instead)


def _taken(counts: Counter[tuple[object, ...]], one: Suggestion) -> bool:
    """Whether one like it is among those counted, each of which serves once."""
    counts[_same(one)] -= 1
    return counts[_same(one)] >= 0


def _same(one: Suggestion) -> tuple[object, ...]:
    lots = tuple(sorted((role.role, tuple(sorted(lot.name for lot in role.lots))) for role in one.roles))
    return one.accessory, one.size, one.people, lots


def _with_lots(one: Suggestion) -> Words:
    lots = listed((role.lots_said(lambda lot: lot.name) for role in one.roles if role.lots), between=" + ")
    return reason("{thing} ({lots})", thing=one.called, lots=lots)


def _more(planned: PlannedSet) -> Share:
    """By what part of its own another could be better at most, rounded up."""
    part = planned.bound / planned.objective - 1.0 if planned.objective > 0 else 1.0
    return Share(math.ceil(1000 * part - _A_HAIR) / 1000, 1)


def _whole(aim: str, value: float, rounded: Callable[[float], int]) -> float:
    """In whole percents, or in whole things and lots; a hair too little by reckoning is no less."""
    if aim == USE_UP:
        return min(1.0, rounded(100 * value + (_A_HAIR if rounded is math.floor else -_A_HAIR)) / 100)
    return float(rounded(value + _A_HAIR))


def _does(aim: str, reached: float) -> Words:
    if aim == USE_UP:
        return reason("it uses {part} of what is free, by weight", part=Share(reached))
    number = round(reached)
    if aim == FEW:
        return counted(number, "it uses up {n} lot", "it uses up {n} lots")
    return counted(number, "it is {n} thing", "it is {n} things")


def _cannot(aim: str, most: float) -> Words:
    if aim == USE_UP:
        return reason("nothing can use more than {part}", part=Share(most))
    number = math.floor(most + _A_HAIR)
    if aim == FEW:
        return reason("nothing can use up more than {number}", number=number)
    return reason("no more than {number} can be knitted at once", number=number)
