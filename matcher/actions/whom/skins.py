"""What is to be said to those who do not bear every fibre on their skin."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from matcher.actions.whom.bodies import body_measures
from matcher.actions.whom.everyone import Somebody
from matcher.knitting.accessory import Accessory
from matcher.matching.pools import Pool
from matcher.materials.lots import Lot
from matcher.reasons.reason import Words, listed, reason


def unsuited(one: Somebody, lots: Iterable[Lot]) -> Iterator[Words]:
    """Each lot a fibre of which must not lie on somebody's skin."""
    for lot in lots:
        if not one.person.bears(lot.yarn.blend):
            yield reason("a fibre of {lot} does not suit the skin of {person}", lot=lot.name, person=one.name)


def skin_warnings(people: Sequence[Somebody], entry: Accessory, pools: Iterable[Pool]) -> Iterator[Words]:
    """A lot whose fibre is not known, in what lies on the skin of somebody who does not bear all; and one that they do
    not bear, in what is worn over something else, such as cuffs on boots."""
    if not entry.next_to_skin:
        yield from _worn_over(people, pools) if body_measures(entry) else ()
        return
    careful = [one.name for one in people if one.person.unsuited]
    if careful:
        for pool in pools:
            if not pool.yarn.blend.known:
                said = "the fibre of {lot} is not known, and some do not suit the skin of {people}: find it out first"
                yield reason(said, lot=pool.name, people=listed(careful, "and"))


def _worn_over(people: Sequence[Somebody], pools: Iterable[Pool]) -> Iterator[Words]:
    for pool in pools:
        names = [one.name for one in people if not one.person.bears(pool.yarn.blend)]
        if names:
            said = "a fibre of {lot} does not suit the skin of {people}: wear it over something else, never on the skin"
            yield reason(said, lot=pool.name, people=listed(names, "and"))


def no_promise(people: Sequence[Somebody]) -> Iterator[Words]:
    """That labels alone say what a skin bears."""
    careful = [one.name for one in people if one.person.unsuited]
    if careful:
        yield reason(
            "What suits the skin of {people} is judged by labels alone, which is no promise: try a small piece first.",
            people=listed(careful, "and"),
        )
