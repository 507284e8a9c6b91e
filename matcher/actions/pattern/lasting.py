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
from matcher.store.recipes import Strand


def lasts(desk: Desk, order: Order, made: Patterned) -> Iterator[Words]:
    """Colours that take more than is free, by the metres of the pattern itself; and the chance, as `begin` has it,
    where that is less than suggestions ask for."""
    recipe, free = made.recipe, {fold(lot): one for lot, one in desk.shelf.free.items()}
    left = dict(free)
    for colour in colours_of(made.pattern, made.constants):
        strands = recipe.roles.get(colour.role, ())
        for one, rooms in zip(strands, _rooms(strands, colour.length_m, left), strict=True):
            wanted, have = colour.length_m * one.count, sum(room.mean for room in rooms)
            if rooms and have < wanted:
                yield reason(
                    "{role} takes {wanted} of {lots}, and {free} are free",
                    role=Term(colour.role),
                    wanted=Length(wanted),
                    lots=listed(one.lots, "and", " and "),
                    free=Length(have),
                )
    yield from doubts(_chance(desk, order, made, dict(free)), order.entry, recipe.gauge, order.catalogue)


def _chance(desk: Desk, order: Order, made: Patterned, left: dict[str, Estimate]) -> float:
    recipe = made.recipe
    plain = needs_of_recipe(recipe, order.entry, order.catalogue)
    needs = calibrated(plain, order.entry, desk.history.learnt, from_swatch=recipe.gauge.from_swatch_rows)
    given: list[Given] = []
    for need in needs:
        strands = recipe.roles.get(need.role, ())
        rooms = _rooms(strands, need.length_m, left)
        given += given_to(need, [(room, one.count) for one, room in zip(strands, rooms, strict=True) if room])
    return sure_that(given)


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
