"""The pattern of something on the needles, out of what was kept of it when it was begun."""

from __future__ import annotations

from matcher.actions.desk import Desk
from matcher.actions.pattern.order import recipe_order
from matcher.actions.pattern.result import Patterned, patterned
from matcher.errors import BadInput
from matcher.reasons.reason import reason
from matcher.store.recipes import NoRecipe, parse_recipe


def kept_pattern(text: str, desk: Desk) -> Patterned | None:
    """The pattern of a work by what its row keeps; None for one that was begun before patterns were kept.

    Lots may be gone since: then their names are all that is known. Raises BadInput where no pattern comes out of it,
    as where the catalogue no longer has the accessory.
    """
    if not text:
        return None
    try:
        recipe = parse_recipe(text)
        order = recipe_order(recipe, desk.bin, desk.catalogue)
        return patterned(recipe, order.entry, desk.bin.lots, desk.catalogue, desk.history.learnt)
    except NoRecipe as fault:
        what = reason("what its pattern is made from can't be read")
        later = reason("bring matcher up to date"), reason("name the accessory itself")
        raise BadInput(what, "", later[0] if fault.later else later[1]) from None
    except KeyError:
        what = reason("its size isn't in the catalogue as it was")
        raise BadInput(what, "", reason("name the accessory itself")) from None
