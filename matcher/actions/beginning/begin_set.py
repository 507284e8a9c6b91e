"""Begin all things of a set at once, or none of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from matcher.actions.beginning.cast_on import CastOn, InStore, cast_on
from matcher.actions.desk import Desk, desk_of
from matcher.actions.keeping.done import Done, opened
from matcher.actions.pattern.order import recipe_order
from matcher.actions.place import Place
from matcher.actions.progress.whole_set import set_lasts
from matcher.actions.role_lots import named_strands
from matcher.actions.sets.in_file import SET
from matcher.errors import BadInput, MatcherError
from matcher.reasons.reason import Field, Words, counted, reason
from matcher.store.database.bin import bin_of_rows
from matcher.store.recipes import Recipe

_SET_AGAIN = reason("{set} plans another, or {anyway} sets aside what there is", set=SET, anyway=Field("anyway"))


def begin_set(
    things: Sequence[Recipe],
    *,
    anyway: bool = False,
    mending: str | None = None,
    bin: Place = None,
    catalog: Path | str | None = None,
) -> Done:
    """Put a whole set on the needles as it was planned: every thing's lots are claimed, in one action.

    things : what each is made from, as a planned set has it. anyway, mending : as for `begin`.

    Raises NotFound and BadInput, which name the thing that can't be begun; nothing is claimed then.
    """
    notes: dict[Words, None] = {}
    begun: list[CastOn] = []
    with opened(bin) as store, store.action("begin") as act:
        desk = desk_of(bin if isinstance(bin, Desk) else None, catalog, mending)
        whole = bin_of_rows(store, desk.catalogue)
        for number, recipe in enumerate(things, 1):
            try:
                order = recipe_order(recipe, whole, desk.catalogue)
                strands = named_strands(order.roles, order.entry.name, (), InStore(store), order.known)
                one = cast_on(act, desk, order, strands, None, anyway, _SET_AGAIN)
            except MatcherError as fault:
                said = "thing {number} of the set ({accessory}) can't be begun, so none is: {why}"
                what = reason(said, number=number, accessory=recipe.accessory, why=fault.what)
                raise BadInput(what, fault.where, fault.todo) from None
            begun.append(one)
            act.update("works", one.work, {"of_set": begun[0].work})
            notes |= dict.fromkeys(one.notes)
        act.words = counted(len(begun), "begin a set of {n} thing", "begin a set of {n} things")
        stands = set_lasts(store, begun[0].work, desk.catalogue)
    sentences = [words for one in begun for words in one.said]
    values: dict[str, Any] = {"set": begun[0].work, "works": [one.as_dict() for one in begun]}
    if stands is not None:
        sentences.append(stands.words)
        values["sure"] = round(stands.sure, 4)
    return Done(tuple(sentences), values, tuple(notes))
