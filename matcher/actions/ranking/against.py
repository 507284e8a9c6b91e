"""What stands against what cannot be made: what bars its lot, what the nearest lacks, what does not go together."""

from __future__ import annotations

from collections.abc import Iterator

from matcher.actions.ranking.barred import not_for_anybody
from matcher.actions.ranking.question import Laid, Question
from matcher.knitting.accessory import Accessory
from matcher.matching.why.because import Because
from matcher.matching.why.limits import held_back, too_short, too_thick_or_fine, windows
from matcher.matching.why.nearest import PEOPLE, Nearest, lacking
from matcher.reasons.quantities import Length, Number, Tex
from matcher.reasons.reason import counted, listed, reason


def against_lot(lot: str, entry: Accessory, question: Question, laid: Laid) -> Iterator[Because]:
    """What bars the lot, whatever stands beside it."""
    pool = next(pool for pool in question.desk.shelf.pools if any(one.name == lot for one in pool.lots))
    several = laid.scope.variants[entry.key]
    if pool.free.mean <= 0:
        yield from held_back(pool)
    yield from not_for_anybody(pool, entry, laid)
    yield from too_thick_or_fine(pool, several, laid.searcher)
    if pool.free.mean > 0:
        yield from too_short(pool, several, laid.searcher)


def against(entry: Accessory, question: Question, laid: Laid, near: Nearest | None) -> Iterator[Because]:
    """What the nearest assignment lacks; where there is none, why no lots go together for it."""
    if near is None:
        yield from _nothing_goes(entry, question, laid)
        return
    if PEOPLE in near.gave_way:
        lots = listed((near.stock.pools[at].name for at in sorted(near.found.pools)), "and")
        people = listed(laid.scope.parties, "and")
        said = reason("the fibre or the colour of {lots} is not for {people}", lots=lots, people=people)
        yield Because("people", lots, people, said)
    yield from lacking(near, laid.scope, laid.searcher.chance or 0.0)


def _nothing_goes(entry: Accessory, question: Question, laid: Laid) -> Iterator[Because]:
    several = laid.scope.variants[entry.key]
    if not len(laid.stock):
        yield Because("yarn", Length(0.0), Length(0.0), reason("nothing in this bin is free"))
        return
    low, high = windows(several, laid.searcher.constants)
    roles, wide = len(several[0].filled), reason("{low} to {high}", low=Tex(low), high=Tex(high))
    fit = sum(low <= pool.yarn.tex.mean <= high for pool in laid.stock.pools)
    if not fit:
        said = reason("no lot is of a thickness for it: {wide} suit", wide=wide)
        yield Because("thickness", Number(0), wide, said)
        return
    one = "it takes {roles} lots that may lie in one fabric, and only {n} is of a thickness for it ({wide})"
    many = "it takes {roles} lots that may lie in one fabric, and of the {n} of a thickness for it ({wide}) none may"
    yield Because("together", Number(fit), Number(roles), counted(fit, one, many, roles=roles, wide=wide))
    if question.desk.wishes.apart:
        apart = listed(reason("{a} and {b}", a=a, b=b) for a, b in question.desk.wishes.apart)
        yield Because("wish", apart, apart, reason("you wished to keep yarns apart: {apart}", apart=apart))
