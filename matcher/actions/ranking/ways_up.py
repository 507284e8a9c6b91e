"""What would bring into the list what can be made and does not stand there; each way is tried in the search.

But for one: that its kind alone has no more entries than places is counted where a list would take too long.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from matcher.actions.ranking import trials
from matcher.actions.ranking.question import Laid, Question
from matcher.actions.ranking.trials import Step, Way
from matcher.knitting.accessory import Accessory
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.search import Outcome, search
from matcher.matching.rounds.search import search_stock
from matcher.reasons.reason import Field, listed, reason

# A choice: so far down is looked, to say at which length the list holds the thing.
FURTHER = 20
# So many lots of a rival are tried out of the way, since each asks for the whole list.
_TRIES = 1
# A choice, after measuring: with more lots than this the list of one kind is not asked for, since no other kind sets it
# a bar, and of things in so many colours the very best is not looked for.
_COLOURS, _LOTS = 5, 100


def listed_of(outcome: Outcome, key: str, lots: frozenset[int] | None) -> tuple[int, Found] | None:
    """The place in the list, from 1, of an accessory with one of these pools in it; None where it is not there."""
    for place, one in enumerate((*outcome.chosen, *outcome.small), 1):
        if one.variant.accessory.key == key and (lots is None or one.pools & lots):
            return place, one
    return None


def list_of(question: Question, entry: Accessory, top: int = 0) -> tuple[Laid, Outcome]:
    """The list as `suggest` gives it, or a longer one of `top` places; small things only where it is about one."""
    laid = question.laid()
    wishes = replace(laid.scope.wishes, top=max(top, laid.scope.wishes.top))
    scope = replace(laid.scope, wishes=wishes)
    if wishes.varied and not entry.small:
        large = {key: several for key, several in scope.variants.items() if not several[0].accessory.small}
        scope = replace(scope, variants=large)
    return laid, search_stock(laid.searcher, scope)


def ways_up(
    question: Question, entry: Accessory, lot: str, best: Found, longer: int | None, other: Found | None
) -> Iterator[Way]:
    """Ways into the list, which is asked for without the lot.

    best : what would stand there. longer : its place in a longer list, if it has one. other : the same accessory of
    other lots, which stands in the list.
    """
    if longer is not None:
        said = reason("ask for a longer list ({top})", top=Field("top", str(longer)))
        way = trials.wishing(question, Step("longer list", said, to=longer), top=longer)
        yield replace(way, into="in the list")
    if longer is None:
        few = len(question.desk.shelf.pools) <= _LOTS
        alone = _asked_alone(question, entry, lot, varied=question.wishes.varied and few and not lot)
        if alone.question.wishes.varied and not _brings(alone, entry, lot):
            alone = _asked_alone(question, entry, lot, varied=False)
        yield alone
    if other is not None:
        pools = question.laid(entry.key).stock.pools
        for at in sorted(other.pools - best.pools)[:_TRIES]:
            way = trials.put_away(question, pools[at].name)
            # Quickly: what is best of other lots still would stand there still.
            if _best_has(way.question, entry, lot) and _brings(way, entry, lot):
                yield way


def _asked_alone(question: Question, entry: Accessory, lot: str, varied: bool) -> Way:
    """Nothing but its kind is asked for, and the lot. Not varied, as many as are of its kind hold it for certain."""
    catalogue, wishes = question.desk.catalogue, question.wishes
    number = sum(one.kind == entry.kind for one in catalogue.accessories.values())
    top = wishes.top if varied else max(wishes.top, number)
    fields = [Field("kind", entry.kind)]
    fields += [Field("lot", f'"{lot}"')] if lot else []
    fields += [] if varied else [Field("all")]
    fields += [Field("top", str(top))] if top > wishes.top else []
    said = reason("ask for nothing else ({fields})", fields=listed(fields, between=" "))
    step = Step("kind" if varied else "all of a kind", said, lot, to=entry.kind)
    way = trials.wishing(question, step, kinds=(entry.kind,), lots=(lot,) if lot else (), varied=varied, top=top)
    return replace(way, into="in the list")


def _brings(way: Way, entry: Accessory, lot: str) -> bool:
    laid, outcome = list_of(way.question, entry)
    return listed_of(outcome, entry.key, places(laid, lot)) is not None


def _best_has(question: Question, entry: Accessory, lot: str) -> bool:
    laid = question.laid()
    found = best_of(laid, entry.key)
    return found is not None and bool(found.pools & (places(laid, lot) or frozenset()))


def best_of(laid: Laid, key: str) -> Found | None:
    """The best that can be made of an accessory, None for nothing; just any where `too_many`."""
    several = laid.scope.variants.get(key, ())
    if not several:
        return None
    found = search(laid.searcher, several, laid.scope.least[key], any_will_do=too_many(laid, key))
    return found[0] if found else None


def too_many(laid: Laid, key: str) -> bool:
    """Whether there are so many lots for so many colours that the best, with no list to beat, would take minutes."""
    several = laid.scope.variants.get(key, ())
    return bool(several) and len(several[0].filled) >= _COLOURS and len(laid.stock.pools) > _LOTS


def places(laid: Laid, lot: str) -> frozenset[int] | None:
    """Where a lot's pool stands in the stock; None for no lot."""
    if not lot:
        return None
    pools = laid.stock.pools
    return frozenset(at for at, pool in enumerate(pools) if any(one.name == lot for one in pool.lots))
