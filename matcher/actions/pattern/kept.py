"""The pattern of something on the needles, out of what was kept of it when it was begun; or of what could be begun."""

from __future__ import annotations

from dataclasses import replace

from matcher.actions.desk import Desk
from matcher.actions.pattern.lasting import lasts
from matcher.actions.pattern.minding import lots_of_roles, minded_of
from matcher.actions.pattern.order import recipe_order
from matcher.actions.pattern.result import Patterned, patterned
from matcher.errors import BadInput
from matcher.reasons.reason import reason
from matcher.store.recipes import NoRecipe, parse_recipe


def kept_pattern(text: str, desk: Desk, *, begun: bool = True) -> Patterned | None:
    """The pattern of a work by what its row keeps; None for one that was begun before patterns were kept.

    begun: what isn't yet is held against what is free of its lots. Lots may be gone since: then their names are all
    that is known. Raises BadInput where no pattern comes out of it, as where the catalogue no longer has the accessory.
    """
    if not text:
        return None
    try:
        recipe = parse_recipe(text)
        order = recipe_order(recipe, desk.bin, desk.seen_by(None))
        mind = minded_of(recipe, order, lots_of_roles(recipe, desk.bin.lots), desk.wishes.least_contrast)
        made = patterned(recipe, order.entry, desk.bin.lots, desk.catalogue, desk.history.learnt)
        return replace(made, mind=mind if begun else mind.and_of(lasts(desk, order, made)))
    except NoRecipe as fault:
        what = reason("what its pattern is made from can't be read")
        later = reason("bring matcher up to date"), reason("name the accessory itself")
        raise BadInput(what, "", later[0] if fault.later else later[1]) from None
    except KeyError:
        what = reason("its size isn't in the catalogue as it was")
        raise BadInput(what, "", reason("name the accessory itself")) from None
