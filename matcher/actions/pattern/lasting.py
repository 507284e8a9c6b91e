"""Whether what is free of the lots that are named is enough for a pattern."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matcher.actions.desk import Desk
from matcher.actions.pattern.enough import Given, doubts, given_to, sure_that
from matcher.actions.pattern.fitting import needs_of_recipe
from matcher.actions.pattern.order import Order
from matcher.actions.pattern.result import Patterned
from matcher.knitting.calibration import calibrated
from matcher.knitting.pattern.head import colours_of
from matcher.materials.reading.names import fold
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Length
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.store.recipes import Recipe, Strand

_ALIKE = 1e-9


def lasts(desk: Desk, order: Order, made: Patterned) -> Iterator[Words]:
    """What is free of the colours that may not suffice, against the metres of the pattern itself; and the chance that
    all do, as `begin` has it, where that is less than suggestions ask for."""
    recipe, free = made.recipe, {fold(lot): one for lot, one in desk.shelf.free.items()}
    given = _given(desk, order, recipe, dict(free))
    sure = sure_that([one for several in given.values() for one in several])
    alone = {role: sure_that(several) for role, several in given.items()}
    asked = order.catalogue.ranking.sure_at_least
    # Where each would do by itself and all of them may not, the least sure stands for them.
    doubted = max(asked, min(alone.values(), default=1.0) + _ALIKE) if sure < asked else asked
    for colour in colours_of(made.pattern, made.constants):
        strands = recipe.roles.get(colour.role, ())
        for one, rooms in zip(strands, _rooms(strands, colour.length_m, free), strict=True):
            wanted, have = colour.length_m * one.count, sum(room.mean for room in rooms)
            if rooms and (have < wanted or alone.get(colour.role, 1.0) < doubted):
                yield reason(
                    "{role} takes {wanted} of {lots}, and {free} are free",
                    role=Term(colour.role),
                    wanted=Length(wanted),
                    lots=listed(one.lots, "and", " and "),
                    free=Length(have),
                )
    yield from doubts(sure, order.entry, recipe.gauge, order.catalogue)


def _given(desk: Desk, order: Order, recipe: Recipe, left: dict[str, Estimate]) -> dict[str, list[Given]]:
    """By role, what it takes as suggestions reckon it, and what its strands have."""
    plain = needs_of_recipe(recipe, order.entry, order.catalogue)
    found: dict[str, list[Given]] = {}
    for need in calibrated(plain, order.entry, desk.history.learnt, from_swatch=recipe.gauge.from_swatch_rows):
        strands = recipe.roles.get(need.role, ())
        rooms = _rooms(strands, need.length_m, left)
        found[need.role] = given_to(need, [(room, one.count) for one, room in zip(strands, rooms, strict=True) if room])
    return found


def _rooms(strands: Sequence[Strand], length_m: float, left: dict[str, Estimate]) -> list[list[Estimate]]:
    """What is free of the lots of each strand [m], none where a lot isn't there. left: of each lot, by its folded name;
    what they give is taken off it, so that no lot is promised to two roles."""
    found = []
    for one in strands:
        names = [name for name in map(fold, one.lots) if name in left]
        found.append([left[name] for name in names])
        wanted = length_m * one.count
        for name in names:
            given = min(wanted, left[name].mean)
            left[name], wanted = Estimate(left[name].mean - given, left[name].sd), wanted - given
    return found
