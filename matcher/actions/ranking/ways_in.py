"""What would let something in that cannot be made: each change by itself, as small as it can be, tried in the search.

A weight is in whole grams, as a kitchen scale shows them, a chance in hundredths: with one less it cannot be made.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from matcher.actions.ranking import trials
from matcher.actions.ranking.question import Laid, Question
from matcher.actions.ranking.trials import Hold, Way
from matcher.actions.whom.everyone import not_thought_of
from matcher.actions.wished import never_wanted
from matcher.knitting.accessory import Accessory
from matcher.matching.ranking.search import search
from matcher.matching.why.nearest import Nearest
from matcher.matching.why.promising import promising
from matcher.materials.rules import CONTRASTS

# A choice: more of a lot than anybody would look for.
MOST_G = 1000
_LEAST_SURE = 50


def ways_in(question: Question, entry: Accessory, laid: Laid, near: Nearest | None) -> Iterator[Way]:
    """The ways in, each tried: with it the search finds the accessory.

    laid : the question as it is, for this accessory alone. near : what comes nearest, None where nothing does.
    """
    key, found = entry.key, False
    for ways in (_more_yarn(question, key, laid, near), _less_asked(question, key, laid), _given_up(question, key)):
        for way in ways:
            found = True
            yield way
    yield from _sizes(question, entry, laid)
    if not found and key in laid.scope.variants:
        yield from _quieter_and_more(question, key, laid, near)


def least(enough: Callable[[int], bool], below: int, most: int) -> int | None:
    """The least whole number above `below`, which is not enough, up to `most` that is enough; None for none."""
    low, step = below, 1
    while not enough(min(low + step, most)):
        low, step = min(low + step, most), 2 * step
        if low >= most:
            return None
    high = min(low + step, most)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


# More yarn ------------------------------------------------------------------------------------------------


def _more_yarn(question: Question, key: str, laid: Laid, near: Nearest | None) -> Iterator[Way]:
    """More of the one lot of which fewest grams are enough; where no single one is, of those of what comes nearest."""
    several = laid.scope.variants.get(key, ())
    if not several or not trials.more(question, _plenty(question)).question.possible(key):
        return
    best: tuple[int, str] | None = None
    every = [(bound, pool.name) for bound, pool in promising(question.desk.shelf.pools, several, laid.searcher)]
    # Little first: where so much of every lot is not enough, no single one is looked at.
    for most in (MOST_G // 30, MOST_G):
        lots = [(bound, lot) for bound, lot in every if bound <= most]
        if best is None and trials.with_more(question, {lot: most for _, lot in lots}).possible(key):
            for bound, lot in lots:
                best = _more_of(question, key, lot, bound, most if best is None else best[0] - 1) or best
    if best is not None:
        yield trials.more(question, {best[1]: best[0]})
    elif near is not None:
        yield from _more_of_several(question, key, near, laid.searcher.chance or 0.0)


def _more_of(question: Question, key: str, lot: str, bound: int, most: int) -> tuple[int, str] | None:
    """The least grams of one lot that are enough, up to so many. bound : what it takes at least."""

    def enough(grams: int) -> bool:
        return trials.with_more(question, {lot: grams}).possible(key)

    if bound > most or not enough(most):
        return None
    below = bound - 1 if bound > 1 and not enough(bound - 1) else 0
    grams = least(enough, below, most)
    return None if grams is None else (grams, lot)


def _plenty(question: Question) -> Mapping[str, int]:
    return {lot.name: MOST_G for lot in question.desk.bin.lots}


def _more_of_several(question: Question, key: str, near: Nearest, chance: float) -> Iterator[Way]:
    """So much more of each that is short: of none of them could it be a gram less."""
    missing = {near.stock.pools[pool].name: 1 for thread in near.found.threads for pool, _ in thread}
    for lack in near.lacks(chance):
        pool = near.stock.pools[lack.pool]
        missing[pool.name] = min(MOST_G, math.ceil(lack.metres * pool.yarn.tex.mean / 1000.0))

    def scaled(times: int) -> dict[str, int]:
        return {lot: min(MOST_G, math.ceil(grams * times / 10)) for lot, grams in missing.items()}

    def enough(grams: Mapping[str, int]) -> bool:
        return trials.with_more(question, grams).possible(key)

    times = least(lambda times: enough(scaled(times)), 0, 10 * MOST_G)
    if times is None:
        return
    grams = scaled(times)
    for lot in grams:
        fewer = dict(grams)

        def still(now: int, lot: str = lot, fewer: Mapping[str, int] = fewer) -> bool:
            return enough({**fewer, lot: now})

        grams[lot] = 0 if still(0) else least(still, 0, grams[lot]) or grams[lot]
    yield trials.more(question, grams)


def _quieter_and_more(question: Question, key: str, laid: Laid, near: Nearest | None) -> Iterator[Way]:
    """Colours that read less and more yarn at once, where neither is enough."""
    if laid.scope.contrast[key] == CONTRASTS[-1] or not laid.scope.variants[key][0].edges:
        return
    quieter = trials.quieter(question, CONTRASTS[-1])
    for way in _more_yarn(quieter.question, key, quieter.question.laid(key), near):
        yield replace(way, steps=(*quieter.steps, *way.steps))


# Less asked for -------------------------------------------------------------------------------------------


def _less_asked(question: Question, key: str, laid: Laid) -> Iterator[Way]:
    """What is asked for that could be left: each by itself."""
    if key not in laid.scope.variants:
        kind = question.desk.catalogue.accessories[key].kind
        if key in never_wanted(question.desk.wishes, laid.catalogue):
            yield from _if_possible(trials.of_kind(question, kind), key)
        return
    yield from _less_sure(question, key, round(100 * (laid.searcher.chance or 0.0), 6))
    level = laid.scope.contrast[key]
    if laid.scope.variants[key][0].edges:
        ways = (trials.quieter(question, one) for one in CONTRASTS[CONTRASTS.index(level) + 1 :])
        yield from [way for way in ways if way.question.possible(key)][:1]
    if any(party.eyes for party in laid.scope.parties.values()):
        yield from _if_possible(trials.seen_ordinarily(question), key)
    if not question.wishes.held_together:
        yield from _if_possible(trials.held_together(question), key)
    if question.desk.wishes.apart:
        yield from _if_possible(trials.meeting(question), key)


def _if_possible(way: Way, key: str) -> Iterator[Way]:
    if way.question.possible(key):
        yield way


def _less_sure(question: Question, key: str, asked: float) -> Iterator[Way]:
    """The surest, in hundredths, that it can be."""
    most = math.ceil(asked) - 1  # the highest below what is asked
    if most < _LEAST_SURE:
        return
    less = least(lambda less: trials.surer(question, most - less).question.possible(key), -1, most - _LEAST_SURE)
    if less is not None:
        yield trials.surer(question, most - less)


# What holds yarn back -------------------------------------------------------------------------------------


def _given_up(question: Question, key: str) -> Iterator[Way]:
    """One thing to give up that holds yarn back, or as few as are needed, of each kind by itself; else of all."""
    every = trials.holds(question)
    kinds = [list(of_one) for _, of_one in groupby(sorted(every, key=lambda one: one.what), lambda one: one.what)]
    found = [way for holds in kinds for way in _fewest(question, key, holds)]
    yield from found or (_fewest(question, key, every) if len(kinds) > 1 else ())


def _fewest(question: Question, key: str, every: Sequence[Hold]) -> Iterator[Way]:
    without = trials.given_up(question, every).question
    if not without.possible(key):
        return
    # Of what would be free then, only the lots of one way to make it are looked at.
    laid = without.laid(key)
    found = search(laid.searcher, laid.scope.variants[key], laid.scope.least[key])[0]
    lots = {lot.name for at in found.pools for lot in laid.stock.pools[at].lots}
    few = [hold for hold in every if hold.lot.name in lots]
    for hold in few:
        way = trials.given_up(question, (hold,))
        if way.question.possible(key):
            yield way
            return
    few = few if trials.given_up(question, few).question.possible(key) else list(every)
    for hold in reversed(few):
        fewer = [one for one in few if one is not hold]
        if trials.given_up(question, fewer).question.possible(key):
            few = fewer
    yield trials.given_up(question, few)


# Another size ---------------------------------------------------------------------------------------------


def _sizes(question: Question, entry: Accessory, laid: Laid) -> Iterator[Way]:
    """The size nearest to those asked for in which it can be made; for anybody where it is for none of those asked."""
    names = laid.catalogue.sizes.names
    asked = set(question.wishes.sizes) | {one.size for one in laid.scope.variants.get(entry.key, ())}
    asked |= {person.one.size for person in laid.who.people}
    places = [names.index(size) for size in asked if size in names]
    for_nobody = entry.key not in laid.scope.variants and bool(question.whom)

    def off(size: str) -> int:
        return min((abs(names.index(size) - place) for place in places), default=0)

    last = not_thought_of(question.desk.bin, laid.catalogue)  # a baby's asks for care of its own
    for size in sorted(entry.sizes, key=lambda size: (size in last, off(size))):
        if size in question.wishes.sizes and not question.whom:
            continue
        for anybody in (False, True) if question.whom and not for_nobody else (True,):
            way = trials.sized(question, size, anybody=anybody)
            if way.question.possible(entry.key):
                yield way
                return
